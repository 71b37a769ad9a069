"""Finishing work: fascia, notches, steps, lids, blocking behind screens, bags of stone."""

import math

from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.layout.records import Layout
from app.takeoff.layout.seats import LONGEST_LID_MM
from app.takeoff.layout.steps import STRINGER_SPACING_MM, stringer_lines
from app.takeoff.totals.measured import listed, named, number, quantity, said, sum_of
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
    units, say = job.units, Spoken(job.units)
    fascia = [(field.field, field.fascia_mm / 1000) for field in layout.fields]
    risers = named(((f"risers of {box.box}", float(box.risers)) for box in steps), "each", units)
    treads = [(box.box, max(box.risers - 1, 0) * 1.0) for box in steps]
    return (
        *quantity(
            "deck.fascia",
            "",
            fascia,
            f"open edges: {sum_of((length for _, length in fascia if length > 0), 'm', units)}",
            named(((f"open edges of {field}", length) for field, length in fascia), "m", units),
        ),
        *quantity(
            "deck.notches",
            "",
            [(field.field, float(field.notches)) for field in layout.fields],
            f"pieces whose outline turns inward: {number(sum(field.notches for field in layout.fields))}",
            named(((f"notched in {f.field}", float(f.notches)) for f in layout.fields), "each", units),
        ),
        *quantity(
            "steps.risers",
            "",
            [(box.box, float(box.risers)) for box in steps],
            f"rise ÷ greatest riser, rounded up: {number(sum(box.risers for box in steps))}",
            (
                *((f"rise of {box.box}", say.length(box.rise_mm)) for box in steps),
                ("greatest riser", say.length(job.choices.limits.greatest_riser_mm)),
                *risers,
            ),
        ),
        *quantity(
            "steps.treads",
            "",
            treads,
            f"one fewer than risers: {number(sum(count for _, count in treads))}",
            risers,
        ),
        *_stringers(job, layout),
        *quantity(
            "bench.lids",
            "",
            [(box.box, float(box.lids)) for box in layout.boxes],
            f"seat ÷ longest lid, rounded up: {number(sum(box.lids for box in layout.boxes))}",
            (
                *((f"seat of {b.id}", say.length(b.length_mm)) for b in job.plan.benches if b.has_lid),
                ("longest lid", say.length(LONGEST_LID_MM)),
            ),
        ),
        *quantity(
            "wall.blocking",
            "",
            blocking,
            f"behind screens: {sum_of((length for _, length in blocking), 'm', units)}",
            (
                *named(((f"level sticks in {wall}", 1.0) for wall, _ in blocking), "each", units),
                *named(((f"their lengths in {wall}", length) for wall, length in blocking), "m", units),
            ),
        ),
        *_bags(job, layout),
    )


def _stringers(job: Job, layout: Layout) -> tuple[Quantity, ...]:
    """Count the lines that carry treads, with the length and the mass of their timber."""
    say, units = Spoken(job.units), job.units
    kg_m = {section.id: section.mass_kg_m for section in job.choices.sections}
    drawn = {steps.id: steps for steps in job.plan.steps}
    flights = [box for box in layout.boxes if box.kind == "steps" and box.frame_mm]
    lines = [(box.box, float(stringer_lines(drawn[box.box]))) for box in flights]
    inputs: list[tuple[str, str]] = []
    if flights:
        inputs.append(("longest way between two", say.length(STRINGER_SPACING_MM)))
    for box in flights:
        timber_m = math.fsum(length_mm for _, length_mm in box.frame_mm) / 1000
        mass_kg = math.fsum(length_mm / 1000 * kg_m[section] for section, length_mm in box.frame_mm)
        inputs += [
            (f"width of {box.box}", say.length(drawn[box.box].width_mm)),
            (f"bearers of {box.box}, each", say.length(drawn[box.box].going_mm)),
            (f"sticks in {box.box}", f"{len(box.frame_mm)}"),
            (f"their length in {box.box}", said(timber_m, "m", units)),
            (f"their mass in {box.box}", said(mass_kg, "kg", units)),
        ]
    counted = number(math.fsum(count for _, count in lines))
    return quantity(
        "steps.stringers", "", lines, f"bearers and posts under the treads: {counted}", tuple(inputs)
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
    units = job.units
    each = {bed.bed: said(bag_kg[bed.bed] or 0.0, "kg", units) for bed in bagged}
    whys = "; ".join(f"{said(bed.dry_kg, 'kg', units)} ÷ {each[bed.bed]}" for bed in bagged)
    inputs = (
        *named(((f"stone in {bed.bed}, dry", bed.dry_kg) for bed in bagged), "kg", units),
        *listed("one bag", sorted(set(each.values()))),
    )
    return quantity(
        "bed.bags", "", [(bed.bed, float(bed.bags)) for bed in bagged], f"rounded up: {whys}", inputs
    )
