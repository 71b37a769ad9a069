"""The client's side: the link opens once into a cookie, shows public fields only, and is signed last."""

import re
from datetime import timedelta

import pytest

from app.actions.jobs import job_sheet
from app.actions.offer import links, make_link, offer, revisions, revoke_link
from app.actions.records import StaffMember
from app.documents.proposal import proposal_pdf
from tests.web.conftest import NET_STORE, NOW, Server
from tests.web.page_client import PageClient

_OWNER = StaffMember(1, "Demo", "demo@example.org", "owner")


@pytest.fixture
def token(server: Server) -> str:
    """A link to the first revision of the net store."""
    card = offer(server.db, _OWNER, NET_STORE, NOW, proposal_pdf)
    return make_link(server.db, _OWNER, card.id, 14, NOW)


def test_the_link_becomes_a_cookie_and_leaves_the_address(server: Server, token: str) -> None:
    browser = server.visitor().browser
    answer = browser.get(f"/s/{token}", follow_redirects=False)
    assert answer.status_code == 303
    assert answer.headers["location"] == "/offer"
    assert "HttpOnly" in answer.headers["set-cookie"]
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert token not in browser.get("/offer").text


def test_the_drawing_comes_first_and_the_signature_last(server: Server, token: str) -> None:
    text = server.visitor().get(f"/s/{token}").text
    places = [text.index(mark) for mark in ("<svg", "Price</h2>", "Payment stages", "Terms", 'id="sign"')]
    assert places == sorted(places)


def test_the_client_never_sees_cost_wage_markup_or_hours(server: Server, token: str) -> None:
    from app.actions.takeoff import work_out

    text = server.visitor().get(f"/s/{token}").text
    estimate = work_out(server.db, NET_STORE, NOW.date()).answer.estimate
    for amount in (estimate.cost, estimate.direct, estimate.labour, estimate.material):
        assert f"{amount:,.2f}" not in text
    for word in ("markup", "overhead", "wage", "burden", "contingency"):
        assert not re.search(rf"\b{word}\b", text, re.IGNORECASE)


def test_signing_needs_a_name_and_consent_and_keeps_what_was_typed(server: Server, token: str) -> None:
    client = server.visitor()
    client.get(f"/s/{token}")
    page = client.send("/offer", "/offer/sign", 422, name="Oddny Vale")
    assert page.title.startswith("Error: ")
    assert "#f-consent" in page.links()
    assert 'value="Oddny Vale"' in page.text
    assert "#f-name" in client.send("/offer", "/offer/sign", 422, consent="yes").links()


def test_a_signed_offer_gives_a_reference_and_cannot_be_signed_again(server: Server, token: str) -> None:
    client = server.visitor()
    client.get(f"/s/{token}")
    page = client.send("/offer", "/offer/sign", name="Oddny Vale", consent="yes")
    assert page.heading == "Thank you"
    card = revisions(server.db, NET_STORE)[0]
    assert card.sign_off is not None
    assert card.sign_off.name == "Oddny Vale"
    assert f"{card.number}-{card.fingerprint[:8].upper()}" in page.text
    again = client.get("/offer")
    assert "Signed by Oddny Vale" in again.text
    assert 'id="sign"' not in again.text
    assert job_sheet(server.db, NET_STORE).state == "signed"


def test_what_changed_after_signing_is_shown_in_money_and_quantities(
    server: Server, staff: PageClient, token: str
) -> None:
    client = server.visitor()
    client.get(f"/s/{token}")
    client.send("/offer", "/offer/sign", name="Oddny Vale", consent="yes")
    before = staff.get(f"/jobs/{NET_STORE}/changes")
    assert "Nothing has changed since it was signed." in before.text
    path = f"/jobs/{NET_STORE}/plan/stone-beds"
    staff.send(path, path, **{"plan.stone_beds[0].depth": "80"})
    after = staff.get(f"/jobs/{NET_STORE}/changes").text
    assert "Quantities that changed" in after
    assert "loose stone" in after


def test_another_fingerprint_than_the_one_shown_is_not_signed(server: Server, token: str) -> None:
    client = server.visitor()
    client.get(f"/s/{token}")
    client.send("/offer", "/offer/sign", 422, name="Oddny Vale", consent="yes", fingerprint="0" * 64)
    assert revisions(server.db, NET_STORE)[0].sign_off is None


