"""The exact search behind a button: in the background, with progress and cancel, one at a time."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from threading import Lock, Thread
from time import monotonic

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.plans import PlanView, planned_so, what_is_known
from app.schedule.exact import HOW_TO_INSTALL, NotInstalled, improve
from app.schedule.joint_network import joined
from app.schedule.joint_plan import placed_so
from app.schedule.joint_records import JointInputs

SECONDS = 10.0
Dates = tuple[tuple[tuple[str, str], date], ...]


@dataclass(frozen=True, slots=True)
class SearchState:
    """How far the search is: ``idle``, ``looking``, ``done``, ``cancelled`` or ``failed``."""

    state: str = "idle"
    late_days: int | None = None
    least_late_days: int = 0
    is_proven: bool = False
    is_better: bool = False
    text: str = ""
    dates: Dates = ()


class _Search:
    """The one search of this server; losing it costs time, never a plan."""

    def __init__(self) -> None:
        self.lock = Lock()
        self.now = SearchState()
        self.stop: Callable[[], None] | None = None
        self.is_stopped = False

    def put(self, **changes: object) -> None:
        with self.lock:
            self.now = replace(self.now, **changes)  # type: ignore[arg-type]


_search = _Search()


def is_installed() -> bool:
    """Tell whether the solver is there."""
    from importlib.util import find_spec  # noqa: PLC0415

    try:
        return find_spec("ortools") is not None
    except (ImportError, ValueError):
        return False


def start_search(
    db: Database, today: date, seconds: float = SECONDS, clock: Callable[[], float] = monotonic
) -> None:
    """Start looking for a better plan in the background; Refused when one looks already, or cannot.

    The answer is there within so many seconds from now: reading the jobs and writing the model count too.
    """
    until = clock() + seconds
    if not is_installed():
        raise Refused(HOW_TO_INSTALL)
    inputs, dates = what_is_known(db, today)
    with _search.lock:
        if _search.now.state == "looking":
            raise Refused("A search is under way; wait for it or stop it.")
        _search.now = SearchState(state="looking")
        _search.stop, _search.is_stopped = None, False
    Thread(target=_run, args=(inputs, dates, lambda: until - clock()), daemon=True, name="improver").start()


def stop_search() -> None:
    """Stop the search; what it found so far is kept."""
    with _search.lock:
        stop, is_looking = _search.stop, _search.now.state == "looking"
        _search.is_stopped = is_looking
    if stop is not None and is_looking:
        stop()


def search_state() -> SearchState:
    """How far the search is."""
    with _search.lock:
        return _search.now


def improved_view(db: Database, today: date) -> PlanView:
    """The plan found, by what is known now, beside the one that holds; Refused when none was found."""
    state = search_state()
    if not state.dates:
        raise Refused("The exact search has found no better plan.")
    return planned_so(db, today, state.dates)


def _run(inputs: JointInputs, dates: Dates, time_left: Callable[[], float]) -> None:
    try:
        joint = joined(inputs)
        start = placed_so(joint, dict(dates))

        def tell(late: int, least: int) -> None:
            _search.put(late_days=late, least_late_days=least)

        def keep(stop: Callable[[], None]) -> None:
            with _search.lock:
                _search.stop = stop

        def left() -> float:
            # Whoever stops the search while the model is still being written waits for no solver.
            return 0.0 if _search.is_stopped else time_left()

        answer = improve(joint.network, start, left, tell, keep)
        better = answer.placed != start
        found = tuple(
            ((job.code, task.code), joint.day(answer.placed.starts[number]))
            for number, (job, task) in enumerate(joint.tasks)
        )
        _search.put(
            state="done",
            late_days=answer.late_days,
            least_late_days=answer.least_late_days,
            is_proven=answer.is_proven,
            is_better=better,
            dates=found if better else (),
        )
    except NotInstalled as missing:
        _search.put(state="failed", text=str(missing))
    except Exception as fault:
        _search.put(state="failed", text=f"The search failed: {fault}")
