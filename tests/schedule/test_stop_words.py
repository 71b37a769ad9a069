"""Why a task starts later than it could: rain, leave, a lift booked later; said after what binds it."""

from datetime import date

import pytest

from app.schedule.joint_plan import joint_plan
from app.schedule.joint_records import JointInputs
from app.schedule.supposed import Supposed
from app.schedule.work_rules import HOIST, Absence, SiteRules, WorkRules
from tests.schedule.joint_jobs import CREWS, MONDAY, a_joint_job, a_task, inputs_of

TUESDAY, WEDNESDAY = date(2026, 5, 5), date(2026, 5, 6)


def because(inputs: JointInputs, code: str) -> str:
    return next(task.because for task in joint_plan(inputs).tasks if task.code == code)


@pytest.mark.parametrize("step", ["preparation", "carry-up"])
def test_nothing_is_said_where_nothing_stopped_it(step: str) -> None:
    assert "Not " not in because(inputs_of(a_joint_job(tasks=(a_task(step),))), step)


def test_rain_is_said_with_the_rule_it_meets() -> None:
    rain = (Supposed("rain", MONDAY), Supposed("rain", date(2026, 6, 1)))
    inputs = inputs_of(a_joint_job(tasks=(a_task("preparation"),)), supposed=rain)
    assert because(inputs, "preparation").endswith("Not on 2026-05-04: no work on the membrane in rain.")


def test_a_wait_and_what_stopped_it_after_are_both_said() -> None:
    tasks = (a_task("preparation"), a_task("carry-up", after=(("preparation", 0),)))
    inputs = inputs_of(a_joint_job(tasks=tasks), supposed=(Supposed("wind", TUESDAY),))
    words = because(inputs, "carry-up")
    assert words.startswith("Starts when “Preparation” is finished.")
    assert words.endswith("Not on 2026-05-05: no lifts in wind above the hoist's limit.")


@pytest.mark.parametrize(
    ("absence", "said"),
    [
        (
            Absence(MONDAY, TUESDAY, "", "", "works holiday"),
            "Not from 2026-05-04 to 2026-05-05: works holiday.",
        ),
        (Absence(MONDAY, MONDAY, CREWS[0].code, "", "course"), "Not on 2026-05-04: course."),
        (Absence(MONDAY, MONDAY, HOIST, "", "repair"), "Not on 2026-05-04: the hoist is away, repair."),
    ],
)
def test_leave_of_firm_crew_and_hoist_is_said(absence: Absence, said: str) -> None:
    job = a_joint_job(tasks=(a_task("carry-up"),), site=SiteRules(needs_hoist=True))
    assert because(inputs_of(job, rules=WorkRules(absences=(absence,))), "carry-up").endswith(said)


def test_leave_of_others_and_of_one_person_stops_nothing_and_is_not_said() -> None:
    others = (Absence(MONDAY, MONDAY, CREWS[1].code), Absence(MONDAY, MONDAY, CREWS[0].code, "Ada"))
    inputs = inputs_of(a_joint_job(tasks=(a_task("carry-up"),)), rules=WorkRules(absences=others))
    assert "Not " not in because(inputs, "carry-up")


def test_a_crew_supposed_away_is_said() -> None:
    inputs = inputs_of(a_joint_job(), supposed=(Supposed("away", MONDAY, CREWS[0].code),))
    assert because(inputs, "frame").endswith("Not on 2026-05-04: the crew is away.")


def test_a_lift_booked_later_is_said() -> None:
    site = SiteRules(hoist_days=((WEDNESDAY, WEDNESDAY),))
    inputs = inputs_of(a_joint_job(tasks=(a_task("carry-up", 8.0),), site=site))
    words = because(inputs, "carry-up")
    assert words.endswith("Not from 2026-05-04 to 2026-05-05: no lift, hoist or street is booked for it.")