def test_a_signature_without_the_form_of_this_visit_is_refused(server: Server, token: str) -> None:
    client = server.visitor()
    client.get(f"/s/{token}")
    data = client.get("/offer").fields("/offer/sign") | {"name": "Oddny Vale", "consent": "yes"}
    other = server.visitor()
    other.get(f"/s/{token}")
    other.post("/offer/sign", data, 403)
    assert revisions(server.db, NET_STORE)[0].sign_off is None


def test_declining_is_kept_with_its_reason(server: Server, token: str) -> None:
    client = server.visitor()
    client.get(f"/s/{token}")
    client.send("/offer", "/offer/decline", reason="Too soon for us")
    assert revisions(server.db, NET_STORE)[0].decline_reason == "Too soon for us"
    assert "Too soon for us" in server.staff().get(f"/jobs/{NET_STORE}/proposal").text


def test_the_pdf_is_the_one_that_was_offered(server: Server, token: str) -> None:
    client = server.visitor()
    client.get(f"/s/{token}")
    answer = client.browser.get("/offer/proposal.pdf")
    assert answer.content.startswith(b"%PDF-")
    assert answer.headers["content-disposition"].startswith("attachment;")


def test_an_unknown_link_says_nothing_of_any_job(visitor: PageClient) -> None:
    page = visitor.get("/s/" + "x" * 43, 404)
    assert page.heading == "This link does not open"
    assert "Skerrow" not in page.text
    assert visitor.get("/offer", 404).heading == "This link does not open"


@pytest.mark.parametrize("kind", ["expired", "revoked", "superseded"])
def test_a_closed_link_is_gone_and_leaks_nothing(server: Server, token: str, kind: str) -> None:
    opened = server.visitor()
    opened.get(f"/s/{token}")
    if kind == "expired":
        server.app.state.clock = lambda: NOW + timedelta(days=15)
    elif kind == "revoked":
        revoke_link(server.db, _OWNER, links(server.db, NET_STORE)[0].id, NOW)
    else:
        offer(server.db, _OWNER, NET_STORE, NOW, proposal_pdf)
    for browser, path in (
        (server.visitor(), f"/s/{token}"),
        (opened, "/offer"),
        (opened, "/offer/proposal.pdf"),
    ):
        page = browser.get(path, 410)
        assert page.heading == "This link does not open"
        for leak in ("Oddny", "Net store", "$", "Skerrow"):
            assert leak not in page.text


def test_the_staff_make_copy_and_withdraw_a_link(server: Server, staff: PageClient) -> None:
    path = f"/jobs/{NET_STORE}/proposal"
    assert "The revision is made" in staff.send(path, path).text
    made = staff.send(path, f"/jobs/{NET_STORE}/links", days_valid="7")
    shown = re.search(r"/s/([\w-]{40,})", made.text)
    assert shown
    assert shown[1] not in staff.get(path).text
    assert server.visitor().get(f"/s/{shown[1]}").heading
    page = staff.get(path)
    link = links(server.db, NET_STORE)[0]
    assert link.opened == 1
    staff.post(f"/jobs/{NET_STORE}/links/{link.id}/revoke", {"form_token": page.token})
    server.visitor().get(f"/s/{shown[1]}", 410)


@pytest.mark.parametrize("days", ["", "0", "61", "a week", "-3"])
def test_a_link_is_open_for_a_number_of_days(
    server: Server, staff: PageClient, token: str, days: str
) -> None:
    page = staff.send(f"/jobs/{NET_STORE}/proposal", f"/jobs/{NET_STORE}/links", 422, days_valid=days)
    assert "There is a problem" in page.text


@pytest.mark.usefixtures("token")
def test_a_revision_of_another_job_is_not_served_under_this_one(server: Server, staff: PageClient) -> None:
    card = revisions(server.db, NET_STORE)[0]
    assert staff.browser.get(f"/jobs/{NET_STORE}/proposal/{card.id}.pdf").status_code == 200
    assert staff.browser.get(f"/jobs/2/proposal/{card.id}.pdf").status_code == 404
