"""What is to be framed: the field, less the boxes that must stay free for drains and things standing up."""

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import MultiPolygon, Point, Polygon, box

from app.job.job import Job
from app.job.plan import DeckField
from app.takeoff.framing.axes import Axes, as_parts, shape_of
from app.takeoff.framing.bars import Bar, body_with_room
from app.takeoff.layout.records import FieldLayout

_PARALLEL = 1e-3  # sine


@dataclass(frozen=True, slots=True)
class Region:
    """The ground of one deck frame, in local axes.

    Attributes
    ----------
    area : MultiPolygon
        Where timber may lie: rims follow its edges.
    inner : MultiPolygon
        What the courses fill inside the border.
    islands : tuple of Polygon
        Boxes inside the area, framed round with trimmers.
    keep_clear : MultiPolygon
        Where neither timber nor pad may lie.
    has_border : bool
        Whether border courses lie between the two.
    """

    area: MultiPolygon
    inner: MultiPolygon
    islands: tuple[Polygon, ...]
    keep_clear: MultiPolygon
    has_border: bool


def region_of(job: Job, field: DeckField, layout: FieldLayout, width_mm: float) -> Region:
    """Give the ground of one deck frame.

    Parameters
    ----------
    job : Job
        For its drains.
    field : DeckField
        As drawn.
    layout : FieldLayout
        As boarded.
    width_mm : float
        Width of the sleepers. [mm]

    Returns
    -------
    region : Region

    Notes
    -----
    What must stay free is boxed along the local axes, since timber is. A box that leaves room for a rim
    on every side becomes an island; one nearer to the edge is taken out of the field.

    References
    ----------
    Common practice, no source.
    """
    axes = Axes(layout.angle_deg)
    drawn = as_parts(axes.shape_to_local(Polygon(field.outline_mm, field.holes_mm)))
    boarded = as_parts(axes.shape_to_local(shape_of(layout.outer_mm)))
    holes = as_parts(
        drawn.difference(boarded).buffer(-0.5, join_style="mitre").buffer(0.5, join_style="mitre")
    )
    discs = [
        axes.shape_to_local(Point(drain.x_mm, drain.y_mm).buffer(drain.keep_clear_mm, quad_segs=16))
        for drain in job.survey.drains
        if drain.keep_clear_mm > 0
    ]
    clear = [*holes.geoms, *(disc for disc in discs if disc.intersects(drawn))]
    boxes = as_parts(shapely.union_all([box(*shape.bounds) for shape in clear]))
    inside = as_parts(drawn.buffer(-width_mm, join_style="mitre"))
    islands = tuple(part for part in boxes.geoms if inside.covers(part))
    notches = [part for part in boxes.geoms if not inside.covers(part)]
    open_ground = drawn.difference(shapely.union_all(notches)) if notches else drawn
    area = as_parts(open_ground.buffer(-width_mm, join_style="mitre").buffer(width_mm, join_style="mitre"))
    return Region(
        area=area,
        inner=as_parts(axes.shape_to_local(shape_of(layout.inner_mm))),
        islands=tuple(box(*part.bounds) for part in islands),
        keep_clear=boxes,
        has_border=field.border_courses > 0,
    )


def room_for(region: Region, rims: Sequence[Bar], width_mm: float) -> MultiPolygon:
    """Give where centre lines of bars along the sleepers may run.

    Parameters
    ----------
    region : Region
        The ground of the frame.
    rims : sequence of Bar
        Round its edges; one that runs exactly along the sleepers keeps others a width away.
    width_mm : float
        Width of the section as laid. [mm]

    Returns
    -------
    room : MultiPolygon
        Inside the rims, and clear of the islands and their trimmers.

    References
    ----------
    Geometry.
    """
    room = region.area.buffer(-width_mm, join_style="mitre")
    beside = [body_with_room(rim, width_mm) for rim in rims if abs(rim.direction[0]) < _PARALLEL]
    islands = [_island_zone(island, width_mm) for island in region.islands]
    return as_parts(room.difference(shapely.union_all([*beside, *islands])))


def _island_zone(island: Polygon, width_mm: float) -> Polygon:
    """Give a box with room for its trimmers above and below, and for half a sleeper beside it."""
    left, low, right, high = island.bounds
    half = width_mm / 2 - 0.01
    return box(left - half, low - width_mm, right + half, high + width_mm)
