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
    level_mm : float
        Top of the boards beside it, above datum; an edge beside two levels is read twice. [mm]
    fields : tuple of str
        The deck fields beside it at that level.
    """

    edge: str
    remaining_mm: float
    needed_mm: float
    level_mm: float = 0.0
    fields: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FieldLevel:
    """How high one deck field lies.

    Attributes
    ----------
    field : str
        Id of the deck field.
    level_mm : float
        Top of its boards above datum. [mm]
    lowest_mm : float
        Highest roof point under it plus the least build-up there. [mm]
    """

    field: str
    level_mm: float
    lowest_mm: float


@dataclass(frozen=True, slots=True)
class LevelStep:
    """Where two deck fields side by side lie at different levels.

    Attributes
    ----------
    lower, upper : str
        Ids of the two fields.
    height_mm : float
        From the one to the other. [mm]
    length_mm : float
        How far they lie side by side. [mm]
    x_mm, y_mm : float
        Middle of that line. [mm]
    """

    lower: str
    upper: str
    height_mm: float
    length_mm: float
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class ZoneReading:
    """The surface of one zone of the roof.

    Attributes
    ----------
    zone : str
        Its id; empty for the roof round the zones.
    method : str
        ``plane`` or ``triangulated``.
    residual_mm, plane_residual_mm : float
        Largest distance of a spot height from the surface used, and from the best plane. [mm]
    fall_pct, fall_deg : float
        Steepness of its best plane and where that runs. [%], [deg]
    step_mm : float
        Greatest difference in height to the roof beside it; above zero: the zone is higher. [mm]
    """

    zone: str
    method: Literal["plane", "triangulated"]
    residual_mm: float
    plane_residual_mm: float
    fall_pct: float
    fall_deg: float
    step_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class FlowArrow:
    """Which way water runs at one place.

    Attributes
    ----------
    x_mm, y_mm : float
        Where. [mm]
    direction_deg : float
        Anticlockwise from the x axis. [deg]
    fall_pct : float
        Steepness there. [%]
    """

    x_mm: float
    y_mm: float
    direction_deg: float
    fall_pct: float


@dataclass(frozen=True, slots=True)
class Catchment:
    """What one outlet takes.

    Attributes
    ----------
    outlet : str
        Id of the drain, or of the edge over which water runs off.
    area_m2 : float
        Area on plan that sheds to it. [m2]
    """

    outlet: str
    area_m2: float


@dataclass(frozen=True, slots=True)
class Pond:
    """Where water would stand on the bare membrane.

    Attributes
    ----------
    x_mm, y_mm : float
        Its deepest place. [mm]
    depth_mm : float
        There. [mm]
    area_m2 : float
        On plan. [m2]
    volume_m3 : float
        Water in it. [m3]
    outlet : str
        Where it runs over to.
    """

    x_mm: float
    y_mm: float
    depth_mm: float
    area_m2: float
    volume_m3: float
    outlet: str


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
    levels : tuple of FieldLevel
        One for each deck field, in the order of the plan.
    steps : tuple of LevelStep
        Between deck fields side by side.
    zones : tuple of ZoneReading
        The roof round the zones first; empty when the survey draws none.
    mean_fall_pct : float
        Steepness of the membrane, averaged by area. [%]
    flat_share_pct : float
        Share of its area that falls less than the limit of the job. [%]
    arrows : tuple of FlowArrow
        Empty for a roof of one plane.
    catchments : tuple of Catchment
    ponds : tuple of Pond
        Deepest first.
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
    levels: tuple[FieldLevel, ...] = ()
    steps: tuple[LevelStep, ...] = ()
    zones: tuple[ZoneReading, ...] = ()
    mean_fall_pct: float = 0.0
    flat_share_pct: float = 0.0
    arrows: tuple[FlowArrow, ...] = ()
    catchments: tuple[Catchment, ...] = ()
    ponds: tuple[Pond, ...] = ()

    def level_of(self, field: str) -> float:
        """Give the top of a deck field's boards above datum."""
        own = next((level.level_mm for level in self.levels if level.field == field), None)
        if own is not None:
            return own
        if self.level is None:
            raise LookupError(f"{field} has no level: no deck is drawn")
        return self.level.chosen_mm
