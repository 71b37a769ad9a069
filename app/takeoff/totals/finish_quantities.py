"""Finishing work: fascia, notches, steps, lids, blocking behind screens, bags of stone."""

from app.job.job import Job
from app.takeoff.layout.records import Layout
from app.takeoff.totals.measured import number, quantity, sum_of
from app.takeoff.totals.records import Quantity


def finish_quantities(job: Job, layout: Layout) -> tuple[Quantity, ...]:
    """Give what is measured of the finishing work.

    Parameters
    ----------
    job : Job
        Materials.
    layout : Layout
        Fields, walls, boxes and beds as laid out.

    Returns
    -------
    quantities : tuple of Quantity
        Boards and timber of all of it are bought by stock length and stand there.

    References
    ----------
    Definition.
    """
    steps = [box for box in layout.boxes if box.kind == "steps"]
    blocking = [
        (wall.wall, abs(line.end_mm[0] - line.start_mm[0]) / 1000)
        for wall in layout.walls
        for line in wall.blocking_mm
    ]
    treads = [(box.box, max(box.risers - 1, 0) * 1.0) for box in steps]
    return (
        *quantity(
            "deck.fascia",
            "",
            [(field.field, field.fascia_mm / 1000) for field in layout.fields],
            f"open edges: {sum_of((f.fascia_mm / 1000 for f in layout.fields if f.fascia_mm > 0), 'm')}",
        ),
        *quantity(
            "deck.notches",
            "",
            [(field.field, float(field.notches)) for field in layout.fields],
            f"pieces whose outline turns inward: {number(sum(field.notches for field in layout.fields))}",
        ),
        *quantity(
            "steps.risers",
            "",
            [(box.box, float(box.risers)) for box in steps],
            f"rise ÷ greatest riser, rounded up: {number(sum(box.risers for box in steps))}",
        ),
        *quantity(
            "steps.treads",
            "",
            treads,
            f"one fewer than risers: {number(sum(count for _, count in treads))}",
        ),
        *quantity(
            "bench.lids",
            "",
            [(box.box, float(box.lids)) for box in layout.boxes],
            f"seat ÷ longest lid, rounded up: {number(sum(box.lids for box in layout.boxes))}",
        ),
        *quantity(
            "wall.blocking",
            "",
            blocking,
            f"behind screens: {sum_of((length for _, length in blocking), 'm')}",
        ),
        *_bags(job, layout),
    )


def _bags(job: Job, layout: Layout) -> tuple[Quantity, ...]:
    """Count the bags of stone that comes in bags."""
    bag_kg = {
        bed.id: stone.bag_kg
        for bed in job.plan.stone_beds
        for stone in job.choices.stones
        if stone.id == bed.stone
    }
    bagged = [bed for bed in layout.beds if bed.bags]
    whys = "; ".join(f"{number(bed.dry_kg)} kg ÷ {number(bag_kg[bed.bed] or 0.0)} kg" for bed in bagged)
    return quantity("bed.bags", "", [(bed.bed, float(bed.bags)) for bed in bagged], f"rounded up: {whys}")
