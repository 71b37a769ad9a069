"""Reading what changes rarely once, until somebody changes something."""

from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

from app.actions.database import Database
from app.actions.records import Shop
from app.store import audit, shop
from app.store.sessions import Session

T = TypeVar("T")


class Same(Generic[T]):
    """The last few of a kind: one made again that equals one of them is given as that one.

    What is the same object need not be compared part by part, over and over, job by job.
    """

    def __init__(self, most: int) -> None:
        self._kept: list[T] = []
        self._most = most
        self._lock = Lock()

    def as_before(self, value: T) -> T:
        """Give the one of before that is equal, or this one."""
        with self._lock:
            for at, old in enumerate(self._kept):
                if old is value or old == value:
                    self._kept.insert(0, self._kept.pop(at))
                    return old
            self._kept.insert(0, value)
            del self._kept[self._most :]
        return value


_firms: Same[Shop] = Same(4)


def as_it_stands(db: Database, what: Hashable, read: Callable[[Session], T]) -> T:
    """Give what `read` gives now; kept by `what` for as long as the trail has no newer row.

    The stamp is read first: what is kept can be newer than its stamp, never older. It reads in a transaction
    of its own, so that nothing is kept that was never committed.
    """
    with db.look() as connection:
        found: T | None = db.kept.find(audit.newest(connection), what)
    if found is not None:
        return found
    with db.read() as session:
        stamp = audit.newest(session)
        fresh = read(session)
    db.kept.keep(stamp, what, fresh)
    return fresh


def shop_now(db: Database) -> Shop | None:
    """Give the firm-wide settings; None while nothing is entered."""
    return as_it_stands(db, "shop", read_shop)


def read_shop(session: Session) -> Shop | None:
    """Give the firm-wide settings as a transaction sees them; None while nothing is entered."""
    return _firms.as_before(shop.read_shop(session)) if shop.has_shop(session) else None
