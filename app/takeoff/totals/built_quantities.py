"""Walls, planters, benches, counters and stone beds."""

import math
from collections.abc import Callable, Iterable

from app.job.job import Job
from app.takeoff.layout.records import BedLayout, BoxLayout, Layout
from app.takeoff.totals.measured import by_item, number, quantity, sum_of
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
    walls = layout.walls
    return (
        *quantity(
            "wall.area",
            "",
            [(wall.wall, wall.net_m2) for wall in walls],
            f"length × height less openings: {sum_of((wall.net_m2 for wall in walls), 'm2')}",
            tuple((wall.wall, f"{number(wall.length_mm)} × {number(wall.height_mm)} mm") for wall in walls),
        ),
        *quantity(
            "wall.cap",
            items.cap_flashing,
            [(wall.wall, wall.cap_mm / 1000) for wall in walls],
            sum_of((wall.cap_mm / 1000 for wall in walls if wall.cap_mm > 0), "m"),
        ),
        *quantity(
            "wall.fabric",
            items.wall_fabric,
            [(wall.wall, wall.fabric_m2) for wall in walls],
            sum_of((wall.fabric_m2 for wall in walls if wall.fabric_m2 > 0), "m2"),
        ),
        *by_item(
            "wall.openings",
            [("", wall.wall, float(len(wall.openings_mm))) for wall in walls],
            "openings and niches",
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
    return (
        *_each("planter.each", planters, "planters"),
        *_area("planter.clad", "", planters, lambda box: box.clad_m2, "clad faces"),
        *_area("planter.liner", items.liner, planters, lambda box: box.liner_m2, "bottom and sides"),
        *_area("planter.drainage", items.drainage_layer, planters, lambda box: box.drainage_m2, "bottom"),
        *by_item(
            "planter.media",
            [(medium_of[box.box], box.box, box.media_m3) for box in planters],
            "inside length × width × depth of medium, before it settles, m3",
            tuple(
                (f"depth in {planter.id}", f"{number(planter.media_depth_mm)} mm")
                for planter in job.plan.planters
            ),
        ),
        *by_item(
            "planter.plants",
            [(items.plant, box.box, float(box.plants)) for box in planters],
            "plants, by their spacing",
            tuple(
                (f"spacing in {planter.id}", f"{number(planter.plant_spacing_mm)} mm")
                for planter in job.plan.planters
            ),
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
    return (
        *_each("bench.each", benches, "benches"),
        *_area("bench.seat", "", benches, lambda box: box.top_m2, "length × width"),
        *_each("counter.each", counters, "counters"),
        *by_item(
            "counter.top",
            [(top_of[box.box], box.box, box.top_m2) for box in counters],
            "length × width, m2",
        ),
        *_area("box.clad", "", benches + counters, lambda box: box.clad_m2, "clad faces"),
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
    beds = layout.beds
    return (
        *quantity("bed.area", "", [(bed.bed, bed.area_m2) for bed in beds], sum_of(_areas(beds), "m2")),
        *by_item(
            "bed.stone",
            [(stone_of[bed.bed].item, bed.bed, bed.volume_m3 * stone_of[bed.bed].dry_kg_m3) for bed in beds],
            "volume × dry density, "
            + " + ".join(
                f"{bed.volume_m3:.3f} m3 × {number(stone_of[bed.bed].dry_kg_m3)} kg/m3" for bed in beds
            ),
            tuple((f"volume of {bed.bed}", f"{bed.volume_m3:.3f} m3") for bed in beds)
            + tuple(
                (f"dry density of {stone.id}", f"{number(stone.dry_kg_m3)} kg/m3")
                for stone in stones.values()
            ),
        ),
        *quantity(
            "bed.edge",
            items.bed_edge,
            [(bed.bed, bed.edge_mm / 1000) for bed in beds],
            sum_of((bed.edge_mm / 1000 for bed in beds if bed.edge_mm > 0), "m"),
        ),
        *quantity(
            "bed.fabric",
            items.fabric,
            [(bed.bed, bed.fabric_m2) for bed in beds],
            f"turned up at the edges: {sum_of((bed.fabric_m2 for bed in beds), 'm2')}",
        ),
    )


def _areas(beds: Iterable[BedLayout]) -> list[float]:
    """Give the areas of the beds."""
    return [bed.area_m2 for bed in beds]


def _each(basis: str, boxes: list[BoxLayout], noun: str) -> tuple[Quantity, ...]:
    """Count boxes."""
    return by_item(basis, [("", box.box, 1.0) for box in boxes], noun)


def _area(
    basis: str, item: str, boxes: list[BoxLayout], of_box: Callable[[BoxLayout], float], noun: str
) -> tuple[Quantity, ...]:
    """Sum an area over boxes."""
    areas = [(box.box, of_box(box)) for box in boxes]
    total = math.fsum(area for _, area in areas)
    return quantity(basis, item, areas, f"{noun} of {len(boxes)}: {number(total)} m2")
