"""A section through the build-up along any line: membrane, pads, sleepers, boards, edges, doors, levels."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from shapely import LineString, Point, Polygon

from app.drawings.canvas import (
    DASHED,
    EXTRA_WIDE_MM,
    HAIR_MM,
    MIDDLE_MM,
    NARROW_MM,
    WIDE_MM,
    Canvas,
    Pen,
    Spot,
)
from app.drawings.hatches import define_hatches
from app.drawings.levels import Level, draw_levels, level_of_fields
from app.drawings.stick_shapes import stick_corners, stick_shapes
from app.drawings.things import box_corners
from app.job.job import Job
from app.takeoff.chain import Takeoff

_MARGIN_MM, _LEVELS_MM = 12.0, 70.0  # on paper
_SLAB_MM = 120.0  # drawn depth of the roof; what lies beneath the membrane is not surveyed
_EDGE_MM = 150.0  # drawn thickness of a parapet or wall; not surveyed either
_WALL_MM = 75.0  # drawn thickness of furring and cladding
_STEP_MM = 100.0  # along the line, at which the membrane is read


@dataclass(frozen=True, slots=True)
class Cut:
    """One thing that the line cuts through, or that stands on it.

    Attributes
    ----------
    kind : str
        ``board``, ``sleeper``, ``pad``, ``shims``, ``box``, ``bed``, ``wall`` or ``edge``.
    id : str
        Of the piece, stick, pad, box, bed, wall or edge.
    from_mm, to_mm : float
        Along the line, from its start. [mm]
    bottom_mm, top_mm : float
        Above datum. [mm]
    """

    kind: str
    id: str
    from_mm: float
    to_mm: float
    bottom_mm: float
    top_mm: float


def section_svg(
    job: Job, takeoff: Takeoff, start_mm: Spot, end_mm: Spot, system: str, scale: float = 20.0
) -> str:
    """Give the section along a line as SVG, with its levels.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its surface, pieces, sticks and pads are what is cut.
    start_mm, end_mm : tuple of float
        The line on plan, seen from its right hand. [mm]
    system : str
        ``imperial`` or ``metric``.
    scale : float
        Millimetres to one millimetre of paper, along and up alike.

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    References
    ----------
    Line widths ISO 128; definition.
    """
    line = LineString((start_mm, end_mm))
    ground = membrane(job, takeoff, line)
    cuts = tuple(section_cuts(job, takeoff, start_mm, end_mm))
    levels = _levels(job, takeoff, line, ground, cuts)
    heights = [z for _, z in ground] + [z for cut in cuts for z in (cut.bottom_mm, cut.top_mm)]
    heights += [level.at_mm for level in levels] or [0.0]
    margin = _MARGIN_MM * scale
    box = (
        -margin - _EDGE_MM,
        min(heights) - _SLAB_MM - margin,
        line.length + _EDGE_MM + _LEVELS_MM * scale,
        max(heights) + margin,
    )
    canvas = Canvas(box, scale, f"Section through {job.title}")
    define_hatches(canvas)
    _draw_roof(canvas, ground)
    for cut in sorted(cuts, key=lambda cut: _ORDER.index(cut.kind)):
        _draw_cut(canvas, cut)
    draw_levels(canvas, levels, line.length + _EDGE_MM + margin * 0.5, system)
    return canvas.svg()


def membrane(job: Job, takeoff: Takeoff, line: LineString) -> tuple[tuple[float, float], ...]:
    """Give the membrane under a line.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Holds the surface.
    line : LineString
        On plan. [mm]

    Returns
    -------
    spots : tuple of (float, float)
        Distance along the line and height above datum, where the line lies over the roof. [mm]

    References
    ----------
    Definition.
    """
    roof = Polygon(job.survey.outline_mm, job.survey.holes_mm).buffer(0.5)
    many = max(2, math.ceil(line.length / _STEP_MM) + 1)
    spots = (line.interpolate(line.length * number / (many - 1)) for number in range(many))
    return tuple(
        (line.length * number / (many - 1), takeoff.roof.height_mm(spot.x, spot.y))
        for number, spot in enumerate(spots)
        if roof.contains(spot)
    )


def section_cuts(job: Job, takeoff: Takeoff, start_mm: Spot, end_mm: Spot) -> tuple[Cut, ...]:
    """Give everything that a line cuts through, with its levels.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        What is built.
    start_mm, end_mm : tuple of float
        The line on plan. [mm]

    Returns
    -------
    cuts : tuple of Cut
        From below to above, as they are laid.

    References
    ----------
    Definition.
    """
    line = LineString((start_mm, end_mm))
    return (*_pads(job, takeoff, line), *_frame(job, takeoff, line), *_standing(job, takeoff, line))


def _pads(job: Job, takeoff: Takeoff, line: LineString) -> Iterable[Cut]:
    kinds = {pad.id: pad for pad in job.choices.pads}
    sticks = {stick.id: stick for stick in takeoff.framing.sticks}
    for spot in takeoff.framing.pads:
        pad, stick = kinds[spot.pad], sticks[spot.stick]
        length = math.dist(stick.start_mm, stick.end_mm) or 1.0
        ux, uy = (
            (stick.end_mm[0] - stick.start_mm[0]) / length,
            (stick.end_mm[1] - stick.start_mm[1]) / length,
        )
        half = pad.length_mm / 2
        start, end = (
            (spot.x_mm - ux * half, spot.y_mm - uy * half),
            (spot.x_mm + ux * half, spot.y_mm + uy * half),
        )
        thick = min(pad.thickness_mm, spot.height_mm)
        for first, last in _along(line, Polygon(stick_corners(start, end, pad.width_mm))):
            if spot.pedestal:
                yield Cut("shims", spot.id, first, last, spot.roof_mm, spot.roof_mm + spot.height_mm)
                continue
            yield Cut("pad", spot.id, first, last, spot.roof_mm, spot.roof_mm + thick)
            if spot.height_mm > thick:
                yield Cut("shims", spot.id, first, last, spot.roof_mm + thick, spot.roof_mm + spot.height_mm)


def _frame(job: Job, takeoff: Takeoff, line: LineString) -> Iterable[Cut]:
    tops = level_of_fields(job, takeoff)
    boards = {board.id: board.thickness_mm for board in job.choices.boards}
    sections = {section.id: section for section in job.choices.sections}
    shapes = stick_shapes(job, takeoff)
    thick = {field.id: boards[field.board] for field in job.plan.deck_fields}
    for stick in takeoff.framing.sticks:
        if stick.place not in tops:
            continue
        section, top = sections[stick.section], tops[stick.place] - thick[stick.place]
        if stick.role == "doubling":
            top -= section.depth_mm
        for first, last in _along(line, Polygon(shapes[stick.id])):
            yield Cut("sleeper", stick.id, first, last, top - section.depth_mm, top)
    for piece in takeoff.layout.pieces:
        if piece.plane == "plan" and piece.place in tops:
            top = tops[piece.place]
            for first, last in _along(line, Polygon(piece.outline_mm)):
                yield Cut("board", piece.id, first, last, top - boards[piece.profile], top)


def _standing(job: Job, takeoff: Takeoff, line: LineString) -> Iterable[Cut]:
    """What stands on deck or membrane, and the edges of the roof where the line passes them."""
    tops = level_of_fields(job, takeoff)
    fields = [(Polygon(field.outline_mm), tops.get(field.id, 0.0)) for field in job.plan.deck_fields]

    def stands_at(x: float, y: float) -> float:
        on = [top for ring, top in fields if ring.covers(Point(x, y))]
        return on[0] if on else takeoff.roof.height_mm(x, y)

    depths = {bed.id: bed.depth_mm for bed in job.plan.stone_beds}
    for bed in takeoff.layout.beds:
        for first, last in _along(line, Polygon(bed.outline_mm)):
            middle = line.interpolate((first + last) / 2)
            base = takeoff.roof.height_mm(middle.x, middle.y)
            yield Cut("bed", bed.bed, first, last, base, base + depths[bed.bed])
    for box in (*job.plan.planters, *job.plan.benches, *job.plan.counters):
        base = stands_at(box.x_mm, box.y_mm)
        for first, last in _along(line, Polygon(box_corners(box))):
            yield Cut("box", box.id, first, last, base, base + box.height_mm)
    for wall in job.plan.feature_walls:
        ring = stick_corners(wall.start_mm, wall.end_mm, _WALL_MM)
        base = stands_at((wall.start_mm[0] + wall.end_mm[0]) / 2, (wall.start_mm[1] + wall.end_mm[1]) / 2)
        for first, last in _along(line, Polygon(ring)):
            yield Cut("wall", wall.id, first, last, base, base + wall.height_mm)
    yield from _edges(job, takeoff, line)


def _edges(job: Job, takeoff: Takeoff, line: LineString) -> Iterable[Cut]:
    ring = job.survey.outline_mm
    roof = Polygon(ring)
    for edge in job.survey.edges:
        side = LineString((ring[edge.from_corner], ring[(edge.from_corner + 1) % len(ring)]))
        met = side.intersection(line.buffer(0.01))
        if met.is_empty or met.length > 1 or edge.height_mm <= 0:
            continue
        spot = met.centroid
        at = line.project(spot)
        inside = line.interpolate(min(line.length, at + 10.0))
        first, last = (at - _EDGE_MM, at) if roof.contains(inside) else (at, at + _EDGE_MM)
        base = takeoff.roof.height_mm(spot.x, spot.y)
        yield Cut("edge", edge.id, first, last, base, base + edge.height_mm)


def _along(line: LineString, shape: Polygon) -> Iterable[tuple[float, float]]:
    """Give the stretches of a line that lie within a shape."""
    met = line.intersection(shape)
    for part in getattr(met, "geoms", (met,)):
        if part.geom_type == "LineString" and part.length > 0.5:
            ends = [line.project(Point(spot)) for spot in (part.coords[0], part.coords[-1])]
            yield min(ends), max(ends)


def _levels(
    job: Job, takeoff: Takeoff, line: LineString, ground: tuple[Spot, ...], cuts: tuple[Cut, ...]
) -> tuple[Level, ...]:
    found = [Level("datum", 0.0)]
    tops = level_of_fields(job, takeoff)
    cut_fields = {cut.top_mm for cut in cuts if cut.kind == "board"}
    found += [Level("top of boards", top) for top in sorted(set(tops.values()) & cut_fields)]
    if ground:
        heights = [z for _, z in ground]
        found += [Level("membrane, highest", max(heights)), Level("membrane, lowest", min(heights))]
    near = line.buffer(500)
    for door in job.survey.doors:
        if near.distance(Point(door.x_mm, door.y_mm)) <= door.width_mm / 2:
            found.append(Level(f"threshold of {door.id}", door.threshold_mm))
    found += [Level(f"top of {cut.id}", cut.top_mm) for cut in cuts if cut.kind in ("edge", "wall", "box")]
    return tuple(found)


# Far things first, so that near ones are drawn over them.
_ORDER = ("edge", "bed", "wall", "pad", "shims", "sleeper", "board", "box")
_PENS = {
    "edge": Pen(WIDE_MM, fill="wall"),
    "bed": Pen(MIDDLE_MM, fill="stone"),
    "wall": Pen(WIDE_MM, fill="wall"),
    "pad": Pen(NARROW_MM, fill="paper"),
    "shims": Pen(HAIR_MM, DASHED, "paper"),
    "sleeper": Pen(MIDDLE_MM, fill="seat"),
    "board": Pen(MIDDLE_MM, fill="paper"),
    "box": Pen(MIDDLE_MM, fill="paper"),
}


def _draw_roof(canvas: Canvas, ground: tuple[Spot, ...]) -> None:
    canvas.layer("roof")
    if len(ground) < 2:
        return
    low = min(z for _, z in ground) - _SLAB_MM
    band = (*ground, (ground[-1][0], low), (ground[0][0], low))
    canvas.polygon(
        band, "slab", Pen(0.0, fill="wall"), "roof; what lies beneath the membrane is not surveyed"
    )
    canvas.line(ground, "membrane", Pen(EXTRA_WIDE_MM))


def _draw_cut(canvas: Canvas, cut: Cut) -> None:
    canvas.layer(cut.kind)
    corners = (
        (cut.from_mm, cut.bottom_mm),
        (cut.to_mm, cut.bottom_mm),
        (cut.to_mm, cut.top_mm),
        (cut.from_mm, cut.top_mm),
    )
    canvas.polygon(corners, cut.kind, _PENS[cut.kind], f"{cut.kind} {cut.id}")
    is_named = cut.kind in ("box", "bed", "wall", "edge") and cut.to_mm - cut.from_mm > canvas.paper_mm(12)
    if is_named:
        canvas.text(((cut.from_mm + cut.to_mm) / 2, (cut.bottom_mm + cut.top_mm) / 2), cut.id)
