"""The voltage at every joint of a two-conductor network, whatever its shape."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

LEAST_OHM = 1e-6  # a joint of no length, so that the equations stay regular; 5 µV at 5 A
SETTLED_V = 1e-12
ROUNDING_V = 1e-8  # steps below this that no longer shrink are the rounding of the equations
MOST_ROUNDS = 100


@dataclass(frozen=True, slots=True)
class Segment:
    """One stretch of two-conductor cable.

    Attributes
    ----------
    from_id, to_id : str
        Joints at its ends.
    resistance_ohm : float
        Of both conductors together. [ohm]
    """

    from_id: str
    to_id: str
    resistance_ohm: float


@dataclass(frozen=True, slots=True)
class Load:
    """What one device draws.

    Attributes
    ----------
    id : str
        Joint it hangs on.
    power_w : float
        At its nominal voltage. [W]
    nominal_v : float
        Voltage at which it draws just that. [V]
    kind : str
        How it answers to less voltage: ``constant current`` P/Vnom, ``constant power`` P/V, or
        ``constant resistance`` Vnom²/P.
    """

    id: str
    power_w: float
    nominal_v: float
    kind: Literal["constant current", "constant power", "constant resistance"]


@dataclass(frozen=True, slots=True)
class Solved:
    """A network with everything on.

    Attributes
    ----------
    voltage_v : dict of str to float
        At every joint, the source too. [V]
    current_a : dict of str to float
        Drawn by each device. [A]
    branch_a : tuple of float
        In each segment, from its first end to its second. [A]
    source_a : float
        Leaving the source. [A]
    """

    voltage_v: dict[str, float]
    current_a: dict[str, float]
    branch_a: tuple[float, ...]
    source_a: float


def loop_resistance_ohm(length_mm: float, conductor_ohm_km: float) -> float:
    """Give the resistance of both conductors of a run.

    Parameters
    ----------
    length_mm : float
        Of the run, one way. [mm]
    conductor_ohm_km : float
        Of one conductor. [ohm/km]

    Returns
    -------
    resistance_ohm : float
        There and back. [ohm]

    Notes
    -----
    R = 2 L r.

    Examples
    --------
    >>> loop_resistance_ohm(15240.0, 6.49606)
    0.1980

    References
    ----------
    Definition.
    """
    return 2 * length_mm * 1e-6 * conductor_ohm_km


def _conductances(
    source: str, segments: Sequence[Segment], place: dict[str, int]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Give the matrix between free joints and the conductance of each to the source."""
    matrix = np.zeros((len(place), len(place)))
    to_source = np.zeros(len(place))
    for segment in segments:
        conductance = 1.0 / max(segment.resistance_ohm, LEAST_OHM)
        ends = [place[name] for name in (segment.from_id, segment.to_id) if name != source]
        for end in ends:
            matrix[end, end] += conductance
        if len(ends) == 2:
            matrix[ends[0], ends[1]] -= conductance
            matrix[ends[1], ends[0]] -= conductance
        elif ends:
            to_source[ends[0]] += conductance
    return matrix, to_source


def solve_network(
    source: str, source_v: float, segments: Sequence[Segment], loads: Sequence[Load]
) -> Solved | None:
    """Give the voltage at every joint with everything on.

    Parameters
    ----------
    source : str
        Joint that is held at the source voltage.
    source_v : float
        That voltage. [V]
    segments : sequence of Segment
        Cable; every joint must hang together with the source. Rings are allowed.
    loads : sequence of Load
        Devices.

    Returns
    -------
    solved : Solved or None
        None when the cable cannot carry the loads at any voltage above zero.

    Notes
    -----
    Kirchhoff's current law at every free joint: G V + I(V) = G_s V_s, with I = P/Vnom, P/V or
    V P/Vnom². Newton's steps from the source voltage downward, to a change below 1e-12 V; from above
    they close in on the upper solution without passing it, and where there is none they run below zero
    or never settle. Direct current, or alternating current at power factor 1; reactance is left out.

    Examples
    --------
    >>> lamp = Load("lamp", 20.0, 12.0, "constant power")
    >>> solve_network("source", 12.0, [Segment("source", "lamp", 0.198)], [lamp]).voltage_v["lamp"]
    11.6604

    References
    ----------
    Kirchhoff's laws; monotone Newton iteration, J. M. Ortega and W. C. Rheinboldt (1970), 13.3.
    """
    names = sorted({name for s in segments for name in (s.from_id, s.to_id)} - {source})
    place = {name: number for number, name in enumerate(names)}
    matrix, to_source = _conductances(source, segments, place)
    steady, power = np.zeros(len(names)), np.zeros(len(names))
    for load in loads:
        if load.kind == "constant resistance":
            matrix[place[load.id], place[load.id]] += load.power_w / load.nominal_v**2
        elif load.kind == "constant power":
            power[place[load.id]] += load.power_w
        else:
            steady[place[load.id]] += load.power_w / load.nominal_v
    voltage = _settled(matrix, to_source * source_v - steady, power, source_v)
    if voltage is None:
        return None
    at = {source: source_v} | {name: float(voltage[number]) for name, number in place.items()}
    branch = tuple((at[s.from_id] - at[s.to_id]) / max(s.resistance_ohm, LEAST_OHM) for s in segments)
    drawn = {load.id: 0.0 for load in loads}
    for load in loads:
        drawn[load.id] += _drawn_a(load, at[load.id])
    leaving = sum(
        a * ((s.from_id == source) - (s.to_id == source)) for a, s in zip(branch, segments, strict=True)
    )
    return Solved(voltage_v=at, current_a=drawn, branch_a=branch, source_a=float(leaving))


def _settled(
    matrix: NDArray[np.float64], given: NDArray[np.float64], power: NDArray[np.float64], start_v: float
) -> NDArray[np.float64] | None:
    """Give the voltages that satisfy G V + P/V = given, or None."""
    voltage = np.full(len(given), start_v)
    last_v = np.inf
    for _ in range(MOST_ROUNDS):
        slope = matrix - np.diag(power / voltage**2)
        try:
            step = np.linalg.solve(slope, matrix @ voltage + power / voltage - given)
        except np.linalg.LinAlgError:
            return None
        voltage = voltage - step
        if not np.all(np.isfinite(voltage)) or np.any(voltage <= 0):
            return None
        change_v = float(np.max(np.abs(step), initial=0.0))
        if change_v <= SETTLED_V or (change_v < ROUNDING_V and change_v > last_v / 2):
            return voltage
        last_v = change_v
    return None


def _drawn_a(load: Load, voltage_v: float) -> float:
    """Give the current one device draws at a voltage."""
    if load.kind == "constant power":
        return load.power_w / voltage_v
    if load.kind == "constant current":
        return load.power_w / load.nominal_v
    return load.power_w * voltage_v / load.nominal_v**2
