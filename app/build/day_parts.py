"""Which boards, sticks, runs, boxes and devices one day's work touches, and which boards it cuts."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from app.job.job import Job
from app.schedule.records import DayPlan
from app.takeoff.chain import Takeoff
from app.takeoff.totals.records import CutPlan, CutStick

# Where things go whose own phase has no task: the first of these that has one.
_INSTEAD = ("boards", "planters", "walls", "frame")
_GRAIN = 1e-9


@dataclass(frozen=True, slots=True)
class DayParts:
    """What of each phase is done by when.

    Attributes
    ----------
    on_day : mapping of str to date
        Id of the board, stick, run, box, bed or device, and the day that does it.
    of_phase : mapping of str to tuple of str
        Ids by phase, in the order they are done.
    """

    on_day: Mapping[str, date]
    of_phase: Mapping[str, tuple[str, ...]]

    def today(self, phase: str, on: date) -> frozenset[str]:
        """Give what of a phase one day does."""
        return frozenset(name for name in self.of_phase.get(phase, ()) if self.on_day[name] == on)

    def before(self, phase: str, on: date) -> frozenset[str]:
        """Give what of a phase is done before a day."""
        return frozenset(name for name in self.of_phase.get(phase, ()) if self.on_day[name] < on)


def day_parts(job: Job, takeoff: Takeoff, plan: DayPlan) -> DayParts:
    """Give which part of the job each day does.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Boards, sticks, runs, boxes and beds.
    plan : DayPlan
        The job in days.

    Returns
    -------
    parts : DayParts
        Boards and sticks by their numbers, each phase shared among its days by length and hours; devices,
        boxes and beds by their order on the plan.

    References
    ----------
    Common practice, no source: work goes in the order of the numbers. A crew may go another way.
    """
    amounts = _amounts(job, takeoff)
    with_work = {planned.task.phase for planned in plan.tasks if planned.task.phase}
    for phase in [phase for phase in amounts if phase not in with_work]:
        instead = next((other for other in _INSTEAD if other in with_work), "")
        if instead:
            amounts.setdefault(instead, []).extend(amounts.pop(phase))
    on_day: dict[str, date] = {}
    of_phase: dict[str, tuple[str, ...]] = {}
    for phase, rows in amounts.items():
        days = _days_of(plan, phase)
        if days and rows:
            on_day |= _shared(rows, days)
            of_phase[phase] = tuple(name for name, _ in rows)
    return DayParts(on_day, of_phase)


def cuts_on(
    plans: Iterable[CutPlan], parts: DayParts, on: date
) -> tuple[tuple[str, CutStick, frozenset[str]], ...]:
    """Give the sticks to cut on one day.

    Parameters
    ----------
    plans : iterable of CutPlan
        The cutting of the job.
    parts : DayParts
        Which day does what.
    on : date
        The day.

    Returns
    -------
    cuts : tuple of (str, CutStick, frozenset of str)
        Profile, stick, and the pieces of it that are kept for a later day. A stick is cut on the day its
        first piece is needed, so that all days together cut every stick once.

    References
    ----------
    Definition.
    """
    found = []
    for plan in plans:
        for stick in plan.sticks:
            days = {name: parts.on_day[name] for name in _names(stick) if name in parts.on_day}
            if days and min(days.values()) == on:
                found.append((plan.profile, stick, frozenset(name for name, day in days.items() if day > on)))
    return tuple(found)


def _names(stick: CutStick) -> tuple[str, ...]:
    """Give every piece that comes of a stick."""
    return (*(name for name, _ in stick.pieces), *(name for name, _, _ in stick.beside))


def _amounts(job: Job, takeoff: Takeoff) -> dict[str, list[tuple[str, float]]]:
    """Give by phase what there is to do, each with how much it weighs, in the order it is done."""
    decks = {field.id for field in job.plan.deck_fields} | {flight.id for flight in job.plan.steps}
    walls = {wall.wall for wall in takeoff.layout.walls}
    found: dict[str, list[tuple[str, float]]] = {}
    for stick in takeoff.framing.sticks:
        phase = {"furring": "walls", "frame": "planters"}.get(stick.role, "frame")
        found.setdefault(phase, []).append((stick.id, stick.length_mm))
    for piece in takeoff.layout.pieces:
        phase = "boards" if piece.place in decks else "walls" if piece.place in walls else "planters"
        found.setdefault(phase, []).append((piece.id, piece.length_mm))
    found["rough-in"] = [(run.id, run.length_mm) for run in takeoff.rough_in.runs]
    found["beds"] = [(bed.bed, bed.area_m2) for bed in takeoff.layout.beds]
    drawn = job.plan
    sources = [one.id for one in drawn.transformers] + [one.id for one in drawn.amplifiers]
    lights = [one.id for one in drawn.fixtures] + [one.id for one in drawn.outlets]
    others = [one.id for one in drawn.speakers] + [one.id for one in drawn.gas_stubs]
    found["fit-out"] = [(code, 1.0) for code in (*sources, *lights, *others)]
    return found


def _days_of(plan: DayPlan, phase: str) -> list[tuple[date, float]]:
    """Give the days of a phase with the hours of each; days of outsiders alone weigh alike."""
    codes = {planned.task.code for planned in plan.tasks if planned.task.phase == phase}
    days: list[tuple[date, float]] = []
    for entry in plan.days:
        hours = [h for code, h in zip(entry.tasks, entry.hours_h, strict=True) if code in codes]
        if hours:
            days.append((entry.on, sum(hours)))
    if any(hours > 0 for _, hours in days):
        return [(on, hours) for on, hours in days if hours > 0]
    return [(on, 1.0) for on, _ in days]


def _shared(rows: Sequence[tuple[str, float]], days: Sequence[tuple[date, float]]) -> dict[str, date]:
    """Give each thing the day in which its middle falls."""
    whole, hours = sum(amount for _, amount in rows) or 1.0, sum(weight for _, weight in days)
    ends: list[tuple[float, date]] = []
    upto = 0.0
    for on, weight in days:
        upto += weight / hours
        ends.append((upto, on))
    found: dict[str, date] = {}
    before = 0.0
    for name, amount in rows:
        middle = (before + amount / 2) / whole
        found[name] = next((on for end, on in ends if middle <= end + _GRAIN), ends[-1][1])
        before += amount
    return found
