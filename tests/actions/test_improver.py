"""The exact search runs behind the page: one at a time, to be stopped, accepted like any plan."""

import time
from datetime import date

import pytest

from app.actions import improver
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.improver import improved_view, search_state, start_search, stop_search
from app.actions.records import StaffMember
from tests.actions.conftest import Printer
from tests.actions.test_plans import signed_job as signed_job  # noqa: PLC0414 - the fixture

TODAY = date(2026, 5, 4)


def test_a_search_runs_ends_and_says_what_it_proved(
    db: Database, owner: StaffMember, signed_job: int, printer: Printer
) -> None:
    start_search(db, TODAY, seconds=5.0)
    until = time.monotonic() + 20
    while search_state().state == "looking" and time.monotonic() < until:
        time.sleep(0.05)
    state = search_state()
    assert (state.state, state.is_proven) == ("done", True)
    stop_search()
    if not state.is_better:
        with pytest.raises(Refused, match="no better plan"):
            improved_view(db, TODAY)


def test_without_the_solver_the_office_is_told_how_to_get_it(
    db: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(improver, "is_installed", lambda: False)
    with pytest.raises(Refused, match=r"upstand\[exact\]"):
        start_search(db, TODAY)
