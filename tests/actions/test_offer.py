import json
from dataclasses import asdict, replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from app.actions.changes import difference
from app.actions.database import Database
from app.actions.document import save_part
from app.actions.errors import LinkClosed, NotFound, Refused, StaleSave, TooOften
from app.actions.frozen import fingerprint_of, read_inputs
from app.actions.jobs import job_sheet, list_jobs, set_state
from app.actions.offer import links, make_link, offer, revision_pdf, revisions, revoke_link
from app.actions.price import price_item, save_wording, set_price, shop
from app.actions.records import OfferView, StaffMember
from app.actions.shop import save_law
from app.actions.sign import decline, exchange, offer_for, offer_pdf, sign
from app.actions.takeoff import work_out
from app.actions.tokens import token_hash
from app.store import links as link_store
from app.store import offers
from tests.actions.conftest import NOW, Printer
from tests.rows import everything_kept

PLACE = ("203.0.113.7", "A browser")
# What a client must never see: fields of the estimate and of the shop's rules.
PRIVATE = (
    "wage",
    "burden",
    "overhead",
    "profit",
    "contingency",
    "markup",
    "margin",
    "hours",
    "cost",
    "direct",
)


@pytest.fixture
def open_link(db: Database, owner: StaffMember, job_id: int, printer: Printer) -> str:
    card = offer(db, owner, job_id, NOW, printer)
    return make_link(db, owner, card.id, 14, NOW)


def signed(db: Database, cookie: str, **other: Any) -> OfferView:
    view = offer_for(db, cookie, NOW)
    given = {"name": "Ines Haugan", "consent": True, "fingerprint_seen": view.revision.fingerprint, **other}
    return sign(db, cookie, now=NOW, address=PLACE[0], browser=PLACE[1], **given)


def test_an_offer_freezes_inputs_results_and_the_printed_bytes(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    card = offer(db, owner, job_id, NOW, printer)
    worked = work_out(db, job_id, card.offered_on)
    assert (card.number, card.state, card.total) == (1, "live", worked.answer.estimate.total)
    assert card.valid_until_on == card.offered_on + timedelta(days=worked.prices.rules.validity_days)
    assert revision_pdf(db, card.id) == f"%PDF 1 {card.fingerprint}".encode()
    assert printer.printed[0].revision.fingerprint == card.fingerprint
    with db.read() as session:
        frozen = offers.frozen_with(session, card.id)
    assert frozen is not None
    assert fingerprint_of(frozen.inputs, frozen.results) == card.fingerprint
    assert read_inputs(frozen.inputs).job == job_sheet(db, job_id).document
    assert list_jobs(db)[0].total == card.total
    assert job_sheet(db, job_id).state == "offered"


def test_a_new_price_never_changes_an_old_offer(
    db: Database, owner: StaffMember, job_id: int, open_link: str, printer: Printer
) -> None:
    cookie = exchange(db, open_link, NOW)
    before = offer_for(db, cookie, NOW)
    for item in work_out(db, job_id, date(2026, 5, 4)).prices.items:
        set_price(db, owner, item.item, item.pack_price * 2, date(2026, 5, 4), NOW)
    assert offer_for(db, cookie, NOW) == before
    assert revision_pdf(db, 1) == f"%PDF 1 {before.revision.fingerprint}".encode()
    assert offer(db, owner, job_id, NOW, printer).total > before.total


def test_a_stop_keeps_a_job_from_being_offered(
    db: Database, owner: StaffMember, job_id: int, document: dict[str, Any], printer: Printer
) -> None:
    survey = {**document["survey"], "allowable_load": None}
    save_part(db, owner, job_id, 1, "survey", survey, NOW)
    with pytest.raises(Refused, match="Settle what stops") as refusal:
        offer(db, owner, job_id, NOW, printer)
    assert refusal.value.details
    assert printer.printed == []
    assert revisions(db, job_id) == ()


def test_an_offer_of_a_job_that_changed_meanwhile_is_stale(
    db: Database, owner: StaffMember, other: StaffMember, job_id: int
) -> None:
    def slow(_: object) -> bytes:
        save_part(db, other, job_id, 1, "notes", "one more thing", NOW)
        return b"%PDF"

    with pytest.raises(StaleSave):
        offer(db, owner, job_id, NOW, slow)
    assert revisions(db, job_id) == ()


def test_an_offer_needs_the_whole_wording(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    kept = tuple(text for text in shop(db).wording if text.code != "cancellation")
    save_wording(db, owner, shop(db).version, kept, NOW)
    with pytest.raises(Refused) as refusal:
        offer(db, owner, job_id, NOW, printer)
    assert refusal.value.details == ("cancellation",)


def test_a_client_sees_no_cost_wage_or_markup(db: Database, open_link: str) -> None:
    view = offer_for(db, exchange(db, open_link, NOW), NOW)
    names = json.dumps(asdict(view), default=str)
    keys = {key for part in _dicts(asdict(view)) for key in part}
    assert not [key for key in keys if any(word in key for word in PRIVATE)]
    assert "45.76" not in names
    assert sum(stage.amount for stage in view.stages) == view.total
    assert sum(phase.price for phase in view.phases) == view.price
    assert view.plan_svg.lstrip().startswith("<svg")


def _dicts(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        return [value, *(found for inner in value.values() for found in _dicts(inner))]
    if isinstance(value, (list, tuple)):
        return [found for inner in value for found in _dicts(inner)]
    return []


def test_signing_binds_name_words_time_place_and_bytes(db: Database, job_id: int, open_link: str) -> None:
    view = signed(db, exchange(db, open_link, NOW))
    assert view.sign_off is not None
    assert (view.sign_off.name, view.sign_off.signed_at) == ("Ines Haugan", NOW)
    assert (view.sign_off.address, view.sign_off.browser) == PLACE
    assert view.sign_off.document_sha256 == view.document_sha256
    assert "sign it on screen" in view.sign_off.consent
    assert (view.state, view.can_sign) == ("signed", False)
    assert job_sheet(db, job_id).state == "signed"
    assert job_sheet(db, job_id).history[0].who == "client: Ines Haugan"


def test_signing_again_changes_nothing(db: Database, job_id: int, open_link: str) -> None:
    cookie = exchange(db, open_link, NOW)
    first = signed(db, cookie)
    again = signed(db, cookie, name="Somebody Else")
    assert again.sign_off == first.sign_off
    assert len([row for row in job_sheet(db, job_id).history if row.what.startswith("signed")]) == 1


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"name": "  "}, "full name"),
        ({"consent": False}, "Tick the box"),
        ({"fingerprint_seen": "0" * 64}, "not what is offered now"),
    ],
)
def test_a_signature_that_lacks_something_is_refused(
    db: Database, job_id: int, open_link: str, wrong: dict[str, Any], message: str
) -> None:
    cookie = exchange(db, open_link, NOW)
    with pytest.raises(Refused, match=message):
        signed(db, cookie, **wrong)
    assert offer_for(db, cookie, NOW).sign_off is None
    assert job_sheet(db, job_id).state == "offered"


