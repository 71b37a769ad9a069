"""Invented jobs to plan together: the steps of the work with seeded hours."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import numpy as np

from app.schedule import links
from app.schedule.joint_records import JointInputs, JointJob
from app.schedule.records import Calendar, Crew, Task
from app.schedule.tasks import days_for
from app.schedule.work_rules import WorkRules

MONDAY = date(2026, 5, 4)
WEEK = Calendar((0, 1, 2, 3, 4), (), "US-ME")
CREWS = tuple(Crew(code, f"Crew {code}", 2, 8.0) for code in ("gull", "tern", "skua", "auk"))
OUTSIDE = {"rough-in inspection": links.INSPECTOR, "drainage check": links.SITE_LEAD}


def a_task(code: str, hours_h: float = 16.0, crew: Crew = CREWS[0], **changes: Any) -> Task:
    days = days_for(hours_h, crew) if hours_h else 1
    task = Task(code, code.capitalize(), code, days, hours_h, (), False, (), crew.code)
    return replace(task, **changes)


def a_joint_job(code: str = "1", tasks: Sequence[Task] = (), **changes: Any) -> JointJob:
    fields: dict[str, Any] = {
        "code": code,
        "number": f"2026-{int(code):03d}",
        "title": f"Roof {code}",
        "tasks": tuple(tasks) or (a_task("frame"), a_task("boards", after=(("frame", 1),))),
        "crew": CREWS[0],
        "start_on": MONDAY,
    }
    return JointJob(**(fields | changes))


def inputs_of(*jobs: JointJob, **changes: Any) -> JointInputs:
    return replace(JointInputs(jobs, WEEK, WorkRules(), MONDAY), **changes)


def a_year(seed: int = 1, jobs: int = 40, promised: bool = True) -> JointInputs:
    """So many jobs of 14 tasks for four crews, starting over the year."""
    chance = np.random.default_rng(seed)
    made = []
    for number in range(1, jobs + 1):
        crew = CREWS[int(chance.integers(4))]
        tasks = []
        steps = [step for step in links.STEPS if step.code not in ("gas final", "membrane look")]
        waits = links.present_links(frozenset(step.code for step in steps))
        for step in steps:
            after = waits[step.code]
            if step.hold_by:
                tasks.append(Task(step.code, step.name, "", 1, 0.0, after, True, (), step.hold_by))
            else:
                hours = float(chance.integers(4, 36))
                tasks.append(a_task(step.code, hours, crew, after=after, name=step.name))
        start_on = MONDAY + timedelta(days=int(chance.integers(0, 220)))
        finish = start_on + timedelta(days=int(chance.integers(50, 120))) if promised and number % 2 else None
        made.append(a_joint_job(str(number), tasks, crew=crew, start_on=start_on, finish_by_on=finish))
    return inputs_of(*made)
