"""The client's page in French, and what follows a signature: cancelling, counter-signature, certificate."""

import html
import io
import re
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from pypdf import PdfReader

from app.actions.after_signing import events_of
from app.actions.change_orders import note_verbal_change, send_verbal_change
from app.actions.frozen import read_inputs
from app.actions.jobs import job_sheet
from app.actions.offer import links, make_link, offer, revisions, revoke_link
from app.actions.price import shop
from app.actions.records import StaffMember
from app.actions.shop import save_law, save_terms
from app.agreement.terms import TEXTS
from app.documents.words import FOLDER
from app.store import offers
from tests.actions.conftest import Printer
from tests.documents.test_no_english_left import SHARED
from tests.web.conftest import NET_STORE, NOW, Server
from tests.web.page_client import Page, PageClient

_OWNER = StaffMember(1, "Demo", "demo@example.org", "owner")


def opened(server: Server, language: str) -> PageClient:
    save_law(server.db, _OWNER, shop(server.db).version, "us-federal", "us-ca", NOW)
    said = tuple((f"{name}.fr", "Comme convenu.") for name in TEXTS)
    terms = replace(shop(server.db).terms, other=said, asks_records_consent=True)
    save_terms(server.db, _OWNER, shop(server.db).version, terms, NOW)
    card = offer(server.db, _OWNER, NET_STORE, NOW, Printer([]), language=language)  # type: ignore[arg-type]
    client = server.visitor()
    client.get(f"/s/{make_link(server.db, _OWNER, card.id, 30, NOW)}")
    return client


def words(page: Page) -> set[str]:
    body = re.sub(r"<(style|script|title).*?</\1>", " ", page.text, flags=re.DOTALL)
    labels = re.findall(r'aria-label="([^"]*)"', body)
    parts = (html.unescape(part) for part in (*re.split(r"<[^>]*>", body), *labels))
    return {" ".join(part.split()) for part in parts if re.search(r"[A-Za-z]{3}", part)}


def walk(client: PageClient) -> list[set[str]]:
    """See every page that a client sees, and every fault it can make."""
    seen = [words(client.get("/offer"))]
    seen.append(words(client.send("/offer", "/offer/records", 422)))
    client.send("/offer", "/offer/records", records="yes")
    seen.append(words(client.send("/offer", "/offer/sign", 422)))
    seen.append(words(client.send("/offer", "/offer/ask", 422, question=" ")))
    seen.append(words(client.send("/offer", "/offer/ask", 422, question="4111 1111 1111 1111")))
    seen.append(words(client.send("/offer", "/offer/sign", name="Oddny Vale", consent="yes")))
    seen.append(words(client.get("/offer/certificate")))
    seen.append(words(client.get("/offer")))
    seen.append(words(client.send("/offer", "/offer/cancel", 422, name="")))
    seen.append(words(client.send("/offer", "/offer/cancel", name="Oddny Vale", words="Non.")))
    return seen


def test_no_english_word_of_ours_is_left_on_any_page_of_the_client(server: Server) -> None:
    french = walk(opened(server, "fr"))
    sheet, firm = job_sheet(server.db, NET_STORE), shop(server.db)
    given = f"{sheet.document} {sheet.client} {firm.firm} {sheet.number} Oddny Vale testclient Non."
    catalogue = (FOLDER / "fr.po").read_text(encoding="utf-8")
    english = set(re.findall(r'^msgid "([^"]+)"$', catalogue, re.MULTILINE))
    for place, page in enumerate(french):
        left = {text for text in page & english if text not in SHARED and text not in given}
        assert not left, (place, left)
        for text in page - english:
            hits = re.findall(r"\b(?:the|and|you|your|with|this|that|until|from|asked|proposal)\b", text)
            assert not hits or sheet.title in text, (place, text)


def with_a_change(server: Server, title: str) -> int:
    words, said = (title, "Comme convenu."), ("Oddny Vale", NOW.date())
    noted = note_verbal_change(server.db, _OWNER, NET_STORE, words, said, (Decimal("120.50"), 1), NOW)
    return send_verbal_change(server.db, _OWNER, noted, NOW)


