"""Cables for legs: which can be had, smallest first, and the runs and network they make."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from app.job.choices import Cable
from app.job.findings import Finding
from app.tables.conductors import resistance_ohm_km
from app.takeoff.roughin.legs import Leg
from app.takeoff.roughin.records import CircuitReading, Path, Run
from app.takeoff.roughin.trench import sticks_crossed
from app.takeoff.roughin.voltages import Segment, loop_resistance_ohm

Kind = Literal["lighting", "power", "sound", "gas"]
REFERENCE_C = 20.0  # sizes are put in order at one temperature


@dataclass(frozen=True, slots=True)
class Wired:
    """One circuit, feed or stub with its cable or pipe.

    Attributes
    ----------
    runs : tuple of Run
    turned_paths : tuple of Path
        Of the runs, in turned axes.
    reading : CircuitReading or None
        None for feeds, for gas and where no cable could be judged.
    findings : tuple of Finding
    """

    runs: tuple[Run, ...]
    turned_paths: tuple[Path, ...]
    reading: CircuitReading | None
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Hidden:
    """What every circuit needs to know of the site.

    Attributes
    ----------
    slack_mm : float
        Left at each end of a run. [mm]
    stick_lines_mm : array
        Centre lines of everything under the boards. [mm]
    cables : tuple of Cable
        All that can be had.
    stick_half_mm : array or None
        From each centre line to a run beside it. [mm]
    pads_mm : array or None
        Boxes of the pads in turned axes. [mm]
    """

    slack_mm: float
    stick_lines_mm: NDArray[np.float64]
    cables: tuple[Cable, ...]
    stick_half_mm: NDArray[np.float64] | None = None
    pads_mm: NDArray[np.float64] | None = None


def cables_to_try(
    cables: Sequence[Cable], use: str, typed: str | None, circuit: str
) -> tuple[tuple[Cable, ...], tuple[Finding, ...]]:
    """Give the cables to try for a circuit, smallest first; a typed one stands alone.

    Parameters
    ----------
    cables : sequence of Cable
        All that can be had.
    use : str
        ``lighting``, ``power`` or ``sound``.
    typed : str or None
        Id asked for in the plan.
    circuit : str
        Its id, for the finding.

    Returns
    -------
    tried : tuple of Cable
        Empty when there is none, with the finding that says so.
    findings : tuple of Finding

    References
    ----------
    Definition.
    """
    fitting = [cable for cable in cables if cable.use == use and typed in (None, cable.id)]
    if fitting:
        return tuple(sorted(fitting, key=lambda c: (-resistance_ohm_km(c.size, REFERENCE_C), c.id))), ()
    wanted = f"cable {typed} is not listed" if typed else "no cable is listed"
    text = f"{circuit} needs a cable for {use}, but {wanted} for that use among the choices."
    return (), (Finding(code="roughin.no-cable", grade="stop", place=circuit, text=text),)


def run_length_mm(leg: Leg, slack_mm: float) -> float:
    """Give the length to buy for one leg.

    Parameters
    ----------
    leg : Leg
        Where it runs.
    slack_mm : float
        Left at each end. [mm]

    Returns
    -------
    length_mm : float
        Level + drops + slack at both ends. [mm]

    References
    ----------
    Common practice, no source: slack at every joint.
    """
    return leg.level_mm + leg.drop_mm + 2 * slack_mm


def runs_of(
    name: str, kind: Kind, legs: Sequence[Leg], slack_mm: float, cable: str, size: str, site: Hidden
) -> tuple[Run, ...]:
    """Give the tagged runs of one circuit.

    Parameters
    ----------
    name : str
        Circuit, feed or stub.
    kind : str
        What runs in it.
    legs : sequence of Leg
        From the source outward.
    slack_mm : float
        Left at each end. [mm]
    cable : str
        Id of the cable; empty for gas.
    size : str
        As printed.
    site : Hidden
        Sticks to cross.

    Returns
    -------
    runs : tuple of Run
        Tagged ``name-01`` onward.

    References
    ----------
    Definition.
    """
    return tuple(
        Run(
            id=f"{name}-{number:02d}",
            circuit=name,
            kind=kind,
            from_id=leg.from_id,
            to_id=leg.to_id,
            path_mm=leg.path_mm,
            level_mm=leg.level_mm,
            drop_mm=leg.drop_mm,
            slack_mm=2 * slack_mm,
            length_mm=run_length_mm(leg, slack_mm),
            cable=cable,
            size=size,
            sticks_crossed=sticks_crossed(leg.path_mm, site.stick_lines_mm),
        )
        for number, leg in enumerate(legs, start=1)
    )


def segments_of(legs: Sequence[Leg], slack_mm: float, conductor_ohm_km: float) -> tuple[Segment, ...]:
    """Give the network of one circuit.

    Parameters
    ----------
    legs : sequence of Leg
        From the source outward.
    slack_mm : float
        Left at each end; its copper counts too. [mm]
    conductor_ohm_km : float
        Of one conductor. [ohm/km]

    Returns
    -------
    segments : tuple of Segment

    References
    ----------
    Definition.
    """
    return tuple(
        Segment(leg.from_id, leg.to_id, loop_resistance_ohm(run_length_mm(leg, slack_mm), conductor_ohm_km))
        for leg in legs
    )
