from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.schedule import links
from app.schedule.calendars import add_working_days
from app.schedule.comparing import change_between, what_if
from app.schedule.joint_plan import joint_plan, replanned, starts_of
from app.schedule.joint_records import JointInputs, JointPlan, JointTask
from app.schedule.notice import Told, with_notice
from app.schedule.records import Task
from app.schedule.supposed import Supposed
from app.schedule.task_edits import TaskEdit, edit_fault, edited
from app.schedule.work_rules import Absence, SiteRules, TaskWeather, WorkRules
from tests.schedule.joint_jobs import CREWS, MONDAY, WEEK, a_joint_job, a_task, a_year, inputs_of

TUESDAY, FRIDAY = date(2026, 5, 5), date(2026, 5, 8)


def task_in(plan: JointPlan, code: str, job: str = "1") -> JointTask:
    return next(task for task in plan.tasks if (task.job, task.code) == (job, code))


def test_a_lag_passes_in_working_days_and_is_said() -> None:
    plan = joint_plan(inputs_of(a_joint_job()))
    assert task_in(plan, "boards").start_on == date(2026, 5, 6)
    assert "adhesive" in task_in(plan, "boards").because


def test_an_inspector_is_waited_for_by_name_and_notice() -> None:
    after = (("frame", 2),)
    look = Task("rough-in inspection", "Rough-in seen", "", 1, 0.0, after, True, (), links.INSPECTOR)
    plan = joint_plan(inputs_of(a_joint_job(tasks=(a_task("frame"), look))))
    assert task_in(plan, "rough-in inspection").start_on == date(2026, 5, 7)
    assert "needs 2 working days' notice" in task_in(plan, "rough-in inspection").because


def test_the_notice_of_an_inspector_is_the_shops_own() -> None:
    after = (("rough-in", 2),)
    look = Task("rough-in inspection", "Rough-in seen", "", 1, 0.0, after, True, (), links.INSPECTOR)
    rules = WorkRules(notice=((links.INSPECTOR, 4),))
    tasks = with_notice((a_task("rough-in"), look), rules)
    plan = joint_plan(inputs_of(a_joint_job(tasks=tasks), rules=rules))
    assert task_in(plan, "rough-in inspection").start_on == date(2026, 5, 11)
    assert "needs 4 working days' notice" in task_in(plan, "rough-in inspection").because


@pytest.mark.parametrize(
    ("who", "days"), [(links.ELECTRICIAN, 5), (links.GAS_FITTER, 7), (links.INSPECTOR, 2)]
)
def test_an_outsider_comes_when_notice_has_run_even_when_nothing_else_is_waited_for(
    who: str, days: int
) -> None:
    task = a_task("rough-in", 0.0, who=who, days=1)
    rules = WorkRules(notice=((links.GAS_FITTER, 7),))
    plan = joint_plan(inputs_of(a_joint_job(tasks=(task,)), rules=rules))
    found = task_in(plan, "rough-in")
    assert found.start_on == add_working_days(WEEK, MONDAY, days)
    assert found.because == f"Waits for the {who}, who needs {days} working days' notice from 2026-05-04."


def test_an_outsider_who_was_told_comes_on_that_day_and_on_no_other_before_new_notice() -> None:
    electrician = a_task("rough-in", 0.0, who=links.ELECTRICIAN, days=1, after=(("frame", 0),))
    told = (Told("1", "rough-in", date(2026, 5, 6), date(2026, 5, 6)),)
    plan = joint_plan(inputs_of(a_joint_job(tasks=(a_task("frame"), electrician)), told=told))
    assert task_in(plan, "rough-in").start_on == date(2026, 5, 6)
    assert "has been told 2026-05-06" in task_in(plan, "rough-in").because
    late = joint_plan(inputs_of(a_joint_job(tasks=(a_task("frame", 64.0), electrician)), told=told))
    assert task_in(late, "rough-in").start_on == date(2026, 5, 11)
    assert "needs 5 working days' notice" in task_in(late, "rough-in").because


def test_a_look_that_is_due_still_needs_its_notice() -> None:
    look = Task(
        "rough-in inspection", "Rough-in seen", "", 1, 0.0, (("frame", 2),), True, (), links.INSPECTOR
    )
    plan = joint_plan(inputs_of(a_joint_job(tasks=(a_task("frame"), look), done=("frame",))))
    assert task_in(plan, "rough-in inspection").start_on == date(2026, 5, 6)


def test_two_jobs_of_one_crew_never_overlap_and_the_second_says_why_it_waits() -> None:
    one, two = a_joint_job("1", (a_task("frame", 32.0),)), a_joint_job("2", (a_task("frame", 16.0),))
    plan = joint_plan(inputs_of(one, two))
    first, second = sorted(plan.tasks, key=lambda task: task.start_on)
    assert second.start_on > first.end_on
    assert "The crew is on" in second.because


def test_a_promise_decides_which_job_goes_first() -> None:
    calm = a_joint_job("1", (a_task("frame", 48.0),))
    urgent = a_joint_job("2", (a_task("frame", 16.0),), finish_by_on=MONDAY)
    plan = joint_plan(inputs_of(calm, urgent))
    assert task_in(plan, "frame", "2").start_on == MONDAY
    assert plan.late_days == 0