def english_in(server: Server, page: set[str], given: str) -> set[str]:
    catalogue = (FOLDER / "fr.po").read_text(encoding="utf-8")
    english = set(re.findall(r'^msgid "([^"]+)"$', catalogue, re.MULTILINE))
    shapes = [re.compile("(.+?)".join(map(re.escape, one.split("{}")))) for one in english if "{}" in one]
    shapes = [shape for shape in shapes if len(shape.pattern) > 12]
    sheet = job_sheet(server.db, NET_STORE)
    given = f"{given} {sheet.document} {sheet.client} {shop(server.db).firm} {sheet.number}"
    own = {text for text in page if text not in SHARED and text not in given}
    return {text for text in own if text in english or any(shape.fullmatch(text) for shape in shapes)}


def test_changes_are_read_signed_and_declined_in_french(server: Server) -> None:
    client = opened(server, "fr")
    client.send("/offer", "/offer/records", records="yes")
    client.send("/offer", "/offer/sign", name="Oddny Vale", consent="yes")
    pages = [words(client.get("/offer/changes"))]
    with_a_change(server, "Un banc")
    made = with_a_change(server, "Une marche")
    pages.append(words(client.get("/offer/changes")))
    pages.append(words(client.send("/offer/changes", "/offer/changes", 422, do="sign", name="")))
    client.send("/offer/changes", "/offer/changes", do="sign", name="Oddny Vale", consent="yes")
    client.send("/offer/changes", "/offer/changes", do="decline", name="")
    pages += [words(client.get("/offer/changes")), words(client.get("/offer/certificate"))]
    given = "Un banc Une marche Comme convenu. Oddny Vale testclient Upstand"
    for place, page in enumerate(pages):
        assert not english_in(server, page, given), place
    assert any(re.fullmatch(r"Avenant \d: Une marche", text) for text in pages[1])
    printed = PdfReader(io.BytesIO(client.browser.get(f"/offer/changes/{made}.pdf").content))
    text = " ".join(page.extract_text() for page in printed.pages)
    assert "Contrat avant cet avenant" in text
    assert "Working days" not in text


@pytest.mark.parametrize("state", ["revoked", "expired", "unknown", "forged"])
def test_what_does_not_open_says_so_in_the_language_of_the_offer(server: Server, state: str) -> None:
    client = opened(server, "fr")
    status = {"revoked": 410, "expired": 410, "unknown": 404, "forged": 403}[state]
    if state == "revoked":
        revoke_link(server.db, _OWNER, links(server.db, NET_STORE, NOW)[0].id, NOW)
    if state == "expired":
        server.app.state.clock = lambda: NOW + timedelta(days=31)
    french = {"accept-language": "fr-CA,en;q=0.5"} if state in ("unknown", "forged") else {}
    if state == "forged":
        answer = client.browser.post("/offer/ask", data={"question": "?"}, headers=french)
    else:
        answer = client.browser.get("/s/nobody" if state == "unknown" else "/offer", headers=french)
    assert answer.status_code == status
    assert '<html lang="fr">' in answer.text
    assert not english_in(server, words(Page(answer.text)), "Upstand")


def test_a_client_cancels_on_the_page_and_gets_a_receipt(server: Server, staff: PageClient) -> None:
    client = opened(server, "en")
    assert "/offer/cancel" not in client.get("/offer").text
    client.send("/offer", "/offer/records", records="yes")
    client.send("/offer", "/offer/sign", name="Oddny Vale", consent="yes")
    assert "until midnight at the end of Thu 7 May 2026" in client.get("/offer").text
    receipt = client.send("/offer", "/offer/cancel", name="Oddny Vale", words="We move.")
    assert receipt.heading == "Received"
    assert "Cancelled by Oddny Vale" in " ".join(receipt.text.split())
    office = staff.get(f"/jobs/{NET_STORE}/proposal").text
    assert "cancelled by Oddny Vale" in office
    assert "We move." in office
    assert "Sign for the firm" not in office
    assert job_sheet(server.db, NET_STORE).state == "let go"


def test_after_the_last_day_the_page_takes_no_notice(server: Server) -> None:
    client = opened(server, "en")
    client.send("/offer", "/offer/records", records="yes")
    client.send("/offer", "/offer/sign", name="Oddny Vale", consent="yes")
    fields = client.get("/offer").fields("/offer/cancel")
    server.app.state.clock = lambda: NOW + timedelta(days=4)
    page = client.get("/offer")
    assert "ended at midnight" in page.text
    assert "ended at midnight" in client.post("/offer/cancel", {**fields, "name": "Oddny"}, 422).text


