"""The legs of one circuit: runs before their cable is chosen."""

from dataclasses import dataclass

from app.takeoff.roughin.ends import End
from app.takeoff.roughin.records import Path


@dataclass(frozen=True, slots=True)
class Leg:
    """One run before its cable is chosen.

    Attributes
    ----------
    from_id, to_id : str
        Source, device or joint at each end.
    path_mm : tuple of corner
        On plan. [mm]
    turned_mm : tuple of corner
        The same in turned axes. [mm]
    level_mm : float
        Along the path. [mm]
    drop_mm : float
        Up and down at both ends. [mm]
    """

    from_id: str
    to_id: str
    path_mm: Path
    turned_mm: Path
    level_mm: float
    drop_mm: float


@dataclass(frozen=True, slots=True)
class Routed:
    """One circuit on the roof.

    Attributes
    ----------
    legs : tuple of Leg
        From the source outward.
    cut_off : tuple of End
        Devices no run can reach; the source itself when nothing can leave it.
    least_mm : float
        Below which nothing that keeps apart and clear of what is known can be, on the grid's own steps. [mm]
    """

    legs: tuple[Leg, ...]
    cut_off: tuple[End, ...]
    least_mm: float = 0.0


def level_mm(routed: Routed) -> float:
    """Give the length of all legs along the roof.

    Parameters
    ----------
    routed : Routed
        One circuit.

    Returns
    -------
    level_mm : float
        Without rises. [mm]

    References
    ----------
    Definition.
    """
    return sum(leg.level_mm for leg in routed.legs)
