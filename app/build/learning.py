"""Labour rates learned from jobs that are done: hours noted beside hours estimated, line by line."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from app.build.log import PhaseHours, learned_rate
from app.pricing.records import Assembly, Estimate

# The shop's own rate weighs as much as three jobs like the one learned from: common practice, no source.
PRIOR_JOBS = 3.0
GRAIN = Decimal("0.0001")


@dataclass(frozen=True, slots=True)
class DoneJob:
    """One job that is done.

    Attributes
    ----------
    number : str
    estimate : Estimate
        With which it was built.
    hours : tuple of PhaseHours
        Noted beside planned, by phase.
    """

    number: str
    estimate: Estimate
    hours: tuple[PhaseHours, ...]


@dataclass(frozen=True, slots=True)
class LearnedRate:
    """A rate that the log speaks for; the owner takes it over or not.

    Attributes
    ----------
    assembly : str
        Code.
    part : int
        Number of the part in its assembly, from 1.
    text : str
    rate, proposed : Decimal
        Hours per unit: the shop's, and what it comes to with what was noted.
    jobs : int
        How many jobs speak.
    least_pct, most_pct : float
        Noted over planned hours, the lowest and highest of these jobs. [%]
    """

    assembly: str
    part: int
    text: str
    rate: Decimal
    proposed: Decimal
    jobs: int
    least_pct: float
    most_pct: float


def learned_rates(assemblies: Sequence[Assembly], done: Iterable[DoneJob]) -> tuple[LearnedRate, ...]:
    """Give the rates that jobs which are done speak for.

    Parameters
    ----------
    assemblies : sequence of Assembly
        The shop's.
    done : iterable of DoneJob
        Jobs whose log is closed.

    Returns
    -------
    rates : tuple of LearnedRate
        For each labour part that such a job used and whose phase has hours noted.

    Notes
    -----
    The log knows phases: a part's share of the hours noted is its share of the hours planned in its phase.
    With u units of the basis in each job and h hours on the ground, the new rate is
    (3 ū · rate + Σ h) / (3 ū + Σ u), ū the mean of u.

    References
    ----------
    Weighted mean; the weight of three jobs is common practice, no source.
    """
    jobs = tuple(done)
    found = []
    for assembly in assemblies:
        for number, part in enumerate(assembly.parts, start=1):
            if part.kind != "labour":
                continue
            told = [one for job in jobs if (one := _told(job, f"{assembly.phase}/{assembly.code}/{number}"))]
            if not told:
                continue
            units = sum(amount for amount, _, _ in told) / float(part.rate)
            hours = sum(ground for _, ground, _ in told)
            weight = PRIOR_JOBS * units / len(told)
            rate = learned_rate(float(part.rate), hours, units, weight)
            shares = [share for _, _, share in told]
            found.append(
                LearnedRate(
                    assembly.code,
                    number,
                    part.text,
                    part.rate,
                    Decimal(repr(rate)).quantize(GRAIN),
                    len(told),
                    min(shares) * 100,
                    max(shares) * 100,
                )
            )
    return tuple(found)


def _told(job: DoneJob, line_id: str) -> tuple[float, float, float] | None:
    """Give planned and noted hours on the ground, and their share; None where nothing is told."""
    line = next((line for line in job.estimate.lines if line.id == line_id), None)
    if line is None or not line.net:
        return None
    phase = next((row for row in job.hours if row.phase == line.phase), None)
    if phase is None or phase.planned_h <= 0 or phase.actual_h <= 0:
        return None
    share = phase.actual_h / phase.planned_h
    return float(line.net), float(line.net) * share, share
