"""The client's page without JavaScript: options, questions, consent, code, signature, certificate."""

import html
import re
from dataclasses import replace
from decimal import Decimal

import pytest

from app.actions.estimate_edits import set_options
from app.actions.jobs import job_sheet
from app.actions.mail import MailServer, save_mail_server
from app.actions.offer import make_link, offer
from app.actions.price import shop
from app.actions.records import StaffMember
from app.actions.shop import save_law, save_terms
from app.actions.takeoff import work_out
from app.measure.show import format_money
from app.pricing.job_pricing import Option, OtherBoard
from tests.actions.conftest import Printer
from tests.web.conftest import NET_STORE, NOW, QUAY_LOFT, Server
from tests.web.page_client import PageClient

_OWNER = StaffMember(1, "Demo", "demo@example.org", "owner")


def link(server: Server, *options: Option) -> str:
    if options:
        set_options(server.db, _OWNER, NET_STORE, 0, options, NOW)
    card = offer(server.db, _OWNER, NET_STORE, NOW, Printer([]))
    return make_link(server.db, _OWNER, card.id, 14, NOW)


def two_options(server: Server) -> tuple[Option, Option]:
    job = job_sheet(server.db, NET_STORE).job
    same = (OtherBoard(job.plan.deck_fields[0].id, job.choices.boards[0].id),)
    return (
        Option("one", "First choice", boards=same, excludes=("two",)),
        Option("two", "Second choice", boards=same, excludes=("one",)),
    )


def opened(server: Server, *options: Option) -> PageClient:
    client = server.visitor()
    client.get(f"/s/{link(server, *options)}")
    return client


def test_options_are_ticked_signed_and_certified(server: Server) -> None:
    client = opened(server, *two_options(server))
    page = client.get("/offer?with=one")
    assert "First choice" in page.text
    assert "You sign with First choice" in " ".join(page.text.split())
    client.send("/offer?with=one", "/offer/sign", name="Oddny Vale", consent="yes")
    certificate = client.get("/offer/certificate")
    assert "First choice" in certificate.text
    assert certificate.heading == "Certificate"
    mark = re.search(r"fingerprint ([0-9a-f]{64})", certificate.text)
    assert mark
    assert job_sheet(server.db, NET_STORE).pricing.ticked == ("one",)


def test_options_that_exclude_each_other_are_told_and_kept_apart(server: Server) -> None:
    client = opened(server, *two_options(server))
    page = client.get("/offer?with=one&with=two", 422)
    assert "do not go together" in page.text
    assert client.get("/offer?with=forged", 422).title.startswith("Error: ")


def test_a_form_of_one_combination_does_not_sign_another(server: Server) -> None:
    client = opened(server, *two_options(server))
    fields = client.get("/offer?with=one").fields("/offer/sign")
    stale = {**fields, "with": "two", "name": "Oddny", "consent": "yes"}
    assert "not what is offered" in client.post("/offer/sign", stale, 422).text


def test_a_question_is_asked_and_answered_on_the_page(server: Server, staff: PageClient) -> None:
    client = opened(server)
    client.send("/offer", "/offer/ask", question="Who cleans the roof?")
    form = f"/jobs/{NET_STORE}/proposal"
    assert "Who cleans the roof?" in staff.get(form).text
    staff.send(form, f"/jobs/{NET_STORE}/questions", answer="We do, each evening.")
    assert "We do, each evening." in client.get("/offer").text
    assert "Write what" in client.send("/offer", "/offer/ask", 422, question=" ").text


def test_consent_to_records_stands_before_the_signature(server: Server) -> None:
    asking = replace(shop(server.db).terms, asks_records_consent=True)
    save_terms(server.db, _OWNER, shop(server.db).version, asking, NOW)
    client = opened(server)
    page = client.get("/offer")
    assert 'name="consent"' not in page.text
    assert "on paper instead" in page.text
    assert "#f-records" in client.send("/offer", "/offer/records", 422).links()
    client.send("/offer", "/offer/records", records="yes")
    client.send("/offer", "/offer/sign", name="Oddny Vale", consent="yes")
    assert "Mon 4 May 2026, 09:30 UTC" in client.get("/offer/certificate").text


def test_with_mail_a_code_comes_first_and_a_dead_server_is_told(server: Server) -> None:
    save_mail_server(server.db, _OWNER, MailServer("127.0.0.1", 9, "none", "", "o@skerrow.example"), NOW)
    client = opened(server)
    assert "A code of six figures" in client.get("/offer").text
    assert "did not take the letter" in client.send("/offer", "/offer/code", 422, do="send").text
    assert "not the code" in client.send("/offer", "/offer/code", 422, do="give", code="123456").text


def test_the_certificate_and_the_last_day_to_cancel_are_shown_after_signing(server: Server) -> None:
    save_law(server.db, _OWNER, shop(server.db).version, "us-federal", "us-ca", NOW)
    client = opened(server)
    assert client.get("/offer/certificate").heading != "Certificate"
    page = client.send("/offer", "/offer/sign", name="Oddny Vale", consent="yes")
    assert "Thu 7 May 2026" in page.text
    office = server.staff().get(f"/jobs/{NET_STORE}/proposal").text
    assert "order anything that cannot be returned" in office