def test_an_offer_that_has_run_out_is_shown_but_not_signed(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    card = offer(db, owner, job_id, NOW, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 90, NOW), NOW)
    late = NOW + timedelta(days=31)
    view = offer_for(db, cookie, late)
    assert (view.state, view.can_sign) == ("run out", False)
    with pytest.raises(Refused, match="held until"):
        sign(db, cookie, "Ines", True, view.revision.fingerprint, late, *PLACE)


def test_the_last_day_of_an_offer_ends_at_midnight_on_the_site(
    db: Database, owner: StaffMember, job_id: int, document: dict[str, Any], printer: Printer
) -> None:
    place = {"latitude": 44, "longitude": -69, "time_zone": "America/New_York"}
    save_part(db, owner, job_id, 1, "survey", {**document["survey"], "place": place}, NOW)
    card = offer(db, owner, job_id, datetime(2026, 5, 5, 3, 30, tzinfo=UTC), printer)
    assert card.offered_on == date(2026, 5, 4)
    cookie = exchange(db, make_link(db, owner, card.id, 90, NOW), NOW)
    midnight = datetime(2026, 6, 4, 4, 0, tzinfo=UTC)
    assert card.valid_until_on == date(2026, 6, 3)
    assert offer_for(db, cookie, midnight - timedelta(minutes=1)).can_sign
    assert not offer_for(db, cookie, midnight).can_sign


def test_a_declined_offer_keeps_the_reason_and_is_not_signed(
    db: Database, job_id: int, open_link: str
) -> None:
    cookie = exchange(db, open_link, NOW)
    assert decline(db, cookie, "too dear", NOW).state == "declined"
    assert decline(db, cookie, "again", NOW).declined_at == NOW
    assert revisions(db, job_id)[0].decline_reason == "too dear"
    with pytest.raises(Refused, match="was declined"):
        signed(db, cookie)


def test_a_link_closes_for_each_reason_with_its_own_word(
    db: Database, owner: StaffMember, job_id: int, open_link: str, printer: Printer
) -> None:
    cookie = exchange(db, open_link, NOW)
    assert offer_pdf(db, cookie, NOW).startswith(b"%PDF")

    def kind(token: str, days: int = 0) -> str:
        with pytest.raises(LinkClosed) as closed:
            exchange(db, token, NOW + timedelta(days=days))
        return closed.value.kind

    assert kind("nonsense") == "unknown"
    assert kind(open_link, days=14) == "expired"
    second = make_link(db, owner, 1, 3, NOW)
    revoke_link(db, owner, 2, NOW)
    assert kind(second) == "revoked"
    newer = offer(db, owner, job_id, NOW, printer)
    assert kind(open_link) == "superseded"
    with pytest.raises(LinkClosed):
        offer_for(db, cookie, NOW)
    assert newer.number == 2
    assert [link.state for link in links(db, job_id, NOW)] == ["revoked", "superseded"]


