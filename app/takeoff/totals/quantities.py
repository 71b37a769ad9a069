"""Every quantity of a job, in the order of the bases."""

import shapely

from app.job.job import Job
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import Layout
from app.takeoff.roughin.records import RoughIn
from app.takeoff.totals.bases import BASES
from app.takeoff.totals.built_quantities import (
    bed_quantities,
    planter_quantities,
    seat_and_counter_quantities,
    wall_quantities,
)
from app.takeoff.totals.deck_quantities import deck_quantities
from app.takeoff.totals.fastener_quantities import fastener_quantities
from app.takeoff.totals.finish_quantities import finish_quantities
from app.takeoff.totals.frame_quantities import frame_quantities
from app.takeoff.totals.measured import named, quantity, said
from app.takeoff.totals.records import Carry, CutPlan, Quantity
from app.takeoff.totals.service_quantities import service_quantities
from app.takeoff.totals.stock_quantities import stock_quantities

_ORDER = {basis.code: number for number, basis in enumerate(BASES)}


def measure_things(
    job: Job, layout: Layout, framing: Framing, roughin: RoughIn, plans: tuple[CutPlan, ...]
) -> tuple[Quantity, ...]:
    """Give every quantity that is not zero, but for carrying it up.

    Parameters
    ----------
    job : Job
        Plan and choices.
    layout : Layout
        Visible pieces.
    framing : Framing
        What carries.
    roughin : RoughIn
        What runs hidden.
    plans : tuple of CutPlan
        What is cut from what.

    Returns
    -------
    quantities : tuple of Quantity
        In the order of the bases; one per item within a basis.

    References
    ----------
    Definition.
    """
    over = _worked_over(layout)
    return _in_order(
        (
            *quantity("job.once", "", [("job", 1.0)], "once for every job", (("jobs", "1"),)),
            *quantity(
                "job.access",
                "",
                over,
                "decks + beds + boxes, overlaps counted once",
                named(((f"{place} adds", area) for place, area in over), "m2", job.units),
            ),
            *deck_quantities(job, layout),
            *frame_quantities(job, framing),
            *fastener_quantities(job, layout, framing),
            *stock_quantities(job, layout, framing, plans),
            *wall_quantities(job, layout),
            *planter_quantities(job, layout),
            *seat_and_counter_quantities(job, layout),
            *bed_quantities(job, layout),
            *finish_quantities(job, layout),
            *service_quantities(job, roughin),
        )
    )


def with_carry(job: Job, measured: tuple[Quantity, ...], carry: Carry) -> tuple[Quantity, ...]:
    """Give the quantities with those of carrying it all up.

    Parameters
    ----------
    job : Job
        The way up.
    measured : tuple of Quantity
        Everything else.
    carry : Carry
        What goes up.

    Returns
    -------
    quantities : tuple of Quantity
        In the order of the bases.

    References
    ----------
    Definition.
    """
    way_up = job.survey.way_up
    inputs = (
        ("trips", f"{carry.trips}"),
        ("time of a trip", f"{way_up.minutes_per_trip_min:g} min"),
        ("people", f"{way_up.people}"),
        ("mass of a trip", said(way_up.trip_mass_kg, "kg", job.units)),
    )
    return _in_order(
        (
            *measured,
            *quantity(
                "carry.hours",
                "",
                [("job", carry.hours_h)],
                f"{carry.trips} trips × {way_up.minutes_per_trip_min:g} min × {way_up.people} people / 60",
                inputs,
            ),
            *quantity(
                "carry.mass",
                "",
                [("job", carry.mass_kg)],
                f"{len(carry.items)} materials, {said(carry.mass_kg, 'kg', job.units)} together",
                named(((item, mass_kg) for item, mass_kg, _ in carry.items), "kg", job.units),
            ),
        )
    )


def _in_order(found: tuple[Quantity, ...]) -> tuple[Quantity, ...]:
    """Sort by basis, else as found."""
    return tuple(sorted(found, key=lambda made: _ORDER[made.basis]))


def _worked_over(layout: Layout) -> list[tuple[str, float]]:
    """Give the roof area each place adds to what is worked over; a box on a deck adds nothing."""
    shapes = [
        *(
            (field.field, shapely.union_all([shapely.Polygon(part[0], part[1:]) for part in field.outer_mm]))
            for field in layout.fields
        ),
        *((bed.bed, shapely.Polygon(bed.outline_mm)) for bed in layout.beds),
        *((box.box, shapely.Polygon(box.outline_mm)) for box in layout.boxes),
    ]
    covered: shapely.Geometry = shapely.Polygon()
    shares = []
    for place, shape in shapes:
        shares.append((place, shape.difference(covered).area / 1e6))
        covered = covered.union(shape)
    return shares
