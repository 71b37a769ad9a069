"""Dead load by place, held against what an engineer allowed. It totals and warns; it never approves."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import shapely

from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import FieldLayout, Layout
from app.takeoff.roof.footprints import box_ring
from app.takeoff.totals.load_findings import LEGS, load_findings
from app.takeoff.totals.masses import Parts, masses_by_place
from app.takeoff.totals.records import LoadSpot

KPA_PER_KG_M2 = 9.80665e-3  # standard gravity, ISO 80000-3
WALL_STRIP_MM = 300.0  # common practice, no source: a line load needs a width to be read as an area load


@dataclass(frozen=True, slots=True)
class Loads:
    """Dead load over the job.

    Attributes
    ----------
    spots : tuple of LoadSpot
        In the order of the plan.
    dead_kg : float
        Mass of everything that stays, each thing once. [kg]
    findings : tuple of Finding
    assumptions : tuple of Assumption
    """

    spots: tuple[LoadSpot, ...]
    dead_kg: float
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]


@dataclass(frozen=True)
class _Standing:
    """One thing that stands on an area of roof: its own parts, and the shape it stands on."""

    place: str
    label: str
    shape: shapely.Geometry
    area_m2: float
    parts: Parts
    is_base: bool


def dead_loads(job: Job, layout: Layout, framing: Framing) -> Loads:
    """Give the dead load of every place.

    Parameters
    ----------
    job : Job
        Plan, materials, allowable load.
    layout : Layout
        Pieces, boxes, beds.
    framing : Framing
        Sticks and pads.

    Returns
    -------
    loads : Loads
        A box, a wall or furniture standing on a deck or a bed bears the load of what lies beneath it as
        well, by the share of its own area that is over it.

    Notes
    -----
    p = m · g / A with g = 9.80665 m/s². A wall is read over its length × 300 mm.

    References
    ----------
    Definition; gravity ISO 80000-3; saturated media and wet stone as ASCE 7-16 §3.1.4 asks, from memory.
    """
    masses = masses_by_place(job, layout, framing)
    bases = _bases(job, layout, masses)
    standing = (*bases, *_boxes(job, layout, masses), *_furniture(job, masses), *_walls(job, masses))
    spots = tuple(_spot(job, thing, bases) for thing in standing if thing.area_m2 > 0.0)
    timber_kg = math.fsum(
        mass_kg for parts in masses.values() for label, mass_kg in parts if label == "frame"
    )
    return Loads(
        spots=spots,
        dead_kg=math.fsum(mass_kg for parts in masses.values() for _, mass_kg in parts),
        findings=load_findings(job, spots, masses, timber_kg),
        assumptions=_assumptions(job),
    )


def _spot(job: Job, thing: _Standing, bases: tuple[_Standing, ...]) -> LoadSpot:
    """Turn the masses of one thing, and of what it stands on, into loads over its area."""
    own = [(label, mass_kg / thing.area_m2 * KPA_PER_KG_M2) for label, mass_kg in thing.parts]
    beneath = [] if thing.is_base else _beneath(thing, bases)
    parts = tuple(own + beneath)
    dead_kpa = math.fsum(kpa for _, kpa in parts)
    allowable = job.survey.allowable_load
    return LoadSpot(
        place=thing.place,
        label=thing.label,
        area_m2=thing.area_m2,
        mass_kg=dead_kpa * thing.area_m2 / KPA_PER_KG_M2,
        dead_kpa=dead_kpa,
        allowable_kpa=allowable.dead_kpa if allowable else None,
        parts=parts,
    )


def _beneath(thing: _Standing, bases: tuple[_Standing, ...]) -> list[tuple[str, float]]:
    """Give the load of the decks and beds under a thing, spread over the thing's own area."""
    found = []
    for base in bases:
        shared_m2 = thing.shape.intersection(base.shape).area / 1e6
        base_kg = math.fsum(mass_kg for _, mass_kg in base.parts)
        if shared_m2 > 0.0 and base.area_m2 > 0.0:
            share = min(1.0, shared_m2 / thing.area_m2)
            found.append((f"{base.place} beneath", base_kg / base.area_m2 * KPA_PER_KG_M2 * share))
    return found


def _bases(job: Job, layout: Layout, masses: Mapping[str, Parts]) -> tuple[_Standing, ...]:
    """Give the decks and beds, which other things stand on."""
    names = {field.id: field.name for field in job.plan.deck_fields}
    names |= {bed.id: bed.name for bed in job.plan.stone_beds}
    fields = [
        _Standing(
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
        _Standing(
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


def _boxes(job: Job, layout: Layout, masses: Mapping[str, Parts]) -> tuple[_Standing, ...]:
    """Give planters, benches and counters on their footprints."""
    names = {box.id: box.name for box in (*job.plan.planters, *job.plan.benches, *job.plan.counters)}
    found = []
    for box in layout.boxes:
        shape = shapely.Polygon(box.outline_mm)
        label = names[box.box] or f"{box.kind} {box.box}"
        parts = masses.get(box.box, ())
        found.append(_Standing(box.box, label, shape, shape.area / 1e6, parts, is_base=False))
    return tuple(found)


def _furniture(job: Job, masses: Mapping[str, Parts]) -> tuple[_Standing, ...]:
    """Give loose furniture on its footprint."""
    found = []
    for thing in job.plan.furniture:
        shape = shapely.Polygon(box_ring(thing))
        label = thing.name or f"furniture {thing.id}"
        parts = masses.get(thing.id, ())
        found.append(_Standing(thing.id, label, shape, shape.area / 1e6, parts, is_base=False))
    return tuple(found)


def _walls(job: Job, masses: Mapping[str, Parts]) -> tuple[_Standing, ...]:
    """Give feature walls on a strip along their line."""
    found = []
    for wall in job.plan.feature_walls:
        line = shapely.LineString([wall.start_mm, wall.end_mm])
        shape = line.buffer(WALL_STRIP_MM / 2, cap_style="flat")
        parts = masses.get(wall.id, ())
        label = wall.name or f"feature wall {wall.id}"
        found.append(_Standing(wall.id, label, shape, shape.area / 1e6, parts, is_base=False))
    return tuple(found)


def _assumptions(job: Job) -> tuple[Assumption, ...]:
    """Say what the loads take as given."""
    taken = [
        Assumption(
            code="totals.dead-load-scope",
            text=(
                "Dead load counts boards, frame, pads, saturated media, wet stone, counter tops and "
                "furniture by the masses in the choices; fasteners, tape, cable, lining, flashing, shims "
                "and plants are not in it, nor people, snow or water standing on the roof."
            ),
            source="definition",
        )
    ]
    if job.plan.feature_walls:
        taken.append(
            Assumption(
                code="totals.wall-strip",
                text=(
                    f"The load of a feature wall is read over its length × {WALL_STRIP_MM:.0f} mm, as if the "
                    f"roof carried all of it."
                ),
                source="common practice, no source",
            )
        )
    if job.survey.allowable_load is not None and job.survey.allowable_load.point_kn is not None:
        taken.append(
            Assumption(
                code="totals.four-legs",
                text=(
                    f"Planters and furniture are held against the point load as if {LEGS} legs shared their "
                    f"mass alike; on an uneven surface two may carry it all."
                ),
                source="common practice, no source",
            )
        )
    return tuple(taken)