def test_revoking_a_link_shuts_out_a_browser_that_opened_it(
    db: Database, owner: StaffMember, job_id: int, open_link: str
) -> None:
    cookie = exchange(db, open_link, NOW)
    revoke_link(db, owner, 1, NOW)
    with pytest.raises(LinkClosed) as closed:
        offer_for(db, cookie, NOW)
    assert closed.value.kind == "revoked"
    with pytest.raises(NotFound):
        revoke_link(db, owner, 99, NOW)


def test_a_signed_proposal_stays_open_when_a_change_is_offered_after_it(
    db: Database, owner: StaffMember, job_id: int, open_link: str, printer: Printer
) -> None:
    cookie = exchange(db, open_link, NOW)
    signed(db, cookie)
    change = offer(db, owner, job_id, NOW, printer)
    assert offer_for(db, cookie, NOW).state == "signed"
    assert (change.number, job_sheet(db, job_id).state) == (2, "signed")


def test_the_token_is_shown_once_and_never_kept(db: Database, open_link: str) -> None:
    exchange(db, open_link, NOW)
    kept = everything_kept(db)
    assert token_hash(open_link) in kept
    assert open_link not in kept
    assert len(open_link) >= 43


def test_each_opening_is_counted_and_noted(db: Database, job_id: int, open_link: str) -> None:
    cookies = {exchange(db, open_link, NOW), exchange(db, open_link, NOW + timedelta(hours=1))}
    card = links(db, job_id, NOW)[0]
    assert len(cookies) == 2
    assert (card.opened, card.last_opened_at) == (2, NOW + timedelta(hours=1))
    signed(db, cookies.pop())
    with db.read() as session:
        assert [what for _, what in link_store.events(session, card.id)] == ["opened", "opened", "signed"]


def test_guessing_links_is_braked_for_one_sender_only(db: Database, open_link: str) -> None:
    for guess in range(30):
        with pytest.raises(LinkClosed):
            exchange(db, f"guess-{guess}", NOW, "203.0.113.9")
    with pytest.raises(TooOften):
        exchange(db, open_link, NOW, "203.0.113.9")
    exchange(db, open_link, NOW, "198.51.100.4")


def test_a_link_is_open_for_a_day_to_ninety(db: Database, owner: StaffMember, open_link: str) -> None:
    for days in (0, 91):
        with pytest.raises(Refused, match="1 to 90 days"):
            make_link(db, owner, 1, days, NOW)


def test_no_work_starts_while_the_client_may_still_cancel(
    db: Database, owner: StaffMember, job_id: int, open_link: str
) -> None:
    save_law(db, owner, shop(db).version, "us-federal", "us-ca", NOW)
    signed(db, exchange(db, open_link, NOW))
    with pytest.raises(Refused, match="may still cancel"):
        set_state(db, owner, job_id, "on the roof", NOW)
    set_state(db, owner, job_id, "on the roof", NOW + timedelta(days=7))


def test_the_shops_cap_limits_the_deposit(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    rules = shop(db).rules
    assert rules.deposit_pct == Decimal(10)
    save_law(db, owner, shop(db).version, "", "us-ca", NOW)
    offer(db, owner, job_id, NOW, printer)
    stages = printer.printed[0].revision.stages
    assert stages[0].code == "deposit"
    assert stages[0].amount <= Decimal(1000)


def test_the_difference_is_between_what_was_signed_and_what_stands(
    db: Database, owner: StaffMember, job_id: int, open_link: str
) -> None:
    today = date(2026, 5, 4)
    with pytest.raises(Refused, match="Nothing is signed"):
        difference(db, job_id, today)
    signed(db, exchange(db, open_link, NOW))
    assert difference(db, job_id, today).is_empty
    item = next(line.item for line in work_out(db, job_id, today).answer.estimate.lines if line.packs)
    set_price(db, owner, item, price_item(db, item).item.pack_price + 100, today, NOW)
    change = difference(db, job_id, today)
    assert change.total_change == change.total_now - change.total_then > 0
    assert change.lines
    assert change.phases
    assert not change.quantities
    with pytest.raises(NotFound):
        difference(db, 99, today)


def test_a_frozen_record_can_be_replaced_only_by_a_new_one(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    first = offer(db, owner, job_id, NOW, printer)
    second = offer(db, owner, job_id, NOW + timedelta(days=1), printer)
    kept = revisions(db, job_id)
    assert [card.number for card in kept] == [2, 1]
    assert kept[1] == replace(first, state="superseded")
    assert second.fingerprint != first.fingerprint
    with pytest.raises(Refused, match="Revision 1 is superseded"):
        make_link(db, owner, first.id, 14, NOW)
