"""The gas stub: a route and a size to be confirmed by a licensed gas fitter."""

from dataclasses import dataclass

from app.job.findings import Finding
from app.job.plan import GasStub
from app.job.survey import GasPoint
from app.tables.gas import capacity_w, gas_pipe_sizes, longest_length_mm
from app.takeoff.roughin.records import GasReading

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
    point: GasPoint, pipes: tuple[Pipe, ...]
) -> tuple[tuple[GasReading, ...], tuple[Finding, ...]]:
    """Give the size, to be confirmed, of every stub on one gas point.

    Parameters
    ----------
    point : GasPoint
        With the length to the meter and what the pipe already feeds.
    pipes : tuple of Pipe
        All new stubs on it.

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
    longest = point.pipe_to_meter_mm + max(pipe.length_mm for pipe in pipes)
    load = point.other_load_w + sum(pipe.stub.appliance_w for pipe in pipes)
    readings: list[GasReading] = []
    found: list[Finding] = []
    for pipe in pipes:
        reading, stop = _sized(pipe.stub, longest, load)
        readings.append(reading)
        found += [*stop, _fitter(pipe.stub, reading)]
    return tuple(readings), tuple(found)


def _sized(stub: GasStub, longest_mm: float, load_w: float) -> tuple[GasReading, list[Finding]]:
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
            f"{stub.id} lies {longest_mm / 1000:.1f} m of pipe from the meter; the table for {stub.gas} "
            "ends at "
            f"{reach / 1000:.1f} m. A licensed gas fitter must size it."
        )
        stop = Finding("roughin.gas-length", "stop", stub.id, text, longest_mm, reach, "mm", METHOD, place)
    else:
        text = (
            f"{stub.id} needs a pipe for {load_w / 1000:.1f} kW over {longest_mm / 1000:.1f} m; the "
            "largest size in "
            f"the table, {sizes[-1]}, carries {capacity / 1000:.1f} kW. A licensed gas fitter must size it."
        )
        stop = Finding("roughin.gas-size", "stop", stub.id, text, load_w, capacity, "W", METHOD, place)
    return GasReading(stub.id, sizes[-1], longest_mm, load_w, capacity), [stop]


def _fitter(stub: GasStub, reading: GasReading) -> Finding:
    """Say who decides."""
    text = (
        f"Gas for {stub.id}: route only, {reading.size} to be confirmed ({reading.load_w / 1000:.1f} kW on "
        f"{reading.longest_mm / 1000:.1f} m from the meter, fittings not counted). A licensed gas fitter "
        "sizes, "
        "lays, tests and connects it under the local code."
    )
    return Finding("roughin.gas-fitter", "check", stub.id, text, source=METHOD, at_mm=(stub.x_mm, stub.y_mm))
