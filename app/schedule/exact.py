"""The exact improver: a constraint model of the same network, with a bound. Needs the extra ``exact``."""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from app.schedule.network import Network, Placed, Ready
from app.schedule.passes import in_sequence, sequence_of, serial_pass
from app.schedule.search import score

# Kept back for reading the answer; as much as writing took if that is more: a busy machine is slow at both.
KEPT_BACK_S = 0.25

HOW_TO_INSTALL = "The exact search needs the extra “exact”: pip install 'upstand[exact]', then start again."


class NotInstalled(Exception):
    """The solver is not installed; the text says how to get it."""


@dataclass(frozen=True, slots=True)
class ExactAnswer:
    """What the search found.

    Attributes
    ----------
    placed : Placed
        The best plan, never worse than the one it started from.
    is_proven : bool
        Whether no plan has less lateness and earlier ends.
    late_days : int
        Working days after the promises in the best plan. [days]
    least_late_days : int
        No plan has fewer. [days]
    """

    placed: Placed
    is_proven: bool
    late_days: int
    least_late_days: int


def improve(
    network: Network,
    start: Placed,
    time_left: Callable[[], float],
    on_progress: Callable[[int, int], None] | None = None,
    on_ready: Callable[[Callable[[], None]], None] | None = None,
) -> ExactAnswer:
    """Look for a better plan, with a bound.

    Parameters
    ----------
    network : Network
        What is planned.
    start : Placed
        A plan; the search starts from it.
    time_left : callable
        Tells the seconds left until the answer must be there; writing the model and reading the answer back
        count. Without any left the plan given comes back as it is.
    on_progress : callable or None
        Told late days and the least possible ones each time a better plan is found.
    on_ready : callable or None
        Given what stops the search.

    Returns
    -------
    answer : ExactAnswer
        By lateness, then by the sum of the ends of all jobs, counted in the firm's working days.

    Raises
    ------
    NotInstalled
        If the solver is not there.

    Notes
    -----
    Days are counted in the firm's working days. Work on a calendar with other days off has its length looked
    up by its start. The solver gets what is left after writing, less as much again (at least `KEPT_BACK_S`),
    so that a slow stop and reading back end in time too. What comes out is placed again by the calendars,
    and kept only if it is better by `score`.

    References
    ----------
    Constraint programming with intervals; the solver's own documentation.
    """
    began = time_left()
    model, parts = _model(network, start)
    left = time_left()
    left -= max(KEPT_BACK_S, began - left)
    if left <= 0:
        return ExactAnswer(start, is_proven=False, late_days=parts.late_of(start), least_late_days=0)
    from ortools.sat.python import cp_model  # noqa: PLC0415 - 0.6 s and 80 MiB: only when the button is pressed

    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = left
    solver.parameters.num_workers = 2
    weight = parts.weight

    class Told(cp_model.CpSolverSolutionCallback):  # type: ignore[misc]
        def on_solution_callback(self) -> None:
            if on_progress is not None:
                bound = max(0, int(self.best_objective_bound))
                on_progress(int(self.objective_value) // weight, bound // weight)

    if on_ready is not None:
        on_ready(solver.stop_search)
    status = solver.solve(model, Told())
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return ExactAnswer(start, is_proven=False, late_days=parts.late_of(start), least_late_days=0)
    found = _placed(network, [solver.value(var) for var in parts.starts])
    best = found if score(network, found).key < score(network, start).key else start
    bound = max(0, int(-(-solver.best_objective_bound // 1)))
    return ExactAnswer(
        placed=best,
        is_proven=status == cp_model.OPTIMAL,
        late_days=int(solver.objective_value) // weight,
        least_late_days=bound // weight,
    )


@dataclass(frozen=True, slots=True)
class _Parts:
    """What is read back from the model."""

    starts: list[Any]
    weight: int
    ready: Ready
    due: dict[int, int]
    start_by: list[tuple[int, int]]
    end_by: list[tuple[int, int]]

    def late_of(self, placed: Placed) -> int:
        """Count the late working days of a plan."""
        ends: dict[int, int] = {}
        for number, job in enumerate(self.ready.jobs):
            ends[job] = max(ends.get(job, 0), self.ready.firm_seen[placed.ends[number] + 1])
        late = sum(max(0, ends[job] - due) for job, due in self.due.items() if job in ends)
        return (
            late
            + sum(
                max(0, self.ready.firm_seen[placed.starts[number]] - self.ready.firm_seen[day])
                for number, day in self.start_by
            )
            + sum(
                max(0, self.ready.firm_seen[placed.ends[number] + 1] - self.ready.firm_seen[max(0, day + 1)])
                for number, day in self.end_by
            )
        )


def _model(network: Network, start: Placed) -> tuple[Any, _Parts]:
    """Write the model: starts and ends in working days, waits, crews, lateness."""
    try:
        from ortools.sat.python import cp_model  # noqa: PLC0415
    except ImportError as missing:
        raise NotInstalled(HOW_TO_INSTALL) from missing
    ready = Ready(network)
    model = cp_model.CpModel()
    days = ready.firm_days
    last = min(len(days) - 1, ready.firm_seen[max(start.ends) + 1] + 5)
    starts, ends, intervals = [], [], []
    for number in range(len(ready.need)):
        begin = model.new_int_var(min(last, ready.firm_seen[ready.not_before[number]]), last, f"s{number}")
        end = model.new_int_var(0, last + 1, f"e{number}")
        lengths = _lengths(ready, number, last)
        if len(set(lengths)) == 1:
            size: Any = lengths[0]
        else:
            size = model.new_int_var(min(lengths), max(lengths), f"d{number}")
            model.add_element(begin, lengths, size)
        intervals.append(model.new_interval_var(begin, size, end, f"i{number}"))
        model.add_hint(begin, min(last, ready.firm_seen[start.starts[number]]))
        starts.append(begin)
        ends.append(end)
    _waits(model, ready, starts, ends)
    for resource, capacity in enumerate(ready.caps):
        mine = [(n, many) for n, uses in enumerate(ready.uses) for name, many in uses if name == resource]
        if capacity == 1:
            model.add_no_overlap([intervals[n] for n, _ in mine])
        elif mine:
            model.add_cumulative([intervals[n] for n, _ in mine], [many for _, many in mine], capacity)
    return model, _objective(model, network, ready, ends, (starts, last))


def _waits(model: Any, ready: Ready, starts: list[Any], ends: list[Any]) -> None:
    """Put every wait into the model."""
    for number, waits in enumerate(ready.before):
        for on, lag, overlap in waits:
            if overlap:
                model.add(starts[number] >= starts[on] + 1)
                model.add(starts[number] >= ends[on] - overlap)
                model.add(ends[number] >= ends[on] + 1)
            else:
                model.add(starts[number] >= ends[on] + lag)


def _objective(
    model: Any, network: Network, ready: Ready, ends: list[Any], known: tuple[list[Any], int]
) -> _Parts:
    """Ask for least lateness, then for the least sum of ends."""
    starts, last = known
    names = {work.job: ready.jobs[number] for number, work in enumerate(network.works)}
    due = {names[job]: ready.firm_seen[max(0, day) + 1] for job, day in network.due if job in names}
    weight = (last + 2) * (len(set(ready.jobs)) + 1)
    terms = []
    for job in sorted(set(ready.jobs)):
        finish = model.new_int_var(0, last + 1, f"f{job}")
        model.add_max_equality(finish, [ends[n] for n, owner in enumerate(ready.jobs) if owner == job])
        terms.append(finish)
        if job in due:
            late = model.new_int_var(0, last + 1, f"l{job}")
            model.add(late >= finish - due[job])
            terms.append(weight * late)
    place = {work.code: number for number, work in enumerate(network.works)}
    for code, day in network.start_by:
        late = model.new_int_var(0, last + 1, f"b{place[code]}")
        model.add(late >= starts[place[code]] - ready.firm_seen[day])
        terms.append(weight * late)
    for code, day in network.end_by:
        late = model.new_int_var(0, last + 1, f"t{place[code]}")
        model.add(late >= ends[place[code]] - ready.firm_seen[max(0, day + 1)])
        terms.append(weight * late)
    model.minimize(sum(terms))
    start_by, end_by = (
        [(place[code], day) for code, day in promised] for promised in (network.start_by, network.end_by)
    )
    return _Parts(starts, weight, ready, due, start_by, end_by)


def _lengths(ready: Ready, number: int, last: int) -> list[int]:
    """Give the working days that a piece of work takes by the working day it starts on."""
    need = ready.need[number]
    if need == 0:
        return [0]
    sums = ready.supply[number].sums
    found = []
    for place in range(last + 1):
        day = ready.firm_days[place]
        # On a day of its own off the work waits: it begins there in name and takes that day longer.
        end = bisect_left(sums, sums[day] + need, day + 1) - 1
        found.append(ready.firm_seen[min(end, ready.horizon - 1) + 1] - place)
    return found


def _placed(network: Network, starts: list[int]) -> Placed:
    """Place all work by its calendars in the order found."""
    ready = Ready(network)
    if all(cap == 1 for cap in ready.caps):
        return in_sequence(ready, sequence_of(ready, Placed(tuple(starts), tuple(starts))))
    return serial_pass(ready, starts)
