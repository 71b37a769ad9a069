"""Walls, planters, benches, counters and stone beds."""

import math
from collections.abc import Callable, Iterable

from app.job.job import Job
from app.job.plan import Bench, Counter, Planter
from app.job.spoken import Spoken
from app.takeoff.layout.beds import TURN_UP_MM
from app.takeoff.layout.records import BoxLayout, Layout
from app.takeoff.totals.measured import Inputs, by_item, listed, named, quantity, said, sum_of
from app.takeoff.totals.records import Quantity


def wall_quantities(job: Job, layout: Layout) -> tuple[Quantity, ...]:
    """Give what is measured of the feature walls.

    Parameters
    ----------
    job : Job
        Items in the choices.
    layout : Layout
        Walls unfolded.

    Returns
    -------
    quantities : tuple of Quantity
        Cladding boards themselves are bought by stock length and stand there.

    References
    ----------
    Definition.
    """
    items = job.choices.fastening
    walls, units, say = layout.walls, job.units, Spoken(job.units)
    return (
        *quantity(
            "wall.area",
            "",
            [(wall.wall, wall.net_m2) for wall in walls],
            f"length × height less openings: {sum_of((wall.net_m2 for wall in walls), 'm2', units)}",
            (
                *(
                    (wall.wall, f"{say.length(wall.length_mm)} × {say.length(wall.height_mm)}")
                    for wall in walls
                ),
                *named(
                    ((f"openings and niches of {w.wall}", float(len(w.openings_mm))) for w in walls),
                    "each",
                    units,
                ),
                *named(((f"returns of {w.wall}", sum(w.returns_mm) / 1000) for w in walls), "m", units),
            ),
        ),
        *quantity(
            "wall.cap",
            items.cap_flashing,
            [(wall.wall, wall.cap_mm / 1000) for wall in walls],
            sum_of((wall.cap_mm / 1000 for wall in walls if wall.cap_mm > 0), "m", units),
            named(
                (
                    pair
                    for w in walls
                    if w.cap_mm > 0
                    for pair in (
                        (f"length of {w.wall}", w.length_mm / 1000),
                        (f"returns of {w.wall}", sum(w.returns_mm) / 1000),
                    )
                ),
                "m",
                units,
            ),
        ),
        *quantity(
            "wall.fabric",
            items.wall_fabric,
            [(wall.wall, wall.fabric_m2) for wall in walls],
            sum_of((wall.fabric_m2 for wall in walls if wall.fabric_m2 > 0), "m2", units),
            named(((f"clad area of {w.wall}", w.net_m2) for w in walls if w.fabric_m2 > 0), "m2", units),
        ),
        *by_item(
            "wall.openings",
            [("", wall.wall, float(len(wall.openings_mm))) for wall in walls],
            "openings and niches",
            listed(
                "openings and niches",
                (f"{o.id} ({o.kind})" for wall in job.plan.feature_walls for o in wall.openings),
            ),
        ),
    )


def planter_quantities(job: Job, layout: Layout) -> tuple[Quantity, ...]:
    """Give what is measured of the planters.

    Parameters
    ----------
    job : Job
        Planters, media and items.
    layout : Layout
        Boxes as built.

    Returns
    -------
    quantities : tuple of Quantity

    References
    ----------
    Definition.
    """
    items = job.choices.fastening
    media = {medium.id: medium.item for medium in job.choices.media}
    medium_of = {planter.id: media[planter.medium] for planter in job.plan.planters}
    planters = [box for box in layout.boxes if box.kind == "planter"]
    units, say, drawn = job.units, Spoken(job.units), job.plan.planters
    inside = tuple(
        (
            f"inside of {p.id}",
            f"{say.length(p.length_mm - 2 * p.wall_mm)} × {say.length(p.width_mm - 2 * p.wall_mm)}",
        )
        for p in drawn
    )
    return (
        *_each("planter.each", planters, "planters"),
        *_area(
            "planter.clad", "", planters, lambda box: box.clad_m2, "clad faces", units, _faces(drawn, units)
        ),
        *_area(
            "planter.liner",
            items.liner,
            planters,
            lambda box: box.liner_m2,
            "bottom and sides",
            units,
            inside + tuple((f"height of {p.id}", say.length(p.height_mm)) for p in drawn),
        ),
        *_area(
            "planter.drainage",
            items.drainage_layer,
            planters,
            lambda box: box.drainage_m2,
            "bottom",
            units,
            inside,
        ),
        *by_item(
            "planter.media",
            [(medium_of[box.box], box.box, box.media_m3) for box in planters],
            "inside length × width × depth of medium, before it settles",
            inside + tuple((f"depth in {p.id}", say.length(p.media_depth_mm)) for p in drawn),
            units,
        ),
        *by_item(
            "planter.plants",
            [(items.plant, box.box, float(box.plants)) for box in planters],
            "plants, by their spacing",
            inside + tuple((f"spacing in {p.id}", say.length(p.plant_spacing_mm)) for p in drawn),
        ),
    )


