"""Days that are kept are those that would be made anew, whatever changes between two looks."""

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from app.actions.database import Database
from app.actions.records import WorkedOut
from app.actions.redating import days_of
from app.actions.takeoff import work_out
from app.schedule.joint_records import JointTask
from app.schedule.records import Task
from app.schedule.redate import redated
from tests.actions.conftest import NOW

ONE_DAY = timedelta(days=1)


@pytest.fixture
def worked(db: Database, job_id: int) -> WorkedOut:
    return work_out(db, job_id, NOW.date())


def placed(worked: WorkedOut, later: int) -> tuple[JointTask, ...]:
    """The tasks of a job in a plan over all jobs, so many days later than its own."""
    return tuple(
        JointTask(
            job=str(worked.sheet.id),
            code=planned.task.code,
            name=planned.task.name,
            who=planned.task.who,
            start_on=planned.start_on + later * ONE_DAY,
            end_on=planned.end_on + later * ONE_DAY,
            float_days=0,
            is_critical=later % 2 == 0,
            because="",
            is_hold_point=planned.task.is_hold_point,
        )
        for planned in worked.answer.days.tasks
    )


def tasks_of(worked: WorkedOut) -> tuple[Task, ...]:
    return tuple(planned.task for planned in worked.answer.days.tasks)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(looks=some.lists(some.tuples(some.integers(0, 3), some.integers(0, 2)), min_size=2, max_size=8))
def test_what_is_kept_equals_what_is_made_anew(worked: WorkedOut, looks: list[tuple[int, int]]) -> None:
    for later, what in looks:
        one, tasks = worked, tasks_of(worked)
        if what == 1:
            items = tuple(replace(item, lead_days=item.lead_days + 3) for item in worked.prices.items)
            one = replace(worked, prices=replace(worked.prices, items=items))
        if what == 2:
            tasks = tuple(replace(task, hours_h=task.hours_h * 2) for task in tasks)
        joint, own = placed(worked, later), one.answer
        anew = redated(own.days, tasks, joint, own.estimate, one.prices, one.calendar, one.today)
        assert days_of(one, tasks, joint) == anew
        assert days_of(one, list(tasks), list(joint)) is days_of(one, tasks, joint)


def test_another_day_or_another_calendar_is_another_plan(worked: WorkedOut) -> None:
    joint, tasks = placed(worked, 0), tasks_of(worked)
    first = days_of(worked, tasks, joint)
    much_later = replace(worked, today=worked.today + 365 * ONE_DAY)
    assert days_of(much_later, tasks, joint).findings != first.findings
    day = first.days[1].on
    off = replace(worked.calendar, days_off=(*worked.calendar.days_off, (day, "leave")))
    assert day not in {entry.on for entry in days_of(replace(worked, calendar=off), tasks, joint).days}
    assert days_of(worked, tasks, joint) == first