def test_a_day_promised_for_a_task_decides_which_roof_the_crew_is_on() -> None:
    calm = a_joint_job("1", (a_task("frame", 64.0),))
    urgent = a_joint_job("2", (a_task("frame", 16.0, fixed_on=TUESDAY, changed="promised for 2026-05-05"),))
    plan = joint_plan(inputs_of(calm, urgent))
    assert task_in(plan, "frame", "2").start_on == TUESDAY
    assert plan.late_days == 0


def test_late_jobs_are_put_forward_until_every_promise_that_can_be_kept_is_kept() -> None:
    assert [joint_plan(a_year(seed)).late_days for seed in (1, 2, 3)] == [0, 0, 0]


def test_what_cannot_fit_is_proven_with_the_days_it_lacks() -> None:
    jobs = [a_joint_job(str(n), (a_task("frame", 48.0),), finish_by_on=FRIDAY) for n in (1, 2)]
    plan = joint_plan(inputs_of(*jobs))
    proof = next(broken for broken in plan.broken if broken.is_proven)
    assert set(proof.jobs) == {"1", "2"}
    assert "6 working days" in proof.text
    assert "has 5" in proof.text
    assert proof.late_days == 1


def test_a_job_too_long_by_itself_is_proven_too_long() -> None:
    plan = joint_plan(inputs_of(a_joint_job(tasks=(a_task("frame", 160.0),), finish_by_on=FRIDAY)))
    assert plan.broken[0].is_proven
    assert "with crews enough" in plan.broken[0].text


def test_leave_of_one_person_halves_the_day_of_two() -> None:
    rules = WorkRules(absences=(Absence(MONDAY, TUESDAY, "gull", "M. Tarn"),))
    plan = joint_plan(inputs_of(a_joint_job(tasks=(a_task("frame"),)), rules=rules))
    assert task_in(plan, "frame").end_on == TUESDAY


def test_quiet_hours_of_the_building_make_the_work_longer() -> None:
    quiet = a_joint_job(tasks=(a_task("frame", 32.0),), site=SiteRules(opens_h=10.0, closes_h=14.0))
    assert task_in(joint_plan(inputs_of(quiet)), "frame").end_on == date(2026, 5, 7)


def test_carrying_up_keeps_to_the_booked_hoist_and_one_hoist_serves_one_roof() -> None:
    site = SiteRules(needs_hoist=True, hoist_days=((FRIDAY, FRIDAY + timedelta(days=5)),))
    one = a_joint_job("1", (a_task("carry-up"),), site=site)
    two = a_joint_job("2", (a_task("carry-up", crew=CREWS[1]),), site=site, crew=CREWS[1])
    plan = joint_plan(inputs_of(one, two))
    days = sorted(task.start_on for task in plan.tasks)
    assert days == [FRIDAY, date(2026, 5, 11)]


def test_rain_stops_the_membrane_work_of_that_day_and_nothing_else() -> None:
    rules = WorkRules(task_weather=(TaskWeather("preparation", "rain", "no membrane work in rain"),))
    wet = a_joint_job("1", (a_task("preparation"),))
    dry = a_joint_job("2", (a_task("walls", crew=CREWS[1]),), crew=CREWS[1])
    plan = joint_plan(inputs_of(wet, dry, rules=rules, supposed=(Supposed("rain", MONDAY),)))
    assert task_in(plan, "preparation").start_on == TUESDAY
    assert task_in(plan, "walls", "2").start_on == MONDAY


def test_goods_that_come_on_friday_move_the_task_and_what_follows() -> None:
    inputs = inputs_of(a_joint_job())
    then = joint_plan(inputs)
    supposed = replace(inputs, supposed=(Supposed("goods", FRIDAY, job="1", task="boards"),))
    now = what_if(inputs, supposed, starts_of(then))
    change = change_between(then, now)
    assert [moved.code for moved in change.tasks] == ["boards"]
    assert change.jobs[0].days == 2
    assert "goods are expected on 2026-05-08" in task_in(now, "boards").because


def test_goods_expected_early_let_the_task_start_before_its_lead_time() -> None:
    late = inputs_of(a_joint_job(ready_on=(("boards", date(2026, 5, 20)),)))
    early = replace(late, supposed=(Supposed("goods", FRIDAY, job="1", task="boards"),))
    assert task_in(joint_plan(late), "boards").start_on == date(2026, 5, 20)
    assert task_in(joint_plan(early), "boards").start_on == FRIDAY


def test_a_fixed_day_that_passes_is_a_promise_broken_with_its_reason() -> None:
    edit = TaskEdit("boards", "the client is away after", fixed_on=TUESDAY)
    tasks = edited(a_joint_job().tasks, (edit,))
    plan = joint_plan(inputs_of(a_joint_job(tasks=tasks)))
    assert any("was promised for 2026-05-05" in broken.text for broken in plan.broken)


