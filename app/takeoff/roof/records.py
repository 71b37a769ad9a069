"""What the roof room gives: the surface, its fall, the level of the deck, and what is left of the guards."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from app.job.findings import Assumption, Finding


@dataclass(frozen=True, slots=True)
class LevelWindow:
    """Where the top of the boards may lie, above datum.

    Attributes
    ----------
    lowest_mm : float
        Highest roof point under any deck field plus the least build-up there. [mm]
    highest_mm : float or None
        Lowest threshold less the step; None when no door opens onto a deck. [mm]
    chosen_mm : float
        Level taken. [mm]
    """

    lowest_mm: float
    highest_mm: float | None
    chosen_mm: float


@dataclass(frozen=True, slots=True)
class GuardReading:
    """What remains of one edge's guard above the finished deck.

    Attributes
    ----------
    edge : str
        Id of the roof edge.
    remaining_mm : float
        Least height of its top above the deck beside it. [mm]
    needed_mm : float
        Height it was held against. [mm]
    """

    edge: str
    remaining_mm: float
    needed_mm: float


@dataclass(frozen=True)
class RoofReading:
    """The roof as the engine sees it.

    Attributes
    ----------
    method : str
        ``plane`` or ``triangulated``.
    residual_mm : float
        Largest distance between a spot height and the surface. [mm]
    height_mm : callable
        Gives the height of the membrane above datum at a place. [mm]
    fall_pct : float
        Steepness of the best plane. [%]
    fall_deg : float
        Direction in which water runs, anticlockwise from the x axis. [deg]
    level : LevelWindow or None
        None when no deck is drawn.
    guards : tuple of GuardReading
    findings : tuple of Finding
    assumptions : tuple of Assumption
    """

    method: Literal["plane", "triangulated"]
    residual_mm: float
    height_mm: Callable[[float, float], float]
    fall_pct: float
    fall_deg: float
    level: LevelWindow | None
    guards: tuple[GuardReading, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
