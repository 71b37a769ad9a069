"""Least lengths on a grid, line after line: the sums that every run is found by."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
_Lines = tuple[list[Floats], list[Floats], Floats]


class Sweep:
    """Lengths that are swept line after line; the questions lie along the last axis."""

    def __init__(self, length: Floats, step_x: Floats, step_y: Floats) -> None:
        self.length, self._across = length, np.ascontiguousarray(length.swapaxes(0, 1))
        # As many steps as lengths, line by line in one piece: sums of like arrays are several times quicker.
        count = length.shape[-1]
        self._step_x, self._step_y = np.repeat(step_x, count, axis=2), np.repeat(step_y, count, axis=2)
        self._ways = (_lines(length, self._step_x), _lines(self._across, self._step_y))

    def run(self) -> None:
        """Sweep once each way."""
        _swept(*self._ways[0])
        self._across[...] = self.length.swapaxes(0, 1)
        _swept(*self._ways[1])
        self.length[...] = self._across.swapaxes(0, 1)

    def open_questions(self) -> NDArray[np.bool_]:
        """Say of which questions some length can still be shortened by one step.

        Swept there and back last, no length can be shortened along y: it is asked along x alone.
        """
        length, step = self.length, self._step_x
        found = np.zeros(length.shape[-1], dtype=bool)
        for here, ahead in ((length[:-1], length[1:]), (length[1:], length[:-1])):
            is_shorter = here + step < ahead
            if is_shorter.any():
                found |= is_shorter.reshape(-1, len(found)).any(axis=0)
        return found


def _lines(length: Floats, step: Floats) -> _Lines:
    """Give the lines of some lengths and the steps between them, as views, and room for one line."""
    wide = length[0].size
    return list(length.reshape(-1, wide)), list(step.reshape(-1, wide)), np.empty(wide)


def _swept(lines: list[Floats], steps: list[Floats], room: Floats) -> None:
    """Sweep from line to line, there and back."""
    add, minimum = np.add, np.minimum
    for here, ahead, step in zip(lines[:-1], lines[1:], steps, strict=True):
        add(here, step, out=room)
        minimum(ahead, room, out=ahead)
    for ahead, here, step in zip(lines[-2::-1], lines[:0:-1], steps[::-1], strict=True):
        add(here, step, out=room)
        minimum(ahead, room, out=ahead)
