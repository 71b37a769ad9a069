"""One day on one roof: who does what, with which tools, what to cut, what to watch."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from app.schedule.records import DayPlan, PlannedTask
from app.schedule.tasks import step_of
from app.schedule.work_rules import TaskWeather

# Tools and cautions by phase: common practice, no source. The firm's own rules and local law come first.
TOOLS: dict[str, tuple[str, ...]] = {
    "preparation": ("protection mats", "tape", "broom", "camera"),
    "carry-up": ("straps", "gloves", "corner guards", "trolley"),
    "frame": ("laser level", "pad gauge", "saw with dust bag", "drill driver", "adhesive gun"),
    "rough-in": ("fish tape", "cable cutters", "labels", "test lamp", "camera"),
    "boards": ("track saw", "spacers", "clip driver", "string line", "edge sealer"),
    "walls": ("level", "saw with dust bag", "drill driver", "spacers"),
    "planters": ("drill driver", "liner knife", "stapler"),
    "beds": ("shovel", "knife", "edge trim"),
    "fit-out": ("screwdrivers", "crimp tool", "meter", "sealant gun"),
    "clean-down": ("vacuum", "broom", "bags", "camera"),
}
CAUTIONS: dict[str, tuple[str, ...]] = {
    "preparation": ("Nothing is set on the membrane that has not been protected.",),
    "carry-up": (
        "Nobody stands under a load; lifts stop in wind above the hoist’s limit.",
        "Loads are spread as the load drawing shows; nothing is stacked beyond it.",
    ),
    "frame": ("Edges without a guard: work tied on, or behind a barrier.", "No screw through the membrane."),
    "rough-in": ("Line voltage and gas are for licensed trades alone; nothing is live while it is run.",),
    "boards": ("Blade depth set so that nothing below is cut.", "Drains stay reachable under their hatches."),
    "walls": ("Panels are held by two people in wind.",),
    "planters": ("Soil is weighed as the load drawing says; wet soil weighs more.",),
    "beds": ("Stone goes up in small loads and is spread at once.",),
    "fit-out": ("Connections at line voltage and gas are made and tested by licensed trades alone.",),
    "clean-down": ("Drains and overflows are looked at last, and photographed.",),
}


@dataclass(frozen=True, slots=True)
class DayTask:
    """One task of the day.

    Attributes
    ----------
    code, name, who, phase : str
    hours_h : float
        Labour hours of that day. [h]
    from_share, until_share : float
        Which part of the task the day does, from 0 to 1.
    is_hold_point : bool
    because : str
    """

    code: str
    name: str
    who: str
    phase: str
    hours_h: float
    from_share: float
    until_share: float
    is_hold_point: bool
    because: str


@dataclass(frozen=True, slots=True)
class DayWork:
    """What one day holds.

    Attributes
    ----------
    on : date
    tasks : tuple of DayTask
        Hold points last.
    bring : tuple of str
        Items first needed that day.
    tools, cautions, weather : tuple of str
    """

    on: date
    tasks: tuple[DayTask, ...]
    bring: tuple[str, ...]
    tools: tuple[str, ...]
    cautions: tuple[str, ...]
    weather: tuple[str, ...]


def day_work(plan: DayPlan, on: date, rules: Iterable[TaskWeather]) -> DayWork:
    """Give what one day of a plan holds.

    Parameters
    ----------
    plan : DayPlan
        The job in days.
    on : date
        The day.
    rules : iterable of TaskWeather
        Weather in which tasks do not go on.

    Returns
    -------
    work : DayWork
        Without tasks when nobody works that day.

    References
    ----------
    Common practice, no source, for tools and cautions.
    """
    by_code = {planned.task.code: planned for planned in plan.tasks}
    entry = next((entry for entry in plan.days if entry.on == on), None)
    if entry is None:
        return DayWork(on, (), (), (), (), ())
    tasks = tuple(
        _task(by_code[code], plan, on, hours_h)
        for code, hours_h in zip(entry.tasks, entry.hours_h, strict=True)
        if code in by_code
    )
    phases = list(dict.fromkeys(task.phase for task in tasks if task.phase))
    steps = {step_of(by_code[task.code].task) for task in tasks}
    return DayWork(
        on=on,
        tasks=tuple(sorted(tasks, key=lambda task: task.is_hold_point)),
        bring=entry.bring,
        tools=tuple(dict.fromkeys(tool for phase in phases for tool in TOOLS.get(phase, ()))),
        cautions=tuple(line for phase in phases for line in CAUTIONS.get(phase, ())),
        weather=tuple(rule.words for rule in rules if rule.step in steps),
    )


def _task(planned: PlannedTask, plan: DayPlan, on: date, hours_h: float) -> DayTask:
    """Give one task of the day with the part of it that the day does."""
    task = planned.task
    days = [entry for entry in plan.days if task.code in entry.tasks]
    hours = [entry.hours_h[entry.tasks.index(task.code)] for entry in days]
    whole = sum(hours)
    before = sum(spent for entry, spent in zip(days, hours, strict=True) if entry.on < on)
    if whole > 0:
        shares = before / whole, (before + hours_h) / whole
    else:
        place = [entry.on for entry in days].index(on)
        shares = place / len(days), (place + 1) / len(days)
    return DayTask(
        code=task.code,
        name=task.name,
        who=task.who,
        phase=task.phase,
        hours_h=hours_h,
        from_share=shares[0],
        until_share=min(1.0, shares[1]),
        is_hold_point=task.is_hold_point,
        because=planned.because,
    )
