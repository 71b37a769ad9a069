"""How a room has a part of its work done: at once, or by one who remembers what the same inputs gave."""

from collections.abc import Callable
from typing import ParamSpec, Protocol, TypeVar

P = ParamSpec("P")
R = TypeVar("R")


class Do(Protocol):
    """Does a part of the work: gives what the function gives for these inputs.

    A room is pure, so whoever calls it may hand in one who keeps answers; nothing it gives may differ.
    """

    def __call__(self, work: Callable[P, R], /, *inputs: P.args, **named: P.kwargs) -> R:
        """Give what the function gives for these inputs."""
        ...


class _AtOnce:
    """Calls the function, and keeps nothing."""

    def __call__(self, work: Callable[P, R], /, *inputs: P.args, **named: P.kwargs) -> R:
        """Give what the function gives for these inputs."""
        return work(*inputs, **named)


at_once: Do = _AtOnce()