def seat_and_counter_quantities(job: Job, layout: Layout) -> tuple[Quantity, ...]:
    """Give what is measured of benches and counters.

    Parameters
    ----------
    job : Job
        Counters and tops.
    layout : Layout
        Boxes as built.

    Returns
    -------
    quantities : tuple of Quantity
        Seat boards are bought by stock length; counter tops by area.

    References
    ----------
    Definition.
    """
    tops = {top.id: top.item for top in job.choices.tops}
    top_of = {counter.id: tops[counter.top] for counter in job.plan.counters}
    benches = [box for box in layout.boxes if box.kind == "bench"]
    counters = [box for box in layout.boxes if box.kind == "counter"]
    units, say, plan = job.units, Spoken(job.units), job.plan
    return (
        *_each("bench.each", benches, "benches"),
        *_area(
            "bench.seat",
            "",
            benches,
            lambda box: box.top_m2,
            "length × width",
            units,
            tuple((b.id, f"{say.length(b.length_mm)} × {say.length(b.width_mm)}") for b in plan.benches),
        ),
        *_each("counter.each", counters, "counters"),
        *by_item(
            "counter.top",
            [(top_of[box.box], box.box, box.top_m2) for box in counters],
            "length × width, each with twice the overhang",
            tuple(
                (
                    c.id,
                    f"{say.length(c.length_mm)} × {say.length(c.width_mm)}, "
                    f"overhang {say.length(c.overhang_mm)}",
                )
                for c in plan.counters
            ),
            units,
        ),
        *_area(
            "box.clad",
            "",
            benches + counters,
            lambda box: box.clad_m2,
            "clad faces",
            units,
            _faces((*plan.benches, *plan.counters), units),
        ),
    )


def bed_quantities(job: Job, layout: Layout) -> tuple[Quantity, ...]:
    """Give what is measured of the stone beds.

    Parameters
    ----------
    job : Job
        Beds, stone and items.
    layout : Layout
        Beds as laid.

    Returns
    -------
    quantities : tuple of Quantity
        Stone by dry mass, as it is sold.

    References
    ----------
    Definition.
    """
    items = job.choices.fastening
    stones = {stone.id: stone for stone in job.choices.stones}
    stone_of = {bed.id: stones[bed.stone] for bed in job.plan.stone_beds}
    beds, units, say = layout.beds, job.units, Spoken(job.units)
    outlines = named(((f"outline of {bed.bed}", bed.area_m2) for bed in beds), "m2", units)
    return (
        *quantity(
            "bed.area",
            "",
            [(bed.bed, bed.area_m2) for bed in beds],
            sum_of((bed.area_m2 for bed in beds), "m2", units),
            outlines,
        ),
        *by_item(
            "bed.stone",
            [(stone_of[bed.bed].item, bed.bed, bed.volume_m3 * stone_of[bed.bed].dry_kg_m3) for bed in beds],
            "volume × dry density, "
            + " + ".join(
                f"{say.volume(bed.volume_m3)} × {say.density(stone_of[bed.bed].dry_kg_m3)}" for bed in beds
            ),
            tuple((f"volume of {bed.bed}", say.volume(bed.volume_m3)) for bed in beds)
            + tuple(
                (f"dry density of {stone.id}", say.density(stone.dry_kg_m3)) for stone in stones.values()
            ),
            units,
        ),
        *quantity(
            "bed.edge",
            items.bed_edge,
            [(bed.bed, bed.edge_mm / 1000) for bed in beds],
            sum_of((bed.edge_mm / 1000 for bed in beds if bed.edge_mm > 0), "m", units),
            named(((f"round {bed.bed}", bed.edge_mm / 1000) for bed in beds), "m", units),
        ),
        *quantity(
            "bed.fabric",
            items.fabric,
            [(bed.bed, bed.fabric_m2) for bed in beds],
            f"turned up at the edges: {sum_of((bed.fabric_m2 for bed in beds), 'm2', units)}",
            (*outlines, ("turned up all round", say.length(TURN_UP_MM))),
        ),
    )


def _each(basis: str, boxes: list[BoxLayout], noun: str) -> tuple[Quantity, ...]:
    """Count boxes."""
    return by_item(basis, [("", box.box, 1.0) for box in boxes], noun, listed(noun, (b.box for b in boxes)))


def _faces(boxes: Iterable[Planter | Bench | Counter], units: str) -> Inputs:
    """Say the size of each box and which of its faces are clad."""
    say = Spoken(units)
    return tuple(
        (
            box.id,
            f"{say.length(box.length_mm)} × {say.length(box.width_mm)} × {say.length(box.height_mm)}, "
            f"clad: {', '.join(box.clad_faces) or 'none'}",
        )
        for box in boxes
    )


def _area(
    basis: str,
    item: str,
    boxes: list[BoxLayout],
    of_box: Callable[[BoxLayout], float],
    noun: str,
    units: str,
    inputs: Inputs,
) -> tuple[Quantity, ...]:
    """Sum an area over boxes."""
    areas = [(box.box, of_box(box)) for box in boxes]
    total = math.fsum(area for _, area in areas)
    return quantity(basis, item, areas, f"{noun} of {len(boxes)}: {said(total, 'm2', units)}", inputs)
