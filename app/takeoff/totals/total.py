"""The entry of the totals room: what to bring, how to cut it, what it weighs, how it gets up."""

from collections.abc import Mapping
from decimal import Decimal

from app.job.doing import Do, at_once
from app.job.findings import Assumption
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import Layout
from app.takeoff.roof.records import RoofReading
from app.takeoff.roughin.records import RoughIn
from app.takeoff.totals.carry import carry_assumptions, carry_findings, carry_up
from app.takeoff.totals.cutting import cut_list
from app.takeoff.totals.frame_quantities import FURRING_SCREW_MM
from app.takeoff.totals.from_memory import memory_findings
from app.takeoff.totals.load_map import load_map, map_findings
from app.takeoff.totals.loads import dead_loads
from app.takeoff.totals.quantities import measure_things, with_carry
from app.takeoff.totals.records import Totals
from app.takeoff.totals.weather_findings import weather_findings


def total(
    job: Job,
    roof: RoofReading,
    layout: Layout,
    framing: Framing,
    roughin: RoughIn,
    stock_prices: Mapping[str, Decimal],
    do: Do = at_once,
) -> Totals:
    """Give everything to bring to a job.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    roof : RoofReading
        The surface and the guards beside the decks; nothing of it is measured here.
    layout : Layout
        Visible pieces.
    framing : Framing
        What carries them.
    roughin : RoughIn
        What runs hidden.
    stock_prices : mapping of str to Decimal
        Price of one piece by stock item.
    do : Do
        How its parts are done.

    Returns
    -------
    totals : Totals
        The same for the same inputs.

    References
    ----------
    Definition; each module names its own sources.
    """
    cuts = do(cut_list, job, layout, framing, stock_prices, do)
    loads = do(dead_loads, job, layout, framing)
    over_roof = do(load_map, job, layout, framing)
    measured = do(measure_things, job, layout, framing, roughin, cuts.plans)
    carry = do(carry_up, job, layout, framing, cuts.plans, measured)
    return Totals(
        quantities=with_carry(job, measured, carry),
        cut_plans=cuts.plans,
        loads=loads.spots,
        dead_kg=loads.dead_kg,
        carry=carry,
        findings=(
            *cuts.findings,
            *loads.findings,
            *map_findings(job, over_roof),
            *weather_findings(job, over_roof.weather),
            *carry_findings(job, layout),
            *memory_findings(job, has_guards=bool(roof.guards)),
        ),
        assumptions=(*cuts.assumptions, *loads.assumptions, *carry_assumptions(job), _screws(job)),
        load_map=over_roof,
    )


def _screws(job: Job) -> Assumption:
    """Say how the screws of the frame are counted."""
    apart = Spoken(job.units).length(FURRING_SCREW_MM)
    return Assumption(
        code="totals.frame-screws",
        text=f"Frame screws: two at each end of a stick; a furring strip one every {apart} and one more.",
        source="common practice, no source",
    )
