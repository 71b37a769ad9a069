"""The engine's entry: calls the five rooms in order and gathers what they found."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from app.job.doing import Do, at_once
from app.job.findings import GRADES, Assumption, Finding
from app.job.job import Job
from app.takeoff.framing.frame import frame
from app.takeoff.framing.records import Framing
from app.takeoff.layout.lay_out import lay_out
from app.takeoff.layout.records import Layout
from app.takeoff.roof.read_roof import read_roof
from app.takeoff.roof.records import RoofReading
from app.takeoff.roughin.records import RoughIn
from app.takeoff.roughin.rough_in import rough_in
from app.takeoff.totals.records import Totals
from app.takeoff.totals.total import total


@dataclass(frozen=True)
class Takeoff:
    """All that the engine says of one job.

    Attributes
    ----------
    roof : RoofReading
    layout : Layout
    framing : Framing
    rough_in : RoughIn
    totals : Totals
    findings : tuple of Finding
        Of all rooms, stops first.
    assumptions : tuple of Assumption
    """

    roof: RoofReading
    layout: Layout
    framing: Framing
    rough_in: RoughIn
    totals: Totals
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]


def take_off(job: Job, stock_prices: Mapping[str, Decimal], do: Do = at_once) -> Takeoff:
    """Compute everything the geometry says about a job.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    stock_prices : mapping of str to Decimal
        Price of one piece by stock item, for cutting at least cost; a profile with a length missing
        here is cut at least length instead, and the cut plan says so.
    do : Do
        How its parts are done.

    Returns
    -------
    takeoff : Takeoff
        The same for the same inputs.

    References
    ----------
    Definition; each room names its own sources.
    """
    roof = do(read_roof, job, do)
    layout = do(lay_out, job, roof, do)
    framing = do(frame, job, roof, layout, do)
    roughin = do(rough_in, job, layout, framing, do)
    totals = do(total, job, roof, layout, framing, roughin, stock_prices, do)
    rooms = (roof, layout, framing, roughin, totals)
    findings = tuple(finding for room in rooms for finding in room.findings)
    return Takeoff(
        roof=roof,
        layout=layout,
        framing=framing,
        rough_in=roughin,
        totals=totals,
        findings=tuple(sorted(findings, key=lambda finding: GRADES.index(finding.grade))),
        assumptions=tuple(assumption for room in rooms for assumption in room.assumptions),
    )
