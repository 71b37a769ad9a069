"""Changes agreed by word among the tasks of a job."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.schedule.extra_work import ExtraWork, own_code, with_extra_work
from app.schedule.records import Task
from app.schedule.tasks import tasks_of
from tests.shop_builders import SMALL_JOB, TWO_PEOPLE, an_estimate

TASKS = tasks_of(an_estimate(), SMALL_JOB, TWO_PEOPLE)
DAY_H = TWO_PEOPLE.people * TWO_PEOPLE.day_h


def named(tasks: tuple[Task, ...], code: str) -> Task:
    return next(task for task in tasks if task.code == code)


def test_a_change_without_a_phase_is_a_task_of_its_own_before_the_roof_is_cleaned() -> None:
    tasks = with_extra_work(TASKS, [ExtraWork(2, "A wider step", 2, flag="not signed")], TWO_PEOPLE)
    own = named(tasks, own_code(2))
    assert own.name == "Change 2: A wider step (not signed)"
    assert (own.days, own.hours_h, own.who) == (2, 2 * DAY_H, TWO_PEOPLE.code)
    assert own.after == named(TASKS, "clean-down").after
    assert (own.code, 0) in named(tasks, "clean-down").after
    assert [task for task in tasks if task.code not in (own.code, "clean-down")] == [
        task for task in TASKS if task.code != "clean-down"
    ]


@pytest.mark.parametrize("phase", ["boards", "walls", "frame"])
@given(days=st.integers(1, 20))
def test_a_change_that_names_a_phase_lengthens_it_by_its_days(phase: str, days: int) -> None:
    tasks = with_extra_work(TASKS, [ExtraWork(1, "More", days, phase)], TWO_PEOPLE)
    assert named(tasks, phase).days == named(TASKS, phase).days + days
    assert len(tasks) == len(TASKS)


def test_days_are_taken_from_a_phase_but_never_all_of_it() -> None:
    fewer = with_extra_work(TASKS, [ExtraWork(1, "Less", -50, "boards", "not signed")], TWO_PEOPLE)
    boards = named(fewer, "boards")
    assert boards.days == 1
    assert 0 < boards.hours_h <= named(TASKS, "boards").hours_h
    assert boards.name.endswith("(with change 1, not signed)")


def test_a_phase_that_the_job_lacks_gives_a_task_of_its_own() -> None:
    without = tuple(task for task in TASKS if task.phase != "walls")
    tasks = with_extra_work(without, [ExtraWork(3, "A wall", 1, "walls")], TWO_PEOPLE)
    assert named(tasks, own_code(3)).name == "Change 3: A wall"
