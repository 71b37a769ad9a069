"""How far the work is: by phase, which payments fall due by it, and what it will take in the end."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from app.agreement.records import PaymentStage
from app.agreement.stages import MILESTONES
from app.build.log import PhaseHours
from app.schedule.records import Task


@dataclass(frozen=True, slots=True)
class StageState:
    """One payment, and whether the work has come to it.

    Attributes
    ----------
    stage : PaymentStage
    is_due : bool
    why : str
        What is done, or what is still missing.
    """

    stage: PaymentStage
    is_due: bool
    why: str


@dataclass(frozen=True, slots=True)
class PhaseOutlook:
    """Hours of one phase against what was planned.

    Attributes
    ----------
    phase : str
    done_pct : float
        By the tasks' own progress, weighed by their days. [%]
    planned_h, actual_h : float
        Estimated, and noted. [h]
    at_finish_h : float
        Noted over the share done; as planned while nothing is done. [h]
    """

    phase: str
    done_pct: float
    planned_h: float
    actual_h: float
    at_finish_h: float


def done_by_phase(tasks: Sequence[Task], progress: Mapping[str, int]) -> dict[str, float]:
    """Give how far each phase is.

    Parameters
    ----------
    tasks : sequence of Task
        Of the job; hold points are left out.
    progress : mapping of str to int
        How far each task is, from 0 to 100; those that lack are at 0.

    Returns
    -------
    done_pct : dict of str to float
        By phase, weighed by the days of its tasks.

    References
    ----------
    Definition.
    """
    days: dict[str, int] = {}
    done: dict[str, float] = {}
    for task in tasks:
        if task.is_hold_point or not task.phase:
            continue
        days[task.phase] = days.get(task.phase, 0) + task.days
        done[task.phase] = done.get(task.phase, 0.0) + task.days * min(100, progress.get(task.code, 0))
    return {phase: done[phase] / count for phase, count in days.items() if count}


def stage_states(
    stages: Sequence[PaymentStage],
    done_pct: Mapping[str, float],
    signed_holds: frozenset[str],
    holds: frozenset[str],
    *,
    is_punch_clear: bool,
) -> tuple[StageState, ...]:
    """Give which payments fall due.

    Parameters
    ----------
    stages : sequence of PaymentStage
        Of the signed revision, and of signed changes.
    done_pct : mapping of str to float
        How far each phase is; a phase the job lacks does not hold a payment back. [%]
    signed_holds : frozenset of str
        Codes of the hold points that were signed.
    holds : frozenset of str
        Codes of the hold points of the job.
    is_punch_clear : bool
        Whether nothing is left to put right.

    Returns
    -------
    states : tuple of StageState
        In the order of the stages. Nothing falls due ahead of work that is not done.

    References
    ----------
    Common practice, no source; see `stages`.
    """
    phases_of = {code: named for code, _, named in MILESTONES}
    found = []
    for stage in stages:
        if stage.code == "deposit":
            found.append(StageState(stage, is_due=True, why="signed"))
            continue
        if stage.code == "holdback":
            missing = [] if is_punch_clear else ["the punch list"]
            missing += ["the walk-through"] if "walk-through" not in signed_holds else []
        else:
            code = "fit-out" if stage.code.startswith("change") else stage.code
            missing = [phase for phase in phases_of.get(code, ()) if done_pct.get(phase, 100.0) < 100.0]
            needs_seal = code == "rough-in" and "rough-in inspection" in holds - signed_holds
            missing += ["the rough-in inspection"] if needs_seal else []
        why = f"still open: {', '.join(missing)}" if missing else "done"
        found.append(StageState(stage, is_due=not missing, why=why))
    return tuple(found)


def outlook_by_phase(hours: Iterable[PhaseHours], done_pct: Mapping[str, float]) -> tuple[PhaseOutlook, ...]:
    """Give what each phase will take in the end.

    Parameters
    ----------
    hours : iterable of PhaseHours
        Noted beside estimated.
    done_pct : mapping of str to float
        How far each phase is. [%]

    Returns
    -------
    outlook : tuple of PhaseOutlook
        In the same order.

    Notes
    -----
    Hours at finish = hours noted / share done, once something is done; never less than what is noted.

    References
    ----------
    Common practice, no source.
    """
    found = []
    for row in hours:
        done = done_pct.get(row.phase, 0.0)
        at_finish = row.actual_h / done * 100 if done > 0 and row.actual_h > 0 else row.planned_h
        found.append(PhaseOutlook(row.phase, done, row.planned_h, row.actual_h, max(at_finish, row.actual_h)))
    return tuple(found)
