"""A task moved: what it would push is shown before anything is set, and what was seen is what holds."""

from datetime import date, timedelta

import pytest

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.moves import look_at_move, moved_to, set_and_accept
from app.actions.plans import dated, held_plan, plan_view
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from app.schedule.task_edits import TaskEdit
from tests.actions.conftest import NOW
from tests.actions.test_plans import TODAY, accepted
from tests.actions.test_plans import signed_job as signed_job  # noqa: PLC0414 - the fixture


def start_of(db: Database, job_id: int, code: str) -> date:
    days = dated(db, work_out(db, job_id, TODAY)).answer.days
    return next(planned.start_on for planned in days.tasks if planned.task.code == code)


def test_a_look_shows_what_is_pushed_and_keeps_nothing(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    accepted(db, owner)
    goal = start_of(db, signed_job, "frame") + timedelta(days=7)
    edit = moved_to(db, signed_job, "frame", goal, is_promised=False)
    look = look_at_move(db, work_out(db, signed_job, TODAY), edit)
    assert look.task.start_on == goal
    assert "not before" in look.task.because
    assert look.pushed > 3
    assert look.change.jobs[0].days > 0
    assert look.can_accept
    assert start_of(db, signed_job, "frame") < goal
    assert plan_view(db, TODAY).change.is_empty


def test_what_binds_a_task_is_said_when_it_is_moved_too_early(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    accepted(db, owner)
    early = start_of(db, signed_job, "boards") - timedelta(days=1)
    edit = moved_to(db, signed_job, "boards", early, is_promised=True)
    look = look_at_move(db, work_out(db, signed_job, TODAY), edit)
    assert look.task.start_on == look.lies_on > early
    assert any("was promised for" in one.text for one in look.broken)


def test_what_was_looked_at_holds_in_one_step_and_nothing_else_does(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    accepted(db, owner)
    goal = start_of(db, signed_job, "frame") + timedelta(days=7)
    worked = work_out(db, signed_job, TODAY)
    edit = TaskEdit("frame", "the client is away", not_before_on=goal)
    with pytest.raises(Refused, match="changed since you looked at this move"):
        set_and_accept(db, owner, worked, edit, "another", NOW)
    seen = look_at_move(db, worked, edit).fingerprint
    set_and_accept(db, owner, worked, edit, seen, NOW)
    held = held_plan(db)
    assert held is not None
    assert held.why == "the client is away"
    assert start_of(db, signed_job, "frame") == goal
    assert plan_view(db, TODAY).change.is_empty


def test_a_move_keeps_what_else_was_set_and_a_job_without_a_plan_can_be_moved_too(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    worked = work_out(db, job_id, TODAY)
    goal = start_of(db, job_id, "frame") + timedelta(days=3)
    look = look_at_move(db, worked, TaskEdit("frame", "", days=9, not_before_on=goal))
    assert not look.can_accept
    assert look.task.start_on >= goal
    with pytest.raises(Refused, match="no task"):
        look_at_move(db, worked, TaskEdit("nothing", ""))