def test_the_firm_signs_below_and_both_are_on_the_certificate(server: Server, staff: PageClient) -> None:
    client = opened(server, "en")
    client.send("/offer", "/offer/records", records="yes")
    client.send("/offer", "/offer/sign", name="Oddny Vale", consent="yes")
    assert "has not signed in its turn yet" in client.get("/offer/certificate").text
    form = f"/jobs/{NET_STORE}/proposal"
    sign = f"{form}/{revisions(server.db, NET_STORE)[0].id}/sign"
    assert "Type the name" in staff.send(form, sign, 422, name=" ").text
    staff.send(form, sign, name="Maren Holt")
    assert "Maren Holt" in client.get("/offer/certificate").text
    theirs = sign.replace("/sign", "/certificate.pdf")
    for path, browser in (("/offer/certificate.pdf", client), (theirs, staff)):
        answer = browser.browser.get(path)
        assert answer.content.startswith(b"%PDF-")
        assert answer.headers["content-disposition"].startswith("attachment;")


@pytest.mark.parametrize(("part", "noted"), [("price", 1), ("forged", 0)])
def test_what_was_looked_at_is_told_to_the_office(
    server: Server, staff: PageClient, part: str, noted: int
) -> None:
    client = opened(server, "en")
    token = client.get("/offer").token
    answer = client.browser.post("/offer/seen", data={"form_token": token, "part": part})
    assert answer.status_code == 204
    assert client.browser.post("/offer/seen", data={"part": part}).status_code == 403
    seen = [what for _, what in events_of(server.db, NET_STORE, NOW).popitem()[1]]
    assert sum(what == f"looked at: {part}" for what in seen) == noted
    assert ("looked at: price" in staff.get(f"/jobs/{NET_STORE}/proposal").text) == bool(noted)


def test_law_is_taken_over_checked_and_set_by_hand(server: Server, staff: PageClient) -> None:
    page = "/shop/calendar"
    staff.send(page, "/shop/law/preset", law="us-ny")
    assert "New York GBL 771" in staff.get(page).text
    assert "Say who" in staff.send(page, "/shop/law/checked", 422, law_checked_by="", law_months="12").text
    staff.send(page, "/shop/law/checked", law_checked_by="Counsel", law_months="12")
    assert "Checked against local law on Mon 4 May 2026 by Counsel" in " ".join(staff.get(page).text.split())
    assert "whole number" in staff.send(page, "/shop/law/own", 422, own_count="x", own_name="Ours").text
    staff.send(page, "/shop/law/own", own_name="Ours", own_count="7", own_source="statute 9")
    assert shop(server.db).withdrawal == "own"
    server.app.state.clock = lambda: NOW + timedelta(days=900)
    fresh = server.staff()
    if fresh.browser.get("/shop/calendar", follow_redirects=False).status_code == 200:
        assert "read the law again" in fresh.get(page).text


def test_wording_takes_a_title_and_another_language(server: Server, staff: PageClient) -> None:
    staff.send("/shop/wording", "/shop/wording", **{"terms.fr": "# Nos conditions\n\nPayez à temps."})
    found = {text.code: text for text in shop(server.db).wording}
    assert (found["terms.fr"].title, found["terms.fr"].text) == ("Nos conditions", "Payez à temps.")
    refused = staff.send("/shop/wording", "/shop/wording", 422, terms="Card 4111 1111 1111 1111")
    assert "never kept" in refused.text


def test_an_offer_held_back_in_french_goes_out_in_french_once_its_reasons_are_given(
    server: Server, staff: PageClient
) -> None:
    form = f"/jobs/{NET_STORE}/proposal"
    held = staff.send(form, form, 422, language="fr")
    fields = held.fields(form)
    assert fields["language"] == "fr"
    asked = [name for name in fields if name.startswith("reason-")]
    assert asked, "what is missing in French is asked for"
    staff.post(form, {**fields, **dict.fromkeys(asked, "Essai inventé")})
    with server.db.read() as session:
        card = offers.list_revisions(session, NET_STORE, NOW.date())[0]
        kept = offers.frozen_with(session, card.id)
    assert kept is not None
    assert read_inputs(kept.inputs).terms.language == "fr"
