"""What is made of an answer on every look at it, kept beside it."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Any, Generic, TypeVar

T = TypeVar("T")
_MOST = 32  # each holds on to its answer, of about a megabyte


class Beside(Generic[T]):
    """The last few results, by the very things that they were made of."""

    def __init__(self) -> None:
        self._kept: OrderedDict[Hashable, tuple[tuple[Any, ...], T]] = OrderedDict()
        self._lock = Lock()

    def of(self, things: tuple[Any, ...], more: Hashable, make: Callable[[], T]) -> T:
        """Give what `make` gives, made once for these things and whatever more it depends on.

        Things are told apart by identity and must never change; `more` is compared whole.
        """
        key = *map(id, things), more
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key][1]
        made = make()
        with self._lock:
            self._kept[key] = things, made  # the things too, so that no other has their place in memory
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
        return made
