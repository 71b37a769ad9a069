"""The ends of runs: sources and devices, with their places on plan and heights above the deck."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from shapely import shortest_line
from shapely.geometry import Point

from app.job.job import Job
from app.job.plan import Amplifier, Fixture, GasStub, Outlet, Speaker, Transformer
from app.job.survey import GasPoint, PowerPoint
from app.takeoff.framing.records import Framing
from app.takeoff.roughin.obstacles import FreeArea, to_turned_mm

REACH_MM = 150.0  # from the free area to a thing on a wall or unit face; common practice, no source

OnDeck = Transformer | Amplifier | Fixture | Outlet | Speaker | GasStub
Surveyed = PowerPoint | GasPoint


@dataclass(frozen=True, slots=True)
class End:
    """One end of a run.

    Attributes
    ----------
    id : str
        Source, device or joint.
    turned_mm : tuple of float
        Where the run leaves the roof plane, in turned axes. [mm]
    rise_mm : float
        From the deck up to the thing, and from the free area across to it. [mm]
    plan_mm : tuple of float
        The thing itself, on plan. [mm]
    """

    id: str
    turned_mm: tuple[float, float]
    rise_mm: float
    plan_mm: tuple[float, float]


def deck_level_mm(job: Job, framing: Framing) -> float | None:
    """Give the top of the boards above the datum.

    Parameters
    ----------
    job : Job
        Plan and choices.
    framing : Framing
        Pads of the deck fields.

    Returns
    -------
    level_mm : float or None
        As drawn, else from the main field's pads; None without either. [mm]

    Notes
    -----
    Roof height + pad + section depth + board thickness; the middle value over the pads.

    References
    ----------
    Definition.
    """
    if job.plan.level.level_mm is not None:
        return job.plan.level.level_mm
    fields = {field.id: field for field in job.plan.deck_fields}
    depth = {section.id: section.depth_mm for section in job.choices.sections}
    board = {board.id: board.thickness_mm for board in job.choices.boards}
    section = {stick.id: stick.section for stick in framing.sticks}
    tops = [
        pad.roof_mm + pad.height_mm + depth[section[pad.stick]] + board[fields[pad.place].board]
        for pad in framing.pads
        if pad.place in fields and section.get(pad.stick) in depth and fields[pad.place].board in board
    ]
    return float(median(tops)) if tops else None


def _end(free: FreeArea, name: str, plan_mm: tuple[float, float], above_deck_mm: float) -> End:
    """Give one end; a thing a hand's breadth off the free area is met at the nearest place."""
    turned = to_turned_mm(plan_mm, free.angle_deg)
    point = Point(turned)
    across = 0.0
    if not free.area.covers(point) and not free.area.is_empty:
        line = shortest_line(free.area, point)
        if line.length <= REACH_MM:
            across = float(line.length)
            x, y = line.coords[0]
            turned = (round(x, 3) + 0.0, round(y, 3) + 0.0)
    return End(id=name, turned_mm=turned, rise_mm=abs(above_deck_mm) + across, plan_mm=plan_mm)


def ends_on_deck(free: FreeArea, things: Sequence[OnDeck]) -> dict[str, End]:
    """Give the ends at things of the plan, whose heights are above the deck.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    things : sequence
        Transformers, amplifiers and devices.

    Returns
    -------
    ends : dict of str to End
        By id.

    References
    ----------
    Definition.
    """
    return {thing.id: _end(free, thing.id, (thing.x_mm, thing.y_mm), thing.z_mm) for thing in things}


def ends_of_survey(free: FreeArea, points: Sequence[Surveyed], deck_mm: float) -> dict[str, End]:
    """Give the ends at points of the survey, whose heights are above the datum.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    points : sequence
        Power or gas points.
    deck_mm : float
        Top of the boards above the datum. [mm]

    Returns
    -------
    ends : dict of str to End
        By id.

    References
    ----------
    Definition.
    """
    return {p.id: _end(free, p.id, (p.x_mm, p.y_mm), p.z_mm - deck_mm) for p in points}
