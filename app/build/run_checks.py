"""Every hidden run before it is covered: seen, photographed and tested, each ticked off by a person."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from app.takeoff.roughin.records import Run

HOLD_POINT = "rough-in inspection"  # the hold point of the day plan that waits for them
SEEN, PHOTOGRAPHED, CONTINUITY, INSULATION, PRESSURE = (
    "seen",
    "photographed",
    "continuity",
    "insulation",
    "pressure",
)
ALL_CHECKS = (SEEN, PHOTOGRAPHED, CONTINUITY, INSULATION, PRESSURE)
CHECKS_OF_KIND = {
    "lighting": (SEEN, PHOTOGRAPHED, CONTINUITY),
    "sound": (SEEN, PHOTOGRAPHED, CONTINUITY),
    "power": (SEEN, PHOTOGRAPHED, CONTINUITY, INSULATION),
    "gas": (SEEN, PHOTOGRAPHED, PRESSURE),
}


@dataclass(frozen=True, slots=True)
class RunTick:
    """One check of one run that somebody ticked off.

    Attributes
    ----------
    run : str
        Its tag.
    ends : str
        Where it went when it was ticked; a run drawn elsewhere since is to be ticked anew.
    what : str
        One of the checks.
    by : str
    at : datetime
        Aware, UTC.
    """

    run: str
    ends: str
    what: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class RunCheck:
    """One run with its checks.

    Attributes
    ----------
    run, kind, ends : str
        Tag, what runs in it, and from where to where.
    checks : tuple of (str, RunTick or None)
        Those this kind of run needs, and who ticked each.
    """

    run: str
    kind: str
    ends: str
    checks: tuple[tuple[str, RunTick | None], ...]

    @property
    def missing(self) -> tuple[str, ...]:
        """Give the checks not ticked yet."""
        return tuple(what for what, tick in self.checks if tick is None)


def ends_of(run: Run) -> str:
    """Give from where to where a run goes, as it is kept with a tick.

    Parameters
    ----------
    run : Run
        Of the rough-in.

    Returns
    -------
    ends : str

    References
    ----------
    Definition.
    """
    return f"{run.from_id} to {run.to_id}"


def run_checks(runs: Sequence[Run], ticks: Iterable[RunTick]) -> tuple[RunCheck, ...]:
    """Give every run with what was ticked off for it.

    Parameters
    ----------
    runs : sequence of Run
        Of the job as it is drawn now.
    ticks : iterable of RunTick
        On file.

    Returns
    -------
    checks : tuple of RunCheck
        In the order of the runs; a tick counts only for a run that still goes where it went.

    References
    ----------
    Common practice, no source: nothing is covered before it was seen, photographed and tested.
    """
    kept = {(tick.run, tick.ends, tick.what): tick for tick in ticks}
    return tuple(
        RunCheck(
            run=run.id,
            kind=run.kind,
            ends=ends_of(run),
            checks=tuple((what, kept.get((run.id, ends_of(run), what))) for what in CHECKS_OF_KIND[run.kind]),
        )
        for run in runs
    )


def open_runs(checks: Iterable[RunCheck]) -> tuple[str, ...]:
    """Give the runs that still lack something, each with what it lacks.

    Parameters
    ----------
    checks : iterable of RunCheck
        From `run_checks`.

    Returns
    -------
    open_runs : tuple of str
        Empty when boards may go down as far as the runs go.

    References
    ----------
    Definition.
    """
    return tuple(f"{one.run} ({', '.join(one.missing)})" for one in checks if one.missing)
