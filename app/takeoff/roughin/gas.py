"""The gas stub: a route and a size to be confirmed by a licensed gas fitter."""

from dataclasses import dataclass, replace

from app.job.findings import Finding
from app.job.plan import GasStub
from app.job.spoken import Spoken
from app.job.survey import GasPoint
from app.tables.gas import capacity_w, gas_pipe_sizes, longest_length_mm
from app.takeoff.roughin.records import GasReading

MM_PER_FT = 304.8  # exact
W_PER_BTU_H = 0.29307107  # international table British thermal unit
KPA_PER_IN_WATER = 0.24908891  # conventional inch of water
INSIDE_IN = {"1/2 in": 0.622, "3/4 in": 0.824, "1 in": 1.049}  # Schedule 40
# Heating value and the constant of the low-pressure equation; the constants from memory, confirmed by
# reproducing the tables to within 2 %.
GAS = {"natural gas": (1000.0, 0.6094), "propane": (2516.0, 1.2462)}
EQUATION = "NFPA 54 / IFGC low-pressure equation, constants from memory"

METHOD = (
    "IFGC 402.4.1 / NFPA 54 chapter 6, longest-length method, from memory; "
    "IFGC 2018 Tables 402.4(2) and 402.4(28)"
)


@dataclass(frozen=True, slots=True)
class Pipe:
    """One stub with the pipe that reaches it.

    Attributes
    ----------
    stub : GasStub
    length_mm : float
        From the gas point to the stub. [mm]
    """

    stub: GasStub
    length_mm: float


def size_stubs(
    point: GasPoint, pipes: tuple[Pipe, ...], units: str = "metric"
) -> tuple[tuple[GasReading, ...], tuple[Finding, ...]]:
    """Give the size, to be confirmed, of every stub on one gas point.

    Parameters
    ----------
    point : GasPoint
        With the length to the meter and what the pipe already feeds.
    pipes : tuple of Pipe
        All new stubs on it.
    units : str
        In which findings are written: ``imperial`` or ``metric``.

    Returns
    -------
    readings : tuple of GasReading
        With the largest size and a stop when none carries the load.
    findings : tuple of Finding
        Always with the check that a licensed gas fitter decides.

    Notes
    -----
    One length for every segment: meter to the most remote stub, rounded up to the next row. The load
    is everything on the pipe from the meter, old and new, so that the size holds for all of it.
    Fittings are not counted.

    References
    ----------
    IFGC 402.4.1 / NFPA 54 chapter 6 (from memory); IFGC 2018 Tables 402.4(2) and 402.4(28).
    """
    spoken = Spoken(units)
    longest = point.pipe_to_meter_mm + max(pipe.length_mm for pipe in pipes)
    load = point.other_load_w + sum(pipe.stub.appliance_w for pipe in pipes)
    readings: list[GasReading] = []
    found: list[Finding] = []
    for pipe in pipes:
        reading, stop = _sized(pipe.stub, longest, load, spoken)
        reading = _with_pressure(reading, pipe.stub, point)
        readings.append(reading)
        found += [*stop, _clearance(pipe.stub), _fitter(pipe.stub, reading, spoken)]
    return tuple(readings), tuple(found)


def pressure_drop_kpa(size: str, length_mm: float, load_w: float, gas: str) -> float:
    """Give the pressure lost along a pipe at full load.

    Parameters
    ----------
    size : str
        Nominal pipe size: ``3/4 in``.
    length_mm : float
        Of pipe, fittings not counted. [mm]
    load_w : float
        Appliance input on it. [W]
    gas : str
        ``natural gas`` or ``propane``.

    Returns
    -------
    drop_kpa : float
        [kPa]

    Raises
    ------
    KeyError
        When there is no such size or gas.

    Notes
    -----
    D = Q^0.381 / [19.17 (ΔH / (Cr L))^0.206], solved for ΔH; D in inches, Q in ft3/h, L in feet, ΔH in
    inches of water; Cr 0.6094 natural gas, 1.2462 propane. Holds below 1.5 psi (10 kPa).

    Examples
    --------
    >>> round(pressure_drop_kpa("1/2 in", 13716.0, 17584.0, "natural gas") / 0.24908891, 2)
    0.32

    References
    ----------
    NFPA 54 / IFGC low-pressure equation; constants from memory, confirmed against the tables.
    """
    heating_btu_ft3, constant = GAS[gas]
    flow_ft3_h = load_w / W_PER_BTU_H / heating_btu_ft3
    share = flow_ft3_h**0.381 / (19.17 * INSIDE_IN[size])
    return float(constant * length_mm / MM_PER_FT * share ** (1 / 0.206) * KPA_PER_IN_WATER)


