"""Least lengths on a grid, line after line: the sums that every run is found by."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class Sweep:
    """Lengths that are swept line after line; the questions lie along the last axis."""

    def __init__(self, length: Floats, step_x: Floats, step_y: Floats) -> None:
        self.length, self.step_x, self.step_y = length, step_x, step_y
        across = length.swapaxes(0, 1)
        room_x, room_y = np.empty_like(length[0]), np.empty_like(across[0])
        # Views made once: a sweep is thousands of small sums.
        self._along = [(list(length), list(step_x), room_x), (list(across), list(step_y), room_y)]

    def run(self) -> None:
        """Sweep once each way."""
        add, minimum = np.add, np.minimum
        for lines, steps, room in self._along:
            for here, ahead, step in zip(lines[:-1], lines[1:], steps, strict=True):
                add(here, step, out=room)
                minimum(ahead, room, out=ahead)
            for ahead, here, step in zip(lines[-2::-1], lines[:0:-1], steps[::-1], strict=True):
                add(here, step, out=room)
                minimum(ahead, room, out=ahead)

    def open_questions(self) -> NDArray[np.bool_]:
        """Say of which questions some length can still be shortened by one step."""
        length = self.length
        found = np.zeros(length.shape[-1], dtype=bool)
        sides = (
            (length[:-1], length[1:], self.step_x),
            (length[:, :-1], length[:, 1:], self.step_y.swapaxes(0, 1)),
        )
        for low, high, step in sides:
            found |= (low + step < high).any(axis=(0, 1))
            found |= (high + step < low).any(axis=(0, 1))
        return found
