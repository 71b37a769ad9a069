"""The exact search runs behind the page: one at a time, to be stopped, accepted like any plan."""

import time
from datetime import date
from threading import Event

import pytest

from app.actions import improver
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.improver import SearchState, improved_view, search_state, start_search, stop_search
from app.actions.records import StaffMember
from app.schedule.joint_network import Joined
from app.schedule.joint_records import JointInputs
from tests.actions.conftest import Printer
from tests.actions.test_plans import signed_job as signed_job  # noqa: PLC0414 - the fixture

TODAY = date(2026, 5, 4)


def test_a_search_runs_ends_and_says_what_it_proved(
    db: Database, owner: StaffMember, signed_job: int, printer: Printer
) -> None:
    start_search(db, TODAY, seconds=600.0)  # it ends once it is proven, also on a busy machine
    state = ended()
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


def test_the_ten_seconds_begin_when_the_button_is_pressed(
    db: Database, owner: StaffMember, signed_job: int, printer: Printer
) -> None:
    """By a clock on which everything before the solver takes eleven seconds nothing is left to look in."""
    told = iter([0.0])
    start_search(db, TODAY, clock=lambda: next(told, 11.0))
    state = ended()
    assert (state.state, state.is_proven, state.is_better) == ("done", False, False)


def test_a_search_stopped_while_its_model_is_written_ends_at_once(
    db: Database, owner: StaffMember, signed_job: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    at, may_go = Event(), Event()
    real = improver.joined

    def slowly(inputs: JointInputs) -> Joined:
        at.set()
        assert may_go.wait(120)
        return real(inputs)

    monkeypatch.setattr(improver, "joined", slowly)
    start_search(db, TODAY, seconds=3600.0)
    assert at.wait(120)
    stop_search()
    may_go.set()
    state = ended()
    assert (state.state, state.is_proven) == ("done", False)


def ended() -> SearchState:
    """The state of the search once it looks no more."""
    until = time.monotonic() + 120
    while search_state().state == "looking" and time.monotonic() < until:
        time.sleep(0.02)
    return search_state()
