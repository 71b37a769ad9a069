"""The clock jumps: who is signed in, links, numbers of invoices and the trail stay right."""

from datetime import UTC, datetime, timedelta

import pytest

from app.actions.backup import check
from app.actions.clients import add_client
from app.actions.database import Database
from app.actions.days import set_days
from app.actions.errors import LinkClosed, Refused
from app.actions.invoices import make_invoice
from app.actions.log import add_entry
from app.actions.offer import make_link, offer
from app.actions.records import StaffMember
from app.actions.sign import exchange, offer_for, sign
from app.actions.sign_in import sign_in, staff_for
from tests.actions.conftest import NOW, PASSWORD, Printer

YEAR = timedelta(days=365)
LONG_AGO = datetime(1970, 1, 2, tzinfo=UTC)


def test_a_session_ends_when_the_clock_jumps_ahead_and_no_guess_is_locked_for_ever(db: Database) -> None:
    token, _ = sign_in(db, "maren@example.org", PASSWORD, NOW)
    assert staff_for(db, token, NOW - timedelta(minutes=30)) is not None
    assert staff_for(db, token, NOW + YEAR) is None
    for _ in range(12):
        with pytest.raises(Refused):
            sign_in(db, "maren@example.org", "not the password", NOW + 10 * YEAR, "203.0.113.9")
    # Guesses noted under a clock that ran ten years ahead hold nobody up once it is right again.
    later, _ = sign_in(db, "maren@example.org", PASSWORD, NOW + timedelta(hours=1), "203.0.113.9")
    assert staff_for(db, later, NOW + timedelta(hours=1)) is not None


def test_a_session_begun_under_a_clock_that_ran_ahead_does_not_outlive_its_time(db: Database) -> None:
    token, _ = sign_in(db, "maren@example.org", PASSWORD, NOW + 10 * YEAR)
    assert staff_for(db, token, NOW) is None
    # Whoever is signed out by a clock set back signs in again.
    again, _ = sign_in(db, "maren@example.org", PASSWORD, LONG_AGO)
    assert staff_for(db, again, LONG_AGO) is not None


def test_a_link_is_shut_while_the_clock_is_ahead_and_open_again_after(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    set_days(db, owner, job_id, 1, "south", NOW.date() + timedelta(days=28), NOW)
    token = make_link(db, owner, offer(db, owner, job_id, NOW, printer).id, 14, NOW)
    with pytest.raises(LinkClosed):
        exchange(db, token, NOW + YEAR)
    for at in (NOW, LONG_AGO, NOW + timedelta(days=1)):
        assert offer_for(db, exchange(db, token, at), at).revision.number == 1
    with pytest.raises(LinkClosed):
        exchange(db, token, NOW + timedelta(days=15))


def test_invoices_run_without_gaps_whatever_the_clock_says(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    set_days(db, owner, job_id, 1, "south", NOW.date() + timedelta(days=28), NOW)
    cookie = exchange(db, make_link(db, owner, offer(db, owner, job_id, NOW, printer).id, 14, NOW), NOW)
    sign(db, cookie, "Ines Haugan", True, offer_for(db, cookie, NOW).revision.fingerprint, NOW, "", "")
    for task in ("preparation", "carry-up", "frame", "boards"):
        add_entry(db, owner, job_id, NOW.date(), f"{task} done", NOW, task_code=task, done_pct=100)
    clocks = (NOW, NOW - 3 * YEAR, NOW + 3 * YEAR)
    stages = ("deposit", "frame", "boards")
    assert [make_invoice(db, owner, job_id, *pair) for pair in zip(stages, clocks, strict=True)] == [1, 2, 3]
    assert check(db).faults == ()


def test_the_trail_keeps_its_order_and_its_chain_under_any_clock(db: Database, owner: StaffMember) -> None:
    for at in (NOW, LONG_AGO, NOW + 100 * YEAR, NOW - YEAR):
        add_client(db, owner, f"At {at:%Y}", "", "", "", at)
    assert check(db).faults == ()
