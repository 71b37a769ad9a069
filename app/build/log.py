"""The site log against the plan: hours noted beside hours estimated, phase by phase."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.build.records import LogHours
from app.pricing.records import PHASES, PhasePrice


@dataclass(frozen=True, slots=True)
class PhaseHours:
    """Hours of one phase.

    Attributes
    ----------
    phase : str
        Empty for hours whose phase was not said.
    planned_h, actual_h, left_h : float
        Estimated, noted, and estimated less noted: negative when it took longer. [h]
    used_pct : float or None
        Noted over estimated; None when nothing was estimated. [%]
    """

    phase: str
    planned_h: float
    actual_h: float
    left_h: float
    used_pct: float | None


def hours_by_phase(phases: Sequence[PhasePrice], entries: Iterable[LogHours]) -> tuple[PhaseHours, ...]:
    """Compare hours noted with hours estimated.

    Parameters
    ----------
    phases : sequence of PhasePrice
        Of the estimate.
    entries : iterable of LogHours
        Of the site log.

    Returns
    -------
    hours : tuple of PhaseHours
        In the order of the work; phases with neither are left out, hours without a phase stand last.

    Raises
    ------
    ValueError
        If an entry names a phase that there is not, or has fewer than no hours.

    References
    ----------
    Definition.
    """
    planned: dict[str, float] = {phase.phase: phase.hours_h for phase in phases if phase.hours_h}
    actual: dict[str, float] = {}
    for entry in entries:
        if entry.phase and entry.phase not in PHASES:
            raise ValueError(f"The log names the phase {entry.phase}, which there is not.")
        if entry.hours_h < 0:
            raise ValueError(f"The log of {entry.on} notes {entry.hours_h} hours.")
        if entry.hours_h:
            actual[entry.phase] = actual.get(entry.phase, 0.0) + entry.hours_h
    return tuple(
        _compared(phase, planned.get(phase, 0.0), actual.get(phase, 0.0))
        for phase in (*PHASES, "")
        if phase in planned or phase in actual
    )


def all_hours(hours: Iterable[PhaseHours]) -> PhaseHours:
    """Add the phases up.

    Parameters
    ----------
    hours : iterable of PhaseHours
        By phase.

    Returns
    -------
    whole : PhaseHours
        Of the whole job, under the phase "job".

    References
    ----------
    Definition.
    """
    rows = tuple(hours)
    return _compared("job", sum(row.planned_h for row in rows), sum(row.actual_h for row in rows))


def learned_rate(prior: float, hours_h: float, amount: float, weight: float = 3.0) -> float:
    """Give a labour rate that has learned from one job.

    Parameters
    ----------
    prior : float
        Hours per unit in the shop's assembly.
    hours_h : float
        Hours noted, all people together. [h]
    amount : float
        Units done.
    weight : float
        How many units of experience the prior stands for.

    Returns
    -------
    rate : float
        Hours per unit, between the prior and what was noted.

    Raises
    ------
    ValueError
        If nothing was done and the prior weighs nothing.

    Notes
    -----
    rate = (weight × prior + hours) / (weight + amount).

    Examples
    --------
    >>> learned_rate(prior=0.75, hours_h=30.0, amount=30.0, weight=10.0)
    0.9375

    References
    ----------
    Weighted mean; the weight is common practice, no source.
    """
    if weight + amount <= 0:
        raise ValueError("Nothing was done and the prior weighs nothing.")
    return (weight * prior + hours_h) / (weight + amount)


def _compared(phase: str, planned_h: float, actual_h: float) -> PhaseHours:
    """Put two sums of hours beside each other."""
    return PhaseHours(
        phase=phase,
        planned_h=planned_h,
        actual_h=actual_h,
        left_h=planned_h - actual_h,
        used_pct=actual_h / planned_h * 100 if planned_h else None,
    )
