"""After the client's signature: the firm's own, copies to both, cancelling, what was looked at, the seal."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import ROUND_DOWN, Decimal

import pytest
from sqlalchemy import text

from app.actions.after_signing import (
    certificate_of,
    counter_sign,
    events_of,
    receipt_of_cancelling,
    saw,
    send_copies,
    signed_copies,
)
from app.actions.backup import check
from app.actions.cancel import cancel
from app.actions.clients import add_client
from app.actions.database import Database
from app.actions.errors import LinkClosed, Refused
from app.actions.estimate_edits import set_special_orders
from app.actions.frozen import read_results
from app.actions.jobs import job_sheet
from app.actions.law import note_check, save_own_clock, take_over
from app.actions.mail import MailServer, list_letters, save_mail_server
from app.actions.offer import make_link, offer, revisions
from app.actions.offer_page import old_law
from app.actions.price import shop
from app.actions.questions import ask
from app.actions.records import OfferView, StaffMember
from app.actions.shop import save_law, save_rules, save_terms, save_wording
from app.actions.sign import decline, exchange, offer_for, offer_pdf, sign
from app.agreement.presets import law_preset
from app.agreement.terms import TEXTS
from app.agreement.withdrawal import READ_ON, WithdrawalRule
from app.documents.proposal import proposal_pdf
from app.store import offers
from tests.actions.conftest import NOW, Printer
from tests.actions.test_mail import Box, box, mailing

__all__ = ["box", "mailing"]  # fixtures
OWN = WithdrawalRule("own", "Our own", 4, "business Monday to Friday", "signed", 0, "statute 1, read", "US")
CARD = "4111 1111 1111 1111"


@pytest.fixture
def cookie(db: Database, owner: StaffMember, job_id: int, printer: Printer) -> str:
    save_law(db, owner, shop(db).version, "us-federal", "us-ca", NOW)
    card = offer(db, owner, job_id, NOW, printer)
    return exchange(db, make_link(db, owner, card.id, 90, NOW), NOW)


def signed(db: Database, cookie: str, now: datetime = NOW) -> OfferView:
    seen = offer_for(db, cookie, now).fingerprint
    return sign(db, cookie, "Ines Haugan", True, seen, now, "192.0.2.7", "a browser")


def test_the_firm_signs_below_the_client_once(
    db: Database, owner: StaffMember, other: StaffMember, job_id: int, cookie: str
) -> None:
    with pytest.raises(Refused, match="client signs first"):
        counter_sign(db, owner, 1, "Maren Holt", NOW)
    done = signed(db, cookie)
    with pytest.raises(Refused, match="Type the name"):
        counter_sign(db, owner, 1, " 7 ", NOW)
    card = counter_sign(db, owner, 1, "Maren Holt", NOW + timedelta(hours=1))
    again = counter_sign(db, other, 1, "Somebody Else", NOW + timedelta(hours=2))
    assert card.counter_sign == again.counter_sign
    assert card.counter_sign is not None
    assert card.counter_sign.fingerprint == done.fingerprint
    assert offer_for(db, cookie, NOW).counter_sign == card.counter_sign
    assert check(db).faults == ()
    assert "Maren Holt" in "".join(entry.what for entry in job_sheet(db, job_id).history)


def test_a_client_cancels_on_its_page_until_midnight_of_the_last_day_and_not_after(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    """Signed Monday 4 May 2026; three business days: Thursday the 7th (16 CFR 429.1)."""
    with pytest.raises(Refused, match="Nothing was signed"):
        cancel(db, cookie, "Ines", "", NOW, "x", "y")
    signed(db, cookie)
    late = datetime(2026, 5, 8, 12, 0, tzinfo=UTC)
    with pytest.raises(Refused, match="ended at midnight at the end of 2026-05-07"):
        cancel(db, cookie, "Ines", "", late, "x", "y")
    with pytest.raises(Refused, match="full name"):
        cancel(db, cookie, "  ", "", NOW, "x", "y")
    last = datetime(2026, 5, 7, 20, 0, tzinfo=UTC)
    cancel(db, cookie, "Ines Haugan", "We move away.", last, "192.0.2.7", "a browser")
    cancel(db, cookie, "Ines Haugan", "Again.", last + timedelta(minutes=1), "x", "y")
    view = offer_for(db, cookie, last)
    assert view.cancelled is not None
    assert (view.cancelled.words, view.cancelled.cancelled_at) == ("We move away.", last)
    card = revisions(db, job_id)[0]
    assert (card.state, card.sign_off) == ("cancelled", None)
    assert job_sheet(db, job_id).state == "let go"
    with pytest.raises(Refused, match="cancelled"):
        counter_sign(db, owner, 1, "Maren", last)
    assert signed(db, cookie, last).cancelled is not None  # signing again changes nothing
    assert check(db).faults == ()


def test_a_page_without_a_clock_takes_no_notice(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    card = offer(db, owner, job_id, NOW, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    signed(db, cookie)
    assert offer_for(db, cookie, NOW).cancel_by == ()
    with pytest.raises(Refused, match="takes no notice"):
        cancel(db, cookie, "Ines", "", NOW, "x", "y")


def test_where_the_law_counts_from_the_copy_the_clock_waits_for_it(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    """Ontario: ten days after the client has the written copy."""
    save_law(db, owner, shop(db).version, "ca-on", "ca-on", NOW)
    card = offer(db, owner, job_id, NOW, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 90, NOW), NOW)
    offer_pdf(db, cookie, NOW)  # read before it is signed: that is no signed copy
    signed(db, cookie, NOW + timedelta(minutes=5))
    later = NOW + timedelta(days=30)
    waiting = offer_for(db, cookie, later).clock
    assert waiting is not None
    assert (waiting.has_begun, waiting.is_running) == (False, True)
    offer_pdf(db, cookie, later)
    begun = offer_for(db, cookie, later).clock
    assert begun is not None
    assert (begun.has_begun, begun.last_day_on) == (True, date(2026, 6, 13))


def test_the_firms_own_days_off_do_not_lengthen_the_right(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    """Signed Thursday 21 May 2026: Fri 22, Sat 23, Tue 26, for Monday the 25th is Memorial Day."""
    from app.actions.shop import save_calendar

    mine = shop(db)
    closed = ((date(2026, 5, 22), "yard closed"), (date(2026, 5, 26), "yard closed"))
    save_calendar(db, owner, mine.version, (mine.region, mine.weekdays, closed), NOW)
    save_law(db, owner, shop(db).version, "us-federal", "", NOW)
    save_terms(
        db, owner, shop(db).version, replace(shop(db).terms, not_needed=((8, "none"), (22, "none"))), NOW
    )
    thursday = datetime(2026, 5, 21, 15, 0, tzinfo=UTC)
    card = offer(db, owner, job_id, thursday, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 14, thursday), thursday)
    assert signed(db, cookie, thursday).cancel_until == date(2026, 5, 26)


def test_the_firms_own_clock_holds_and_is_frozen(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    """Four days, Monday to Friday, from Monday 4 May 2026: Friday the 8th."""
    save_own_clock(db, owner, shop(db).version, OWN, NOW)
    card = offer(db, owner, job_id, NOW, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    save_law(db, owner, shop(db).version, "gb", "", NOW)
    assert signed(db, cookie).cancel_until == date(2026, 5, 8)
    for wrong, said in (
        (replace(OWN, count=0), "whole number"),
        (replace(OWN, source=""), "which law"),
        (replace(OWN, holidays="QQ"), "Holidays"),
    ):
        with pytest.raises(Refused, match=said):
            save_own_clock(db, owner, shop(db).version, wrong, NOW)


def test_copies_go_to_both_with_the_certificate_and_failures_are_told(
    db: Database, owner: StaffMember, job_id: int, cookie: str, mailing: Box
) -> None:
    assert send_copies(db, 1, NOW) == ()
    assert mailing.letters == []
    signed(db, cookie)
    assert signed_copies(db, cookie, NOW) == ()
    assert [letter["To"] for letter in mailing.letters] == ["ines@example.org", shop(db).firm.email]
    names = [part.get_filename() for part in mailing.letters[0].iter_attachments()]
    number = job_sheet(db, job_id).number
    assert names == [f"{number}-revision-1.pdf", f"{number}-revision-1-certificate.pdf"]
    whole = [part.get_content() for part in mailing.letters[0].iter_attachments()]
    assert whole[0] == offer_pdf(db, cookie, NOW)
    assert whole[1].startswith(b"%PDF-")
    assert [what for _, what in events_of(db, job_id, NOW)[1]].count("signed copy sent by mail") == 1
    save_mail_server(db, owner, MailServer("127.0.0.1", 9, "none", "", "o@skerrow.example"), NOW)
    faults = send_copies(db, 1, NOW)
    assert len(faults) == 2
    assert list_letters(db)[0].fault


def test_a_receipt_of_the_cancellation_goes_to_both(db: Database, cookie: str, mailing: Box) -> None:
    signed(db, cookie)
    cancel(db, cookie, "Ines Haugan", "No more.", NOW, "x", "y")
    assert receipt_of_cancelling(db, cookie, NOW) == ()
    assert len(mailing.letters) == 2
    body = mailing.letters[0].get_body(("plain",)).get_content()
    assert "notice of cancellation was received" in body
    assert "No more." in body


def test_without_mail_nothing_is_sent_and_all_works(db: Database, cookie: str) -> None:
    signed(db, cookie)
    assert signed_copies(db, cookie, NOW) == ()
    assert list_letters(db) == ()
    assert certificate_of(db, 1, NOW).startswith(b"%PDF-")
    assert certificate_of(db, 1, NOW) == certificate_of(db, 1, NOW)


def test_what_the_client_looked_at_is_noted_once_an_hour(db: Database, job_id: int, cookie: str) -> None:
    for part, at in (("price", NOW), ("price", NOW), ("stages", NOW), ("price", NOW + timedelta(hours=2))):
        saw(db, cookie, part, at)
    saw(db, cookie, "<script>", NOW)
    seen = [what for _, what in events_of(db, job_id, NOW)[1]]
    assert seen == ["opened", "looked at: price", "looked at: stages", "looked at: price"]
    with pytest.raises(LinkClosed):
        saw(db, "forged", "price", NOW)


def test_the_seal_proves_all_that_is_kept_of_a_signature(db: Database, cookie: str) -> None:
    signed(db, cookie)
    assert check(db).faults == ()
    for column, value in (("name", "Mallory"), ("evidence", "{}"), ("address", "x"), ("consent", "other")):
        with db.connection() as connection:
            kept = connection.execute(text(f"SELECT {column} FROM sign_offs")).scalar_one()
            connection.execute(text(f"UPDATE sign_offs SET {column} = :new"), {"new": value})
        assert [fault for fault in check(db).faults if "what is kept of the signature" in fault], column
        with db.connection() as connection:
            connection.execute(text(f"UPDATE sign_offs SET {column} = :old"), {"old": kept})
    assert check(db).faults == ()


def test_an_offer_says_everything_or_why_not_and_keeps_the_reason(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    save_terms(db, owner, shop(db).version, replace(shop(db).terms, permits="", not_needed=()), NOW)
    with pytest.raises(Refused, match="does not say all") as refusal:
        offer(db, owner, job_id, NOW, printer, reasons={8: "No cap here", 13: "  "})
    numbers = [line.split(":")[0] for line in refusal.value.details]
    assert numbers == ["Point 13", "Point 18", "Point 22"]
    reasons = {8: "No cap here", 13: "No permit for this", 18: "A firm buys", 22: "On paper"}
    card = offer(db, owner, job_id, NOW, printer, reasons=reasons)
    assert [(number, why) for number, _, why in printer.printed[-1].unsaid] == list(reasons.items())
    cookie = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    done = signed(db, cookie)
    assert done.sign_off is not None
    kept = json.loads(done.sign_off.evidence)["unsaid"]
    assert [13, "Who obtains permits", "No permit for this"] in kept


@pytest.fixture
def typed_places(db: Database, owner: StaffMember, cookie: str) -> list[object]:
    version = shop(db).version
    wording = (replace(shop(db).wording[0], text=f"Pay with {CARD}"), *shop(db).wording[1:])
    return [
        lambda: ask(db, cookie, "Ines", f"My card is {CARD}", NOW),
        lambda: decline(db, cookie, f"Take 078-05-1120 and go {CARD}", NOW),
        lambda: sign(db, cookie, f"Ines {CARD}", True, "x", NOW, "x", "y"),
        lambda: cancel(db, cookie, "Ines", CARD, NOW, "x", "y"),
        lambda: add_client(db, owner, "Ines", "", "", f"9 Quay Rise, SSN 078-05-1120 {CARD}", NOW),
        lambda: save_terms(db, owner, version, replace(shop(db).terms, payment_methods=CARD), NOW),
        lambda: save_wording(db, owner, version, wording, NOW),
        lambda: offer(db, owner, 1, NOW, Printer([]), reasons={8: CARD}),
    ]


def test_a_card_number_is_refused_wherever_it_is_typed_and_nowhere_kept(
    db: Database, typed_places: list[object]
) -> None:
    for place in typed_places:
        with pytest.raises(Refused, match="never kept"):
            place()  # type: ignore[operator]
    with db.connection() as connection:
        tables = (
            connection.execute(text("SELECT name FROM sqlite_master WHERE type = 'table'")).scalars().all()
        )
        for table in tables:
            rows = connection.execute(text(f"SELECT * FROM {table}")).all()
            assert "4111" not in "".join(map(str, rows)), table


def test_a_regions_preset_is_taken_over_and_grows_old(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    save_terms(db, owner, shop(db).version, replace(shop(db).terms, heading=""), NOW)
    take_over(db, owner, shop(db).version, "us-ca", NOW)
    found, preset = shop(db), law_preset("us-ca")
    assert preset is not None
    assert (found.withdrawal, found.deposit_cap, found.terms.law) == ("us-ca", "us-ca", "us-ca")
    assert found.terms.heading == "Home improvement contract"
    assert found.terms.insurance  # what the firm had written stays
    assert {text.code: text.text for text in found.wording}["cancellation"] == preset.cancellation.text
    assert dict(found.terms.not_needed) == {}
    assert {text.code for text in found.wording} >= {"cancellation.fr", "records.fr"}
    assert dict(found.terms.other)["heading.fr"] == "Contrat d’amélioration de l’habitat"
    offer(db, owner, job_id, NOW, printer)  # nothing is missing any more
    assert old_law(db, READ_ON) == ()
    aged = READ_ON + timedelta(days=400)
    assert len(old_law(db, aged)) == 3
    note_check(db, owner, found.version, "Counsel", 12, NOW, aged)
    assert old_law(db, aged) == ()
    assert old_law(db, aged + timedelta(days=400))
    with pytest.raises(Refused, match="no preset"):
        take_over(db, owner, shop(db).version, "atlantis", NOW)


def test_where_consumers_see_prices_with_tax_the_preset_sets_it_or_says_so(
    db: Database, owner: StaffMember
) -> None:
    take_over(db, owner, shop(db).version, "eu", NOW)
    assert shop(db).rules.tax_shown == "apart"
    assert "prices with the tax in them" in old_law(db, READ_ON)[0]
    save_rules(db, owner, shop(db).version, replace(shop(db).rules, tax_on="contract"), NOW)
    take_over(db, owner, shop(db).version, "gb", NOW)
    assert shop(db).rules.tax_shown == "inside"
    assert old_law(db, READ_ON) == ()


def test_special_orders_raise_the_cap_where_the_law_lets_them(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    rules = replace(shop(db).rules, deposit_pct=Decimal(60))
    save_rules(db, owner, shop(db).version, rules, NOW)
    take_over(db, owner, shop(db).version, "us-ma", NOW)
    plain = offer(db, owner, job_id, NOW, printer)
    cost = (plain.total / 2).quantize(Decimal("0.01"))
    set_special_orders(db, owner, job_id, job_sheet(db, job_id).pricing_version, cost, NOW)
    more = offer(db, owner, job_id, NOW, printer)
    due = []
    for card in (plain, more):
        with db.read() as session:
            frozen = offers.frozen_with(session, card.id)
        assert frozen is not None
        due.append(read_results(frozen.results).stages[0].amount)
    assert due == [(plain.total / 3).quantize(Decimal("0.01"), rounding=ROUND_DOWN), cost]
    with pytest.raises(Refused, match="from 0 up"):
        set_special_orders(db, owner, job_id, job_sheet(db, job_id).pricing_version, Decimal(-1), NOW)


def test_an_offer_in_french_is_french_in_wording_and_particulars(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    with pytest.raises(Refused, match="does not say all"):
        offer(db, owner, job_id, NOW, printer, language="fr")
    said = tuple((f"{name}.fr", "Comme convenu.") for name in TEXTS if name != "salesperson")
    save_terms(db, owner, shop(db).version, replace(shop(db).terms, other=said), NOW)
    card = offer(db, owner, job_id, NOW, printer, language="fr")
    printed = printer.printed[-1]
    assert printed.terms.warranty == "Comme convenu."
    assert {text.code: text.title for text in printed.wording}["terms"] == "Conditions"
    assert not [text.code for text in printed.wording if "." in text.code]
    view = offer_for(db, exchange(db, make_link(db, owner, card.id, 14, NOW), NOW), NOW)
    assert view.terms.language == "fr"
    english = tuple(text for text in shop(db).wording if "." not in text.code)
    save_wording(db, owner, shop(db).version, english, NOW)
    with pytest.raises(Refused, match="not whole in the language fr"):
        offer(db, owner, job_id, NOW, proposal_pdf, language="fr")
