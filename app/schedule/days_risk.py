"""How sure the days of one job are: hours and weather drawn, and the plan's network walked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil

import numpy as np
from numpy.typing import NDArray

from app.pricing.job_pricing import Range
from app.pricing.records import EstimateLine
from app.pricing.risk import CARRYING, COMMON_SHARE, DRAWS, SEED, drawn_factors
from app.schedule.critical_path import Activity, in_order
from app.schedule.records import Crew, Task
from app.schedule.serial_rule import order_crew
from app.schedule.tasks import GRAIN_H

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class DaysRiskLine:
    """One line of labour and how much of the spread of the days it carries.

    Attributes
    ----------
    line : EstimateLine
    low_h, high_h : float
        Hours if it goes well, and if it goes badly. [h]
    share_pct : Decimal
        Of the spread of the whole, to the tenth. [%]
    """

    line: EstimateLine
    low_h: float
    high_h: float
    share_pct: Decimal


@dataclass(frozen=True, slots=True)
class DaysRisk:
    """How sure the days of a job are.

    Attributes
    ----------
    planned_days : int
        Working days from first to last, as planned. [days]
    p50_days, p80_days, p90_days : int
        Working days that are enough in so many draws of a hundred. [days]
    holds_pct : Decimal
        Draws of a hundred that need no more days than planned. [%]
    weather_days : float
        Days that weather takes from the work, on average over the draws. [days]
    lines : tuple of DaysRiskLine
        The five that carry most of the spread, first the worst.
    """

    planned_days: int
    p50_days: int
    p80_days: int
    p90_days: int
    holds_pct: Decimal
    weather_days: float
    lines: tuple[DaysRiskLine, ...]


def days_risk(
    tasks: Sequence[Task],
    lines: Sequence[EstimateLine],
    ranges: Sequence[Range],
    crew: Crew,
    common: float = COMMON_SHARE,
    lost_share: Mapping[str, float] | None = None,
) -> DaysRisk | None:
    """Give how sure the days of a job are.

    Parameters
    ----------
    tasks : sequence of Task
        Of the plan.
    lines : sequence of EstimateLine
        Of the estimate; those of labour with a range are drawn, the same draws as for the price.
    ranges : sequence of Range
        Set on lines.
    crew : Crew
        Who does the work, in the order of the plan.
    common : float
        Share of the spread that all lines have in common, 0 to below 1.
    lost_share : mapping of str to float or None
        Share of the days that weather takes, by code of task, 0 to below 1; none where it lacks.

    Returns
    -------
    risk : DaysRisk or None
        None without a range on any line of labour; the same for the same inputs.

    Notes
    -----
    In each draw a task takes its hours, those of its drawn lines times their factors, over the hours of a
    day, up to the whole day. Outsiders and hold points take the days planned. Then weather takes days: with
    a chance p for each day, n days of work lose so many as fail before the n-th that does not (negative
    binomial, mean n p / (1 − p)).

    References
    ----------
    Monte Carlo over a network with a fixed order of the crew: definition. Common practice, no source.
    """
    ranged, factors = drawn_factors(lines, ranges, common)
    labour = [number for number, line in enumerate(ranged) if line.hours_h > 0]
    if not labour:
        return None
    hours = np.array([ranged[number].hours_h for number in labour])
    more = (factors[:, labour] - 1) * hours
    phases = [ranged[number].phase for number in labour]
    dry = {task.code: _days(task, more, phases, crew) for task in tasks}
    takes, weather = _with_weather(dry, lost_share or {})
    of_crew = frozenset(task.code for task in tasks if task.who == crew.code and not task.is_hold_point)
    activities = order_crew(
        [Activity(task.code, task.days, task.after) for task in tasks], of_crew
    ).activities
    ends = _ends(activities, takes)
    planned = int(_ends(activities, {task.code: np.full(1, float(task.days)) for task in tasks})[0])
    ordered = np.sort(ends)
    p50, p80, p90 = (int(ordered[ceil(DRAWS * part) - 1]) for part in (0.5, 0.8, 0.9))
    holds = Decimal(repr(float(np.mean(ends <= planned)) * 100)).quantize(Decimal("0.1"))
    by_line = {one.line: one for one in ranges}
    lines_found = _carrying([ranged[number] for number in labour], more, ends, by_line)
    return DaysRisk(planned, p50, p80, p90, holds, weather, lines_found)


def _days(task: Task, more: Floats, phases: Sequence[str], crew: Crew) -> Floats:
    """Give the days of one task in every draw."""
    columns = [number for number, phase in enumerate(phases) if phase == task.phase]
    if not task.hours_h or task.who != crew.code or not columns:
        return np.full(DRAWS, float(task.days))
    hours = task.hours_h + more[:, columns].sum(axis=1)
    days: Floats = np.maximum(1.0, np.ceil((hours - GRAIN_H) / (crew.people * crew.day_h)))
    return days


def _with_weather(
    takes: Mapping[str, Floats], lost_share: Mapping[str, float]
) -> tuple[dict[str, Floats], float]:
    """Add the days that weather takes, and give how many they are on average."""
    chance = np.random.default_rng(SEED)
    found: dict[str, Floats] = {}
    for code, days in takes.items():
        share = lost_share.get(code, 0.0)
        is_met = share > 0 and bool(days.min() > 0)
        found[code] = days + chance.negative_binomial(days, 1 - share) if is_met else days
    return found, float(sum(np.mean(found[code] - days) for code, days in takes.items()))


def _ends(activities: Sequence[Activity], takes: Mapping[str, Floats]) -> Floats:
    """Walk the network forward in every draw at once and give when the last task ends."""
    finish: dict[str, Floats] = {}
    for activity in in_order(activities):
        start = np.zeros_like(takes[activity.code])
        for code, lag in activity.after:
            start = np.maximum(start, finish[code] + lag)
        finish[activity.code] = start + takes[activity.code]
    last: Floats = np.max(np.stack(list(finish.values())), axis=0)
    return last


def _carrying(
    lines: Sequence[EstimateLine], more: Floats, ends: Floats, ranges: Mapping[str, Range]
) -> tuple[DaysRiskLine, ...]:
    """Give the lines that carry most: covariance of their hours with the end, over the sum of these."""
    off = ends - ends.mean()
    shares = [max(0.0, float(np.mean((column - column.mean()) * off))) for column in more.T]
    whole = sum(shares)
    if not whole:
        return ()
    found = [
        DaysRiskLine(
            line,
            line.hours_h * (1 - float(ranges[line.id].low_pct) / 100),
            line.hours_h * (1 + float(ranges[line.id].high_pct) / 100),
            Decimal(repr(share / whole * 100)).quantize(Decimal("0.1")),
        )
        for line, share in zip(lines, shares, strict=True)
    ]
    return tuple(sorted(found, key=lambda one: (-one.share_pct, one.line.id))[:CARRYING])
