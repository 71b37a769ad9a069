"""What the runs of one circuit depend on, in things that can be told apart: the same again is known again."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.ends import End
from app.takeoff.roughin.grid import Floats
from app.takeoff.roughin.legs import Routed
from app.takeoff.roughin.obstacles import FreeArea
from app.takeoff.roughin.routes import Topology, route


@dataclass(frozen=True, slots=True)
class Asked:
    """All that `route` is asked with; two are equal when every number of them is.

    Attributes
    ----------
    circuit : str
    topology : str
    source : End
    devices : tuple of End
    around, beside : tuple
        Everything in `free` and in `apart`, arrays as their bytes: those records themselves are never equal.
    free : FreeArea
        Where runs may lie.
    apart : Apart
        What they keep away from.
    """

    circuit: str
    topology: Topology
    source: End
    devices: tuple[End, ...]
    around: tuple[Any, ...]
    beside: tuple[Any, ...]
    free: FreeArea = field(compare=False)
    apart: Apart = field(compare=False)


def ask(
    free: FreeArea, circuit: str, topology: Topology, source: End, devices: Sequence[End], apart: Apart
) -> Asked:
    """Give what the runs of one circuit depend on.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    circuit : str
        Its id.
    topology : str
        ``chain``, ``tee``, ``hub`` or ``loop``.
    source : End
        Where it begins.
    devices : sequence of End
        What it feeds.
    apart : Apart
        What its runs keep away from.

    Returns
    -------
    asked : Asked

    References
    ----------
    Definition.
    """
    # What is kept of lines once asked (`stretches_mm`) follows from the area.
    shapes = (free.area, free.boarded, free.covered, free.obstacles)
    around = (free.angle_deg, free.xs_mm, free.ys_mm, free.walls_mm, *shapes)
    arrays = (apart.sticks_mm, apart.half_mm, apart.pads_mm)
    spans = (tuple((line, tuple(found)) for line, found in one.items()) for one in (apart.spans, apart.keep))
    beside = (apart.apart_mm, apart.worth, *spans, *map(_bytes_of, arrays))
    return Asked(circuit, topology, source, tuple(devices), around, beside, free, apart)


def routed(asked: Asked) -> Routed:
    """Give the runs of one circuit.

    Parameters
    ----------
    asked : Asked
        What they depend on.

    Returns
    -------
    routed : Routed
        As `route` gives them.

    References
    ----------
    As `route`.
    """
    return route(asked.free, asked.circuit, asked.topology, asked.source, asked.devices, asked.apart)


def _bytes_of(array: Floats | None) -> tuple[tuple[int, ...], bytes] | None:
    """Give the numbers of an array as bytes, with its shape."""
    return None if array is None else (array.shape, array.tobytes())