def test_a_last_day_promised_for_a_task_decides_which_roof_the_crew_is_on() -> None:
    calm = a_joint_job("1", (a_task("frame", 64.0),))
    urgent = a_joint_job("2", (a_task("frame", 16.0, end_by_on=TUESDAY),))
    plan = joint_plan(inputs_of(calm, urgent))
    assert task_in(plan, "frame", "2").end_on <= TUESDAY
    assert (plan.late_days, plan.broken) == (0, ())
    held = replanned(inputs_of(calm, a_joint_job("2", (a_task("frame", 16.0),))), {("1", "frame"): MONDAY})
    kept = replanned(inputs_of(calm, urgent), starts_of(held))
    assert task_in(held, "frame", "2").end_on > TUESDAY
    assert task_in(kept, "frame", "2").end_on <= TUESDAY


def test_a_last_day_that_passes_says_by_how_much_and_whether_any_order_would_keep_it() -> None:
    edit = TaskEdit("boards", "the party is on Wednesday", end_by_on=TUESDAY)
    plan = joint_plan(inputs_of(a_joint_job(tasks=edited(a_joint_job().tasks, (edit,)))))
    (broken,) = (one for one in plan.broken if "promised to be done by 2026-05-05" in one.text)
    late = (task_in(plan, "boards").end_on - TUESDAY).days
    assert (broken.late_days, broken.is_proven) == (late, True)
    assert plan.late_days == late
    two = (a_joint_job("1", (a_task("frame", 16.0, end_by_on=MONDAY),)),)
    crowd = joint_plan(inputs_of(*two, a_joint_job("2", (a_task("frame", 16.0, end_by_on=MONDAY),))))
    assert [one.is_proven for one in crowd.broken] == [False]


def test_an_overlap_starts_early_and_still_ends_later() -> None:
    second = a_task("walls", 0.0, after=(("frame", 0),), overlaps=(("frame", 2),), who="electrician", days=3)
    plan = joint_plan(inputs_of(a_joint_job(tasks=(a_task("frame", 64.0), second))))
    assert task_in(plan, "frame").end_on == date(2026, 5, 7)
    assert (task_in(plan, "walls").start_on, task_in(plan, "walls").end_on) == (date(2026, 5, 6), FRIDAY)


def test_edits_that_cannot_be_are_refused_in_words() -> None:
    tasks = a_joint_job().tasks
    assert "ring" in edit_fault(tasks, TaskEdit("frame", "why", after="boards"))
    assert "reason" in edit_fault(tasks, TaskEdit("frame", " ", days=3))
    assert "cannot be done by" in edit_fault(
        tasks, TaskEdit("frame", "why", fixed_on=FRIDAY, end_by_on=TUESDAY)
    )
    assert "1 to 200" in edit_fault(tasks, TaskEdit("frame", "why", days=0))
    assert "no task" in edit_fault(tasks, TaskEdit("nothing", "why"))
    assert edit_fault(tasks, TaskEdit("boards", "why", overlap_code="frame", overlap_days=1)) == ""


def test_likely_ends_come_in_order_and_weather_moves_them() -> None:
    calm: JointInputs = inputs_of(a_joint_job(tasks=(a_task("frame", 160.0),)))
    wet = replace(calm, rules=replace(calm.rules, lost_days=(6.0,) * 12))
    dry_job, wet_job = joint_plan(calm).jobs[0], joint_plan(wet).jobs[0]
    assert dry_job.end_on <= dry_job.p50_on <= dry_job.p80_on
    assert wet_job.p80_on > dry_job.p80_on


def test_a_done_task_is_not_planned_again_and_holds_nothing() -> None:
    plan = joint_plan(inputs_of(a_joint_job(done=("frame",))))
    assert [task.code for task in plan.tasks] == ["boards"]
    assert task_in(plan, "boards").start_on == MONDAY


def test_replanning_with_nothing_changed_changes_nothing() -> None:
    inputs = inputs_of(a_joint_job("1"), a_joint_job("2"))
    plan = joint_plan(inputs)
    assert change_between(plan, replanned(inputs, starts_of(plan))).is_empty


@pytest.mark.parametrize(
    ("measure", "moves"), [(None, True), (3.0, True), (5.0, False), (-2.0, True), (8.0, False)]
)
def test_cold_stops_what_its_rule_names_only_below_the_limit(measure: float | None, moves: bool) -> None:
    rules = WorkRules(task_weather=(TaskWeather("frame", "cold", "no pad adhesive", 5.0),))
    calm = replace(inputs_of(a_joint_job()), rules=rules)
    cold = replace(calm, supposed=(Supposed("cold", MONDAY, measure=measure),))
    assert (
        task_in(joint_plan(cold), "frame").start_on > task_in(joint_plan(calm), "frame").start_on
    ) is moves


def test_wind_stops_lifts_only_above_the_limit() -> None:
    rule = TaskWeather("carry-up", "wind", "no lifts", 36.0)
    assert [rule.is_met_by(Supposed("wind", MONDAY, measure=speed)) for speed in (36.0, 40.0)] == [
        False,
        True,
    ]
    assert not rule.is_met_by(Supposed("rain", MONDAY))
    assert rule.words == "wind (above 36 km/h): no lifts"
