"""What was read of a database and still holds: it is kept with the newest row of the trail.

Every change leaves its row in the trail, in the same transaction, and each row has its own hash: as long as
the newest is the same, nothing was changed, by this process or by another.
"""

from collections import OrderedDict
from collections.abc import Hashable
from threading import Lock
from typing import Any

MOST_KEPT = 64


class Kept:
    """Values by what they are, all read at one stamp; with the next stamp all are gone."""

    def __init__(self) -> None:
        self._stamp = ""
        self._values: OrderedDict[Hashable, Any] = OrderedDict()
        self._lock = Lock()

    def find(self, stamp: str, what: Hashable) -> Any:
        """Give what was kept at this stamp; None when it was not."""
        with self._lock:
            if stamp != self._stamp or what not in self._values:
                return None
            self._values.move_to_end(what)
            return self._values[what]

    def keep(self, stamp: str, what: Hashable, value: Any) -> None:
        """Keep what was read after its stamp was."""
        with self._lock:
            if stamp != self._stamp:
                self._stamp = stamp
                self._values.clear()
            self._values[what] = value
            while len(self._values) > MOST_KEPT:
                self._values.popitem(last=False)

    def clear(self) -> None:
        """Forget all."""
        with self._lock:
            self._stamp = ""
            self._values.clear()
