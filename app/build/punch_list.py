"""The punch list: what is left to put right, what is overdue, and whether the holdback falls due."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from app.build.records import PunchItem


@dataclass(frozen=True, slots=True)
class PunchState:
    """The punch list as it stands.

    Attributes
    ----------
    open, overdue, closed : tuple of PunchItem
        Overdue ones are open too.
    is_clear : bool
        Whether nothing is left; then the holdback falls due.
    """

    open: tuple[PunchItem, ...]
    overdue: tuple[PunchItem, ...]
    closed: tuple[PunchItem, ...]
    is_clear: bool


def punch_state(items: Iterable[PunchItem], today: date) -> PunchState:
    """Give the punch list as it stands.

    Parameters
    ----------
    items : iterable of PunchItem
        All of them.
    today : date
        Decides what is overdue.

    Returns
    -------
    state : PunchState
        Open ones by their due day, those without one last; closed ones by the day they were closed.

    References
    ----------
    Definition.
    """
    rows = tuple(items)
    still_open = tuple(
        sorted(
            (item for item in rows if item.closed_on is None),
            key=lambda item: (item.due_on or date.max, item.raised_on, item.id),
        )
    )
    closed = sorted(
        ((item.closed_on, item.id, item) for item in rows if item.closed_on is not None),
        key=lambda row: row[:2],
    )
    return PunchState(
        open=still_open,
        overdue=tuple(item for item in still_open if item.due_on is not None and item.due_on < today),
        closed=tuple(item for _, _, item in closed),
        is_clear=not still_open,
    )
