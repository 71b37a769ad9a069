"""Options on the link: what is shown, what is signed, what is kept, and that nothing of it can be altered."""

import json
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import text

from app.actions.backup import check
from app.actions.changes import difference
from app.actions.database import Database
from app.actions.errors import LinkClosed, Refused
from app.actions.estimate_edits import set_detail, set_options
from app.actions.frozen import read_inputs, read_results
from app.actions.jobs import job_sheet
from app.actions.offer import make_link, offer, revisions
from app.actions.price import price_list, save_wording, set_price, shop
from app.actions.questions import answer, ask, said_about
from app.actions.records import OfferView, StaffMember
from app.actions.shop import save_law, save_terms
from app.actions.sign import consent_to_records, exchange, offer_for, sign
from app.actions.takeoff import work_out
from app.job.file import read_job
from app.pricing.job_pricing import Option
from app.store import offers
from app.whole_job import whole_job
from tests.actions.conftest import NOW, Printer

TODAY = NOW.date()
PLACE = {"now": NOW, "address": "203.0.113.7", "browser": "A browser"}


@pytest.fixture
def things(job_id: int, db: Database) -> list[str]:
    plan = job_sheet(db, job_id).document["plan"]
    return [
        row["id"]
        for key in ("planters", "feature_walls", "benches", "stone_beds")
        for row in plan.get(key, ())
    ]


@pytest.fixture
def options(db: Database, owner: StaffMember, job_id: int, things: list[str]) -> tuple[Option, ...]:
    sheet = job_sheet(db, job_id)
    board = sheet.job.choices.boards[0].id
    field = sheet.job.plan.deck_fields[0].id
    from app.pricing.job_pricing import OtherBoard

    found = (
        Option("same", "The same board", "No change at all", boards=(OtherBoard(field, board),)),
        Option("less", "Less", leaves_out=(things[0],), needs=("same",))
        if things
        else Option("less", "Again", boards=(OtherBoard(field, board),), needs=("same",)),
    )
    set_options(db, owner, job_id, 0, found, NOW)
    return found


@pytest.fixture
def cookie(
    db: Database, owner: StaffMember, job_id: int, printer: Printer, options: tuple[Option, ...]
) -> str:
    card = offer(db, owner, job_id, NOW, printer)
    return exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)


def signed(db: Database, cookie: str, *ticked: str, **other: Any) -> OfferView:
    seen = offer_for(db, cookie, NOW, ticked)
    given = {"name": "Ines Haugan", "consent": True, "fingerprint_seen": seen.fingerprint, **PLACE, **other}
    return sign(db, cookie, ticked=ticked, **given)


def test_every_combination_has_its_own_price_and_fingerprint(
    db: Database, cookie: str, printer: Printer
) -> None:
    plain, one, both = (offer_for(db, cookie, NOW, t) for t in ((), ("same",), ("same", "less")))
    assert len({plain.fingerprint, one.fingerprint, both.fingerprint}) == 3
    assert plain.fingerprint == plain.revision.fingerprint
    assert [o.is_ticked for o in one.options] == [True, False]
    assert one.options[1].more == both.total - one.total
    assert plain.options[1].more is None  # needs the other first
    printed = printer.printed[-1].combinations
    assert {shown.fingerprint for shown in printed} == {one.fingerprint, both.fingerprint}


def test_what_does_not_go_together_is_refused_in_words(db: Database, cookie: str) -> None:
    with pytest.raises(Refused, match="comes only together with The same board"):
        offer_for(db, cookie, NOW, ("less",))
    with pytest.raises(Refused, match="no such option"):
        offer_for(db, cookie, NOW, ("forged",))


