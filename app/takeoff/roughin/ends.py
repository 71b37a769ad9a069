"""The ends of runs: sources and devices, with their places on plan and heights above the deck."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

from shapely import shortest_line
from shapely.geometry import Point

from app.job.job import Job
from app.job.plan import Amplifier, Fixture, GasStub, Outlet, Speaker, Transformer
from app.job.survey import GasPoint, PowerPoint
from app.takeoff.framing.records import Framing
from app.takeoff.roughin.grid import Floats
from app.takeoff.roughin.lanes import beside
from app.takeoff.roughin.obstacles import FreeArea, to_turned_mm
from app.takeoff.roughin.pads import off_pads

ON_WALL_MM = 150.0  # above the deck, a thing beside a wall hangs on it; common practice, no source
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


def _kind_of(thing: OnDeck | Surveyed) -> str:
    """Give which runs go to a thing."""
    if isinstance(thing, (PowerPoint, Outlet)):
        return "power"
    return "gas" if isinstance(thing, (GasPoint, GasStub)) else "low"


def _wall_of(free: FreeArea, turned: tuple[float, float]) -> tuple[int, int, float, float] | None:
    """Give the wall a spot lies beside: its number, the axis across it, its line, and how far off."""
    found = []
    for number, (a, b) in enumerate(free.walls_mm):
        axis = 0 if abs(a[0] - b[0]) < abs(a[1] - b[1]) else 1
        low, high = min(a[1 - axis], b[1 - axis]), max(a[1 - axis], b[1 - axis])
        away = turned[axis] - a[axis]
        if abs(away) <= REACH_MM and low <= turned[1 - axis] <= high:
            found.append((abs(away), number, axis, a[axis], away))
    return min(found)[1:] if found else None


def lanes_on_walls(
    free: FreeArea, things: Sequence[OnDeck | Surveyed], deck_mm: float
) -> dict[tuple[int, str], float]:
    """Give the line beside each wall that runs of one kind share: that of the thing nearest to the wall.

    Parameters
    ----------
    free : FreeArea
        With its walls.
    things : sequence
        All that runs begin or end at.
    deck_mm : float
        Top of the boards above the datum. [mm]

    Returns
    -------
    lanes : dict of (int, str) to float
        Number of the wall and kind of run; distance from the wall, signed by its side. [mm]

    References
    ----------
    Common practice, no source.
    """
    lanes: dict[tuple[int, str], float] = {}
    for thing in things:
        surveyed_mm = deck_mm if isinstance(thing, (PowerPoint, GasPoint)) else 0.0
        if thing.z_mm - surveyed_mm < ON_WALL_MM:
            continue
        wall = _wall_of(free, to_turned_mm((thing.x_mm, thing.y_mm), free.angle_deg))
        if wall is not None:
            number, _, _, away = wall
            key = (number, _kind_of(thing))
            lanes[key] = min(lanes.get(key, away), away, key=abs)
    return lanes


def _end(
    free: FreeArea,
    name: str,
    plan_mm: tuple[float, float],
    above_deck_mm: float,
    lanes: Mapping[tuple[int, str], float],
    kind: str,
) -> End:
    """Give one end: on the line along its wall, or at the nearest place a hand's breadth off."""
    turned = own = to_turned_mm(plan_mm, free.angle_deg)
    wall = _wall_of(free, own) if above_deck_mm >= ON_WALL_MM else None
    if wall is not None:
        number, axis, line, away = wall
        place = round(line + lanes.get((number, kind), away), 3)
        moved = (place, own[1]) if axis == 0 else (own[0], place)
        turned = moved if free.area.covers(Point(moved)) else own
    across = _between(own, turned)
    point = Point(turned)
    if not free.area.covers(point) and not free.area.is_empty:
        near = shortest_line(free.area, point)
        if near.length <= REACH_MM:
            across = float(near.length)
            x, y = near.coords[0]
            turned = (round(x, 3) + 0.0, round(y, 3) + 0.0)
    return End(id=name, turned_mm=turned, rise_mm=abs(above_deck_mm) + across, plan_mm=plan_mm)


def ends_on_deck(
    free: FreeArea,
    things: Sequence[OnDeck],
    lanes: Mapping[tuple[int, str], float],
    kind: str | None = None,
) -> dict[str, End]:
    """Give the ends at things of the plan, whose heights are above the deck.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    things : sequence
        Transformers, amplifiers and devices.
    lanes : mapping of (int, str) to float
        As `lanes_on_walls` gives them. [mm]
    kind : str or None
        Of the runs that meet them; None: their own.

    Returns
    -------
    ends : dict of str to End
        By id.

    References
    ----------
    Definition.
    """
    ends = (
        _end(free, thing.id, (thing.x_mm, thing.y_mm), thing.z_mm, lanes, kind or _kind_of(thing))
        for thing in things
    )
    return {end.id: end for end in ends}