def _with_pressure(reading: GasReading, stub: GasStub, point: GasPoint) -> GasReading:
    """Give a reading with the pressure lost and left."""
    drop = pressure_drop_kpa(reading.size, reading.longest_mm, reading.load_w, stub.gas)
    left = None if point.pressure_kpa is None else point.pressure_kpa - drop
    return replace(reading, drop_kpa=drop, left_kpa=left)


def _sized(
    stub: GasStub, longest_mm: float, load_w: float, spoken: Spoken
) -> tuple[GasReading, list[Finding]]:
    """Give the smallest size that carries the load over the longest length."""
    sizes = gas_pipe_sizes()
    capacity = 0.0
    for size in sizes:
        capacity = capacity_w(size, longest_mm, stub.gas) or 0.0
        if capacity >= load_w - 1e-6:
            return GasReading(stub.id, size, longest_mm, load_w, capacity), []
    place = (stub.x_mm, stub.y_mm)
    reach = longest_length_mm(stub.gas)
    if longest_mm > reach:
        text = (
            f"{stub.id} lies {spoken.way(longest_mm)} of pipe from the meter; the table for {stub.gas} "
            f"ends at {spoken.way(reach)}. A licensed gas fitter must size it."
        )
        stop = Finding("roughin.gas-length", "stop", stub.id, text, longest_mm, reach, "mm", METHOD, place)
    else:
        text = (
            f"{stub.id} needs a pipe for {spoken.heat(load_w)} over {spoken.way(longest_mm)}; the "
            f"largest size in the table, {sizes[-1]}, carries {spoken.heat(capacity)}. A "
            "licensed gas fitter must size it."
        )
        stop = Finding("roughin.gas-size", "stop", stub.id, text, load_w, capacity, "W", METHOD, place)
    return GasReading(stub.id, sizes[-1], longest_mm, load_w, capacity), [stop]


def _fitter(stub: GasStub, reading: GasReading, spoken: Spoken) -> Finding:
    """Say who decides."""
    left = (
        "the pressure at the meter is not known"
        if reading.left_kpa is None
        else f"{spoken.pressure(reading.left_kpa)} is left"
    )
    text = (
        f"Gas for {stub.id}: route only, {reading.size} to be confirmed ({spoken.heat(reading.load_w)} "
        f"on {spoken.way(reading.longest_mm)} from the meter, fittings not counted; about "
        f"{spoken.pressure(reading.drop_kpa)} is lost on the way, {left}). A licensed gas "
        "fitter sizes, lays, tests and connects it under the local code."
    )
    return Finding("roughin.gas-fitter", "check", stub.id, text, source=METHOD, at_mm=(stub.x_mm, stub.y_mm))


def _clearance(stub: GasStub) -> Finding:
    """Say what an appliance that burns keeps clear of."""
    text = (
        f"The appliance at {stub.id} burns gas: keep boards, cladding, planters, plants and all overhead "
        "as far from it as its maker and the fire code ask, and leave its shut-off within reach. Nothing "
        "here is held against those distances."
    )
    place = (stub.x_mm, stub.y_mm)
    source = "the maker's sheet and the local fire code"
    return Finding("roughin.gas-clearance", "check", stub.id, text, source=source, at_mm=place)
