"""The conduit round the runs of a circuit, where one is wanted: the smallest that is not too full."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.job.choices import Cable, Conduit
from app.job.findings import Finding
from app.job.plan import Circuit
from app.tables.conduit import conduit_inside_mm2, conduit_source, fill_pct, most_fill_pct, wire_mm2

POWER_WIRES = 3  # line, neutral and ground
FILL_SOURCE = "NFPA 70 (NEC) Chapter 9 Tables 1, 4 and 5"


@dataclass(frozen=True, slots=True)
class Cased:
    """The conduit of one circuit.

    Attributes
    ----------
    size : str
        Trade size; empty when none is wanted or none fits.
    item : str
        Item to buy.
    fill_pct : float
        [%]
    """

    size: str = ""
    item: str = ""
    fill_pct: float = 0.0


def wires_mm2(circuit: Circuit, cable: Cable) -> tuple[float, ...]:
    """Give the areas of what lies in the conduit of a circuit.

    Parameters
    ----------
    circuit : Circuit
        A run of it.
    cable : Cable
        As chosen.

    Returns
    -------
    wires_mm2 : tuple of float
        One sheathed cable by its diameter; else, for power, three single wires of its size. Empty when
        neither is known. [mm2]

    References
    ----------
    NFPA 70 (NEC) Chapter 9, notes: a cable in one sheath counts as one wire, from memory.
    """
    if cable.outer_mm is not None:
        return (math.pi * cable.outer_mm**2 / 4,)
    area = wire_mm2(cable.size)
    return (area,) * POWER_WIRES if area is not None and circuit.kind == "power" else ()


def case_circuit(
    circuit: Circuit, cable: Cable, conduits: Sequence[Conduit]
) -> tuple[Cased, tuple[Finding, ...]]:
    """Give the conduit of a circuit.

    Parameters
    ----------
    circuit : Circuit
        As drawn, with the kind of conduit wanted.
    cable : Cable
        As chosen; every run of the circuit holds one.
    conduits : sequence of Conduit
        That can be had.

    Returns
    -------
    cased : Cased
        Empty when none is wanted or none fits.
    findings : tuple of Finding
        A stop past the end of the list; a check where the table is not seen or the wires are not known.

    References
    ----------
    NFPA 70 (NEC) Chapter 9 Tables 1, 4 and 5.
    """
    if circuit.conduit == "none":
        return Cased(), ()
    areas = wires_mm2(circuit, cable)
    name = circuit.id
    if not areas:
        text = (
            f"{name} is wanted in {circuit.conduit}, but the diameter of {cable.name} is not given and no "
            f"table here holds {cable.size}: how full the conduit gets is not known. Give the diameter over "
            "the sheath."
        )
        return Cased(), (Finding("roughin.conduit-unknown", "check", name, text, source=FILL_SOURCE),)
    listed = [c for c in conduits if c.kind == circuit.conduit]
    listed.sort(key=lambda c: (conduit_inside_mm2(c.kind, c.size), c.id))
    most = most_fill_pct(len(areas))
    for conduit in listed:
        full = fill_pct(areas, conduit_inside_mm2(conduit.kind, conduit.size))
        if full <= most + 1e-9:
            return Cased(conduit.size, conduit.item, full), _from_memory(name, conduit)
    need = 100 * sum(areas) / most
    largest = conduit_inside_mm2(listed[-1].kind, listed[-1].size) if listed else 0.0
    wires = "one wire" if len(areas) == 1 else f"{len(areas)} wires"
    end = f"the largest listed has {largest:.0f} mm²" if listed else "none of that kind is listed"
    text = (
        f"{name} needs {circuit.conduit} conduit of {need:.0f} mm² inside for {wires} at {most:g} %; "
        f"{end}. List a larger one."
    )
    return Cased(), (Finding("roughin.conduit-none", "stop", name, text, need, largest, "mm2", FILL_SOURCE),)


def _from_memory(name: str, conduit: Conduit) -> tuple[Finding, ...]:
    """Ask to look a size up where its row was not seen."""
    source = conduit_source(conduit.kind)
    if source.status != "memory":
        return ()
    text = (
        f"The inside of {conduit.kind} {conduit.size} round {name} is from memory: have a licensed "
        "electrician look it up in the edition that holds."
    )
    return (Finding("roughin.conduit-memory", "check", name, text, source=str(source)),)