def test_a_signature_binds_the_combination_and_the_job_is_built_so(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    wanted = offer_for(db, cookie, NOW, ("same", "less"))
    done = signed(db, cookie, "same", "less")
    assert done.sign_off is not None
    assert (done.sign_off.options, done.sign_off.fingerprint) == (("same", "less"), wanted.fingerprint)
    assert (done.total, done.ticked) == (wanted.total, ("same", "less"))
    card = revisions(db, job_id)[0]
    assert card.total == wanted.total
    assert job_sheet(db, job_id).pricing.ticked == ("same", "less")
    assert work_out(db, job_id, TODAY).answer.estimate.total == wanted.total
    assert difference(db, job_id, TODAY).is_empty


def test_the_fingerprint_of_another_combination_is_not_signed(db: Database, cookie: str) -> None:
    other = offer_for(db, cookie, NOW, ()).fingerprint
    with pytest.raises(Refused, match="What you have read is not what is offered"):
        signed(db, cookie, "same", fingerprint_seen=other)


def test_signing_twice_keeps_the_first_choice(db: Database, cookie: str) -> None:
    first = signed(db, cookie, "same")
    again = sign(
        db, cookie, name="Someone", consent=True, fingerprint_seen="0" * 64, ticked=("same", "less"), **PLACE
    )
    assert again.sign_off == first.sign_off
    assert again.ticked == ("same",)


def test_the_evidence_tells_what_was_seen_agreed_and_done(db: Database, cookie: str) -> None:
    done = signed(db, cookie, "same", drawn="M10,10L20,30L40.5,60")
    assert done.sign_off is not None
    kept = json.loads(done.sign_off.evidence)
    assert kept["options"] == ["same"]
    assert kept["total"] == str(done.total)
    assert done.fingerprint in kept["act"]
    assert [what for _, what in kept["events"]] == ["opened"]
    assert kept["drawn"] == "M10,10L20,30L40.5,60"
    assert kept["document_sha256"] == done.document_sha256
    assert len(kept["trail"]) == 64
    assert not [key for key in kept if "token" in key]


@pytest.mark.parametrize("drawn", ["<script>", "M1,1", "Z" * 50, "M1,1 url(x)", ""])
def test_what_is_no_drawing_is_not_kept(db: Database, cookie: str, drawn: str) -> None:
    done = signed(db, cookie, drawn=drawn)
    assert done.sign_off is not None
    assert json.loads(done.sign_off.evidence)["drawn"] == ""


def test_consent_to_electronic_records_comes_first_where_it_is_asked(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    save_terms(db, owner, shop(db).version, replace(shop(db).terms, asks_records_consent=True), NOW)
    card = offer(db, owner, job_id, NOW, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    assert offer_for(db, cookie, NOW).wants_records_consent
    with pytest.raises(Refused, match="electronic records"):
        signed(db, cookie)
    consent_to_records(db, cookie, NOW)
    done = signed(db, cookie)
    assert done.sign_off is not None
    assert json.loads(done.sign_off.evidence)["records_consent_at"].startswith("2026-05-04")


def test_the_last_day_to_cancel_is_reckoned_from_the_signature(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    """Signed Monday 4 May 2026: three business days after it, Thursday the 7th (16 CFR 429.1)."""
    save_law(db, owner, shop(db).version, "us-federal", "us-ca", NOW)
    card = offer(db, owner, job_id, NOW, printer)
    assert printer.printed[-1].cancel_by[0] == (TODAY, date(2026, 5, 7))
    cookie = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    assert signed(db, cookie).cancel_until == date(2026, 5, 7)


@pytest.mark.parametrize(("detail", "phases", "lines"), [("total", 0, 0), ("phase", 1, 0), ("line", 0, 1)])
def test_the_client_sees_as_much_of_the_price_as_the_owner_chose(
    db: Database, owner: StaffMember, job_id: int, printer: Printer, detail: Any, phases: int, lines: int
) -> None:
    set_detail(db, owner, job_id, 0, detail, NOW)
    card = offer(db, owner, job_id, NOW, printer)
    view = offer_for(db, exchange(db, make_link(db, owner, card.id, 14, NOW), NOW), NOW)
    assert (bool(view.phases), bool(view.lines)) == (bool(phases), bool(lines))
    for shown in (view.phases, view.lines):
        assert not shown or sum(one.price for one in shown) == view.price


def test_questions_and_answers_stand_on_one_page(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    ask(db, cookie, "Ines Haugan", " How high is the step? ", NOW)
    answer(db, owner, job_id, "Eleven centimetres.", NOW + timedelta(hours=1))
    assert [(one.is_client, one.text) for one in said_about(db, job_id)] == [
        (True, "How high is the step?"),
        (False, "Eleven centimetres."),
    ]
    with pytest.raises(Refused, match="Write what"):
        ask(db, cookie, "Ines", "   ", NOW)
    with pytest.raises(LinkClosed):
        ask(db, "forged", "Ines", "Hello", NOW)


def test_an_old_offer_with_options_keeps_its_prices(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    before = [offer_for(db, cookie, NOW, ticked) for ticked in ((), ("same",), ("same", "less"))]
    for item in price_list(db).rows:
        set_price(db, owner, item.item, item.pack_price * 2, TODAY, NOW)
    assert [offer_for(db, cookie, NOW, view.ticked) for view in before] == before


def test_check_proves_the_whole_and_finds_what_was_altered(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    signed(db, cookie, "same")
    report = check(db)
    assert report.faults == ()
    assert (report.revisions, report.signatures) == (1, 1)
    alterations = {
        "UPDATE revisions SET pdf = X'00'": "The PDF of revision 1",
        "UPDATE revisions SET results = results || ' '": "its fingerprint says",
        "UPDATE combinations SET results = results || ' '": "with the options same",
        "UPDATE sign_offs SET fingerprint = 'f'": "not the document that was signed",
        "UPDATE audit SET who = 'Nobody' WHERE id = 2": "trail is broken at entry 2",
    }
    for statement, said in alterations.items():
        with db.connection() as connection:
            connection.execute(text(statement))
        assert [fault for fault in check(db).faults if said in fault], statement


def test_options_that_no_longer_fit_the_plan_stop_the_offer_and_nothing_else(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    set_options(db, owner, job_id, 0, (Option("gone", "Gone", leaves_out=("nothing-such",)),), NOW)
    assert work_out(db, job_id, TODAY).answer.estimate.total > Decimal(0)
    with pytest.raises(Refused, match="cannot be worked out") as refusal:
        offer(db, owner, job_id, NOW, printer)
    assert "nothing-such" not in str(refusal.value) or refusal.value.details


def test_wording_of_the_offer_is_the_one_it_was_made_with(
    db: Database, owner: StaffMember, cookie: str
) -> None:
    before = offer_for(db, cookie, NOW)
    changed = tuple(replace(one, text="Something else") for one in shop(db).wording)
    save_wording(db, owner, shop(db).version, changed, NOW)
    assert offer_for(db, cookie, NOW) == before


def test_an_estimate_made_again_from_what_was_frozen_is_the_same(
    db: Database, job_id: int, cookie: str
) -> None:
    signed(db, cookie, "same")
    for codes in ("", "same", "same+less"):
        with db.read() as session:
            frozen = offers.frozen_with(session, revisions(db, job_id)[0].id, codes)
        assert frozen is not None
        kept, then = read_inputs(frozen.inputs), read_results(frozen.results)
        again = whole_job(
            read_job(kept.job),
            kept.prices,
            kept.crew,
            kept.calendar,
            kept.start_on,
            kept.today,
            kept.pricing,
        )
        assert again.estimate == then.estimate
        assert again.days == then.days
