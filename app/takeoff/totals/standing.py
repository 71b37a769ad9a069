"""What stands on the roof: each thing with its own mass and the shape it stands on."""

from collections.abc import Mapping
from dataclasses import dataclass

import shapely

from app.job.job import Job
from app.job.plan import Box, Steps
from app.takeoff.layout.records import FieldLayout, Layout
from app.takeoff.roof.footprints import box_ring
from app.takeoff.totals.masses import Parts

WALL_STRIP_MM = 300.0  # common practice, no source: a line load needs a width to be read as an area load


@dataclass(frozen=True)
class Standing:
    """One thing that stands on an area of roof.

    Attributes
    ----------
    place, label : str
        Id in the job file, and what it is.
    shape : shapely.Geometry
        What it stands on. [mm]
    area_m2 : float
        Its area. [m2]
    parts : tuple of (str, float)
        Its own mass by part, not what lies beneath. [kg]
    is_base : bool
        Whether other things stand on it: a deck or a bed.
    is_hung : bool
        Whether it hangs on a wall that is there already.
    """

    place: str
    label: str
    shape: shapely.Geometry
    area_m2: float
    parts: Parts
    is_base: bool
    is_hung: bool = False


def standing_things(job: Job, layout: Layout, masses: Mapping[str, Parts]) -> tuple[Standing, ...]:
    """Give everything that stands on the roof, decks and beds first.

    Parameters
    ----------
    job : Job
        Names, furniture and walls.
    layout : Layout
        Fields, beds and boxes as built.
    masses : mapping of str to tuple of (str, float)
        Mass by place and part. [kg]

    Returns
    -------
    things : tuple of Standing
        In the order of the plan.

    Notes
    -----
    A wall stands on a strip of 300 mm along its line.

    References
    ----------
    Definition.
    """
    return (
        *_bases(job, layout, masses),
        *_boxes(job, layout, masses),
        *_furniture(job, masses),
        *_walls(job, masses),
    )


def _bases(job: Job, layout: Layout, masses: Mapping[str, Parts]) -> tuple[Standing, ...]:
    """Give the decks and beds, which other things stand on."""
    names = {field.id: field.name for field in job.plan.deck_fields}
    names |= {bed.id: bed.name for bed in job.plan.stone_beds}
    fields = [
        Standing(
            place=field.field,
            label=names[field.field] or f"deck {field.field}",
            shape=_field_shape(field),
            area_m2=field.area_m2,
            parts=masses.get(field.field, ()),
            is_base=True,
        )
        for field in layout.fields
    ]
    beds = [
        Standing(
            place=bed.bed,
            label=names[bed.bed] or f"stone bed {bed.bed}",
            shape=shapely.Polygon(bed.outline_mm),
            area_m2=bed.area_m2,
            parts=masses.get(bed.bed, ()),
            is_base=True,
        )
        for bed in layout.beds
    ]
    return (*fields, *beds)


def _field_shape(field: FieldLayout) -> shapely.Geometry:
    """Give the area of a field less its holes."""
    return shapely.union_all([shapely.Polygon(part[0], part[1:]) for part in field.outer_mm])


def _boxes(job: Job, layout: Layout, masses: Mapping[str, Parts]) -> tuple[Standing, ...]:
    """Give planters, benches, counters and steps on their footprints."""
    plan = job.plan
    drawn: tuple[Box | Steps, ...] = (*plan.planters, *plan.benches, *plan.counters, *plan.steps)
    names = {thing.id: thing.name for thing in drawn}
    found = []
    for box in layout.boxes:
        shape = shapely.Polygon(box.outline_mm)
        label = names[box.box] or f"{box.kind} {box.box}"
        parts = masses.get(box.box, ())
        found.append(Standing(box.box, label, shape, shape.area / 1e6, parts, is_base=False))
    return tuple(found)


def _furniture(job: Job, masses: Mapping[str, Parts]) -> tuple[Standing, ...]:
    """Give loose furniture on its footprint."""
    found = []
    for thing in job.plan.furniture:
        shape = shapely.Polygon(box_ring(thing))
        label = thing.name or f"furniture {thing.id}"
        parts = masses.get(thing.id, ())
        found.append(Standing(thing.id, label, shape, shape.area / 1e6, parts, is_base=False))
    return tuple(found)


def _walls(job: Job, masses: Mapping[str, Parts]) -> tuple[Standing, ...]:
    """Give feature walls on a strip along their line."""
    found = []
    for wall in job.plan.feature_walls:
        line = shapely.LineString([wall.start_mm, wall.end_mm])
        shape = line.buffer(WALL_STRIP_MM / 2, cap_style="flat")
        parts = masses.get(wall.id, ())
        label = wall.name or f"feature wall {wall.id}"
        is_hung = wall.fixing == "existing wall"
        found.append(Standing(wall.id, label, shape, shape.area / 1e6, parts, is_base=False, is_hung=is_hung))
    return tuple(found)
