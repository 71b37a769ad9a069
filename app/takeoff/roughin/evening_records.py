"""What the rough-in room says of an evening on the roof: light, energy, sound."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal


@dataclass(frozen=True, slots=True)
class WalkLight:
    """The light along one way after dark.

    Attributes
    ----------
    walk : str
        Way drawn, or ``door to seat``.
    least_lx, average_lx : float
        On the deck along it. [lx]
    darkest_mm : tuple of float
        Where it is least, on plan. [mm]
    """

    walk: str
    least_lx: float
    average_lx: float
    darkest_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class WallLight:
    """The light on one feature wall, on its brighter side.

    Attributes
    ----------
    wall : str
    average_lx, greatest_lx : float
        Upright on the wall. [lx]
    """

    wall: str
    average_lx: float
    greatest_lx: float


@dataclass(frozen=True, slots=True)
class Glare:
    """A lamp that shines into somebody's eyes.

    Attributes
    ----------
    fixture : str
        The lamp.
    eye : str
        Door or seat it is seen from.
    intensity_cd : float
        Toward that eye, in candela.
    distance_mm : float
        From the lamp to the eye. [mm]
    """

    fixture: str
    eye: str
    intensity_cd: float
    distance_mm: float


@dataclass(frozen=True, slots=True)
class Night:
    """The light after dark; nothing thrown back by surfaces is counted.

    Attributes
    ----------
    lamps : tuple of str
        Fixtures whose light is known.
    average_lx, least_lx, greatest_lx : float
        On the deck. [lx]
    walks : tuple of WalkLight
    walls : tuple of WallLight
    glare : tuple of Glare
    """

    lamps: tuple[str, ...]
    average_lx: float
    least_lx: float
    greatest_lx: float
    walks: tuple[WalkLight, ...]
    walls: tuple[WallLight, ...]
    glare: tuple[Glare, ...]


@dataclass(frozen=True, slots=True)
class Energy:
    """What the lights take in a year, from dusk to the hour they go out.

    Attributes
    ----------
    year : int
        That was reckoned: the year of the survey.
    lit_h : float
        All evenings together. [h]
    shortest_h, longest_h : float
        Of the evenings. [h]
    power_w : float
        Leaving the transformers, with what the cables lose. [W]
    energy_kwh : float
        In the year, at the low-voltage side.
    cost : Decimal or None
        None without a price of a kWh.
    """

    year: int
    lit_h: float
    shortest_h: float
    longest_h: float
    power_w: float
    energy_kwh: float
    cost: Decimal | None


@dataclass(frozen=True, slots=True)
class SoundLevel:
    """The level at one place with every speaker at full power.

    Attributes
    ----------
    place : str
        Seat or neighbour.
    kind : str
        ``seat``, ``window``, ``boundary`` or ``terrace``.
    free_db : float
        In free field, nothing in the way. [dB]
    level_db : float
        On a hard floor (3 dB more), behind the screens that stand in the way. [dB]
    screen_db : float
        What the screens take from the loudest speaker there. [dB]
    limit_db : float or None
        What it was held against; None at a seat. [dB]
    """

    place: str
    kind: Literal["seat", "window", "boundary", "terrace"]
    free_db: float
    level_db: float
    screen_db: float
    limit_db: float | None