def test_the_office_sees_what_an_offer_lacks_and_fills_it(server: Server, staff: PageClient) -> None:
    form = f"/jobs/{NET_STORE}/proposal"
    staff.send("/shop/terms", "/shop/terms", heading="", permits="", warranty="")
    staff.send("/shop/terms", "/shop/terms/not-needed", **{"reason-8": "", "reason-18": "we ask none"})
    before = re.search(r"(\d+) of 25 points", staff.get(form).text)
    assert before
    held = staff.send(form, form, 422, **{"reason-4": "No heading is asked for here"})
    assert "Point 13" in held.text
    assert "Point 18" not in held.text
    assert "Point 4:" not in held.text
    assert 'value="No heading is asked for here"' in held.text
    staff.send(
        "/shop/terms", "/shop/terms", heading="Home improvement", permits="The firm.", warranty="2 years"
    )
    after = re.search(r"(\d+) of 25 points", staff.get(form).text)
    assert after
    assert int(after[1]) == int(before[1]) + 3
    staff.send(form, form, **{"reason-8": "No cap in this region"})
    assert "Choose a language" in staff.send("/shop/terms", "/shop/terms", 422, language="xx").text


def test_mail_is_set_up_tried_and_taken_away(server: Server, staff: PageClient) -> None:
    sent = {"host": "127.0.0.1", "port": "9", "security": "none", "sender": "o@skerrow.example"}
    staff.send("/shop/mail", "/shop/mail", **sent, do="save")
    assert "did not take the letter" in staff.send("/shop/mail", "/shop/mail", 422, do="try").text
    assert "Port: give" in staff.send("/shop/mail", "/shop/mail", 422, port="x", do="save").text
    staff.send("/shop/mail", "/shop/mail", host="", do="save")
    assert "to try it" not in staff.get("/shop/mail").text


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_price_list_goes_out_in_and_through_the_preview(
    server: Server, staff: PageClient, kind: str
) -> None:
    content = staff.browser.get(f"/shop/prices.{kind}").content
    token = staff.get("/shop/imports").token
    answer = staff.browser.post(
        "/shop/imports", data={"form_token": token}, files={"file": (f"list.{kind}", content)}
    )
    assert answer.status_code == 200
    assert " 0 new, 0 dearer" in " ".join(answer.text.split()) or "0 new" in answer.text
    path = answer.url.path
    page = staff.send(path, path, do="let-in")
    assert "Let in" in staff.get(path).text
    assert page.heading == "Price file"


def test_a_broken_price_list_names_row_column_and_value(staff: PageClient) -> None:
    broken = "item,name,unit,pack,pack_price,supplier,lead_days\nA,B,each,1,dear,Quay,5\n"
    answer = staff.browser.post(
        "/shop/imports",
        data={"form_token": staff.get("/shop/imports").token},
        files={"file": ("list.csv", broken.encode())},
    )
    assert answer.status_code == 422
    assert "row 2.pack_price" in answer.text
    assert "dear" in answer.text


def test_prices_with_tax_in_them_lead_and_the_tax_stands_beneath(server: Server, staff: PageClient) -> None:
    refused = staff.send("/shop/rules", "/shop/rules", 422, tax_shown="inside")
    assert "need tax on the contract" in refused.text
    staff.send("/shop/rules", "/shop/rules", tax_on="contract", tax_shown="inside", tax_pct="20")
    estimate = work_out(server.db, NET_STORE, NOW.date()).answer.estimate
    client = opened(server)
    text = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", client.get("/offer").text)).split())
    total, tax, price = (
        format_money(amount, estimate.currency)
        for amount in (estimate.total, estimate.contract_tax, estimate.price)
    )
    assert f"Total, tax included {total} of which tax, 20 % of {price} {tax} Price before tax {price}" in text
    rows = re.search(r"<h2>Price</h2>.*?Total, tax included", client.get("/offer").text, re.DOTALL)
    assert rows
    amounts = re.findall(r'class="n">\D*([\d,]+\.\d\d)', rows.group())
    assert sum(Decimal(amount.replace(",", "")) for amount in amounts) == estimate.total


def test_the_roof_by_night_stands_on_the_page_where_there_are_lights(server: Server) -> None:
    card = offer(server.db, _OWNER, QUAY_LOFT, NOW, Printer([]))
    client = server.visitor()
    client.get(f"/s/{make_link(server.db, _OWNER, card.id, 14, NOW)}")
    assert job_sheet(server.db, QUAY_LOFT).job.plan.fixtures
    page = client.get("/offer")
    assert "<h2>By night</h2>" in page.text
    assert "Light after dark of" in page.text
    assert "<h2>By night</h2>" not in opened(server).get("/offer").text
