"""The tasks of a job."""

import pytest

from app.schedule.records import Crew, Task
from app.schedule.tasks import days_for, tasks_of
from tests.shop_builders import SMALL_JOB, TWO_PEOPLE, an_estimate


def tasks_without(*bases: str) -> dict[str, Task]:
    quantities = tuple(q for q in SMALL_JOB if not q.basis.startswith(bases or ("nothing",)))
    return {task.code: task for task in tasks_of(an_estimate(quantities), quantities, TWO_PEOPLE)}


def test_a_whole_job_has_its_tasks_in_the_order_of_the_work() -> None:
    assert list(tasks_without()) == [
        "preparation",
        "membrane look",
        "carry-up",
        "frame",
        "drainage check",
        "rough-in",
        "rough-in, licensed electrician",
        "rough-in, licensed gas fitter",
        "rough-in inspection",
        "boards",
        "walls",
        "planters",
        "beds",
        "fit-out",
        "fit-out, licensed electrician",
        "electrical final",
        "gas final",
        "clean-down",
        "walk-through",
    ]


def test_boards_wait_for_the_inspection_the_drainage_check_and_the_adhesive() -> None:
    after = dict(tasks_without()["boards"].after)
    assert after == {"frame": 1, "drainage check": 0, "rough-in inspection": 0}


def test_the_inspection_waits_for_every_trade_with_notice() -> None:
    after = dict(tasks_without()["rough-in inspection"].after)
    assert after == {
        "rough-in": 2,
        "rough-in, licensed electrician": 2,
        "rough-in, licensed gas fitter": 2,
    }


def test_without_rough_in_there_is_no_inspection_and_boards_follow_the_frame() -> None:
    tasks = tasks_without("light.cable", "power.", "gas.")
    assert "rough-in inspection" not in tasks
    assert dict(tasks["boards"].after) == {"frame": 1, "drainage check": 0}


def test_without_a_frame_links_are_bridged_without_its_lags() -> None:
    tasks = tasks_without("frame.", "light.", "power.", "gas.")
    assert "drainage check" not in tasks
    assert dict(tasks["boards"].after) == {"carry-up": 0}


def test_without_boards_planters_wait_for_what_boards_waited_for() -> None:
    tasks = tasks_without("deck.", "boards.")
    assert dict(tasks["planters"].after) == {"frame": 0, "drainage check": 0, "rough-in inspection": 0}


def test_nothing_is_carried_up_before_the_membrane_has_been_looked_over() -> None:
    assert dict(tasks_without()["carry-up"].after) == {"preparation": 0, "membrane look": 0}
    assert dict(tasks_without("carry.")["frame"].after) == {"preparation": 0, "membrane look": 0}
    assert "membrane look" not in tasks_without("carry.", "frame.")


def test_finals_are_held_only_where_there_is_such_work() -> None:
    assert "electrical final" not in tasks_without("power.")
    assert "gas final" not in tasks_without("gas.")


def test_hold_points_take_a_day_and_no_labour() -> None:
    held = [task for task in tasks_without().values() if task.is_hold_point]
    assert len(held) == 6
    assert all(task.days == 1 and task.hours_h == 0 and task.who != "north" for task in held)


def test_the_goods_of_the_frame_are_carried_up_and_cable_comes_with_the_rough_in() -> None:
    tasks = tasks_without()
    assert tasks["carry-up"].needs == ("PAD", "SCREW")
    assert tasks["rough-in"].needs == ("CABLE",)
    assert tasks["fit-out"].needs == ("LIGHT",)


@pytest.mark.parametrize(
    ("hours", "days"), [(0.0, 0), (0.1, 1), (16.0, 1), (16.0000001, 1), (16.1, 2), (33.0, 3)]
)
def test_days_are_whole_crew_days_and_at_least_one(hours: float, days: int) -> None:
    assert days_for(hours, TWO_PEOPLE) == days


def test_a_crew_without_hours_is_refused() -> None:
    with pytest.raises(ValueError, match="works no hours"):
        days_for(1.0, Crew("x", "X", people=0, day_h=8.0))