def ends_of_survey(
    free: FreeArea, points: Sequence[Surveyed], deck_mm: float, lanes: Mapping[tuple[int, str], float]
) -> dict[str, End]:
    """Give the ends at points of the survey, whose heights are above the datum.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    points : sequence
        Power or gas points.
    deck_mm : float
        Top of the boards above the datum. [mm]
    lanes : mapping of (int, str) to float
        As `lanes_on_walls` gives them. [mm]

    Returns
    -------
    ends : dict of str to End
        By id.

    References
    ----------
    Definition.
    """
    return {p.id: _end(free, p.id, (p.x_mm, p.y_mm), p.z_mm - deck_mm, lanes, _kind_of(p)) for p in points}


def ends_beside(
    ends: Mapping[str, End], free: FreeArea, sticks_mm: Floats, half_mm: Floats | None
) -> dict[str, End]:
    """Give ends that stand over a sleeper met from beside it.

    Parameters
    ----------
    ends : mapping of str to End
        By id.
    free : FreeArea
        Where runs may lie.
    sticks_mm : array
        Centre lines in turned axes, one row (x, y, x, y) each. [mm]
    half_mm : array or None
        From each centre line to the lanes beside it; None moves nothing. [mm]

    Returns
    -------
    ends : dict of str to End
        What lies between the thing and the lane is added to its rise.

    References
    ----------
    Common practice, no source.
    """
    if half_mm is None or not len(sticks_mm):
        return dict(ends)
    moved = {name: beside(end.turned_mm, sticks_mm, half_mm, free.boarded) for name, end in ends.items()}
    return {
        name: replace(end, turned_mm=moved[name], rise_mm=end.rise_mm + _between(end.turned_mm, moved[name]))
        if free.area.covers(Point(moved[name]))
        else end
        for name, end in ends.items()
    }


def ends_off_pads(
    ends: Mapping[str, End], free: FreeArea, sticks_mm: Floats, half_mm: Floats | None, pads_mm: Floats | None
) -> dict[str, End]:
    """Give ends that stand over a pad met from beside it.

    Parameters
    ----------
    ends : mapping of str to End
        By id, beside the sleepers already.
    free : FreeArea
        Where runs may lie.
    sticks_mm : array
        Centre lines in turned axes, one row (x, y, x, y) each. [mm]
    half_mm : array or None
        From each centre line to the lanes beside it; None moves nothing. [mm]
    pads_mm : array or None
        Boxes of the pads, as `pad_boxes` gives them; None moves nothing. [mm]

    Returns
    -------
    ends : dict of str to End
        What lies between the thing and the lane is added to its rise; where there is no free spot beside
        the pad an end stays.

    References
    ----------
    Common practice, no source.
    """
    if pads_mm is None or not len(pads_mm) or half_mm is None:
        return dict(ends)
    found = dict(ends)
    for name, end in ends.items():
        spot = clear_spot(end.turned_mm, free, sticks_mm, half_mm, pads_mm)
        if spot is not None and spot != end.turned_mm:
            rise = end.rise_mm + _between(end.turned_mm, spot)
            found[name] = replace(end, turned_mm=spot, rise_mm=rise)
    return found


def clear_spot(
    spot_mm: tuple[float, float], free: FreeArea, sticks_mm: Floats, half_mm: Floats, pads_mm: Floats
) -> tuple[float, float] | None:
    """Give the nearest spot beside the pad that something lies over.

    Parameters
    ----------
    spot_mm : tuple of float
        In turned axes. [mm]
    free : FreeArea
        Where runs may lie.
    sticks_mm : array
        Centre lines in turned axes, one row (x, y, x, y) each. [mm]
    half_mm : array
        From each centre line to the lanes beside it. [mm]
    pads_mm : array
        Boxes of the pads, as `pad_boxes` gives them. [mm]

    Returns
    -------
    spot_mm : tuple of float or None
        The same where it lies over no pad; None where every side of the pad is taken. [mm]

    References
    ----------
    Common practice, no source.
    """
    for spot in off_pads(spot_mm, pads_mm):
        if spot == spot_mm or (
            beside(spot, sticks_mm, half_mm, free.boarded) == spot and free.area.covers(Point(spot))
        ):
            return spot
    return None


def _between(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Give the orthogonal length between two spots."""
    return abs(a[0] - b[0]) + abs(a[1] - b[1])
