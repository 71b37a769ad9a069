"""What the totals room gives: quantities, the cut plan, loads by place and the carry."""

from dataclasses import dataclass
from typing import Literal

from app.job.findings import Assumption, Finding


@dataclass(frozen=True, slots=True)
class PlaceAmount:
    """The part of a quantity that belongs to one place.

    Attributes
    ----------
    place : str
        Id in the job file.
    amount : float
        In the quantity's unit.
    """

    place: str
    amount: float


@dataclass(frozen=True, slots=True)
class Quantity:
    """How much there is of one thing, and why.

    Attributes
    ----------
    basis : str
        What is measured, from the fixed list in `bases`: ``deck.area``, ``stock.pieces`` …
    item : str
        Item of the price list it is bought as; empty when it is not bought (an area, a count of cuts).
    amount : float
        Net amount in `unit`.
    unit : str
        ``m2``, ``m``, ``m3``, ``kg``, ``each``.
    places : tuple of PlaceAmount
        Where it comes from; they sum to the amount.
    why : str
        The formula with its numbers, in one line: "26 courses × 3 sleepers × 2 screws".
    formula : str
        The rule in words, the same for every job.
    inputs : tuple of (str, str)
        What went in beside the shares by place: name, and value with its unit.
    """

    basis: str
    item: str
    amount: float
    unit: Literal["m2", "m", "m3", "kg", "each"]
    places: tuple[PlaceAmount, ...]
    why: str
    formula: str = ""
    inputs: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class CutStick:
    """One stock length and what is cut from it, in order.

    Attributes
    ----------
    item : str
        Stock item bought.
    stock_mm : float
        Its length. [mm]
    pieces : tuple of (str, float)
        Piece or stick id and length, in cutting order. [mm]
    left_mm : float
        What is left. [mm]
    beside : tuple of (str, str, float)
        Narrow pieces ripped from beside another one of the same length of board: its id, the id of the
        piece in `pieces` it lies beside, its length. [mm]
    offcut : str
        Label of the kept offcut it is cut from, and then there is no item; empty when it is bought.
    """

    item: str
    stock_mm: float
    pieces: tuple[tuple[str, float], ...]
    left_mm: float
    beside: tuple[tuple[str, str, float], ...] = ()
    offcut: str = ""


@dataclass(frozen=True, slots=True)
class Bought:
    """How many of one stock length are cut and bought.

    Attributes
    ----------
    item : str
        In the price list.
    stock_mm : float
        Its length. [mm]
    cut : int
        Sticks that are cut.
    bought : int
        Sticks in whole packs.
    """

    item: str
    stock_mm: float
    cut: int
    bought: int


@dataclass(frozen=True, slots=True)
class Offcut:
    """A length worth keeping for the next job, as its job file lists it.

    Attributes
    ----------
    profile : str
        Board or section id.
    length_mm : float
        What is left. [mm]
    label : str
        Profile and number of the board it comes from.
    """

    profile: str
    length_mm: float
    label: str


@dataclass(frozen=True, slots=True)
class CutPlan:
    """The cutting of one profile over the whole job.

    Attributes
    ----------
    profile : str
        Board or section id.
    sticks : tuple of CutStick
    cost : float
        Total in the prices given (length in metres where none were given), recomputed from the cuts.
    bound : float
        No plan can cost less.
    gap_pct : float
        Cost over bound. [%]
    method : str
        How it was found, in words.
    is_priced : bool
        Whether prices were given for every length.
    bought : tuple of Bought
        By stock length, in the order of the choices.
    offcuts : tuple of Offcut
        Left over and worth keeping, whole boards of an opened pack too.
    ends : tuple of (str, str)
        Mitred pieces and how their ends are cut, seen on the face side.
    is_cut_below : bool
        Whether no length of it gets up whole, so that it is cut on the ground and carried up in pieces.
    """

    profile: str
    sticks: tuple[CutStick, ...]
    cost: float
    bound: float
    gap_pct: float
    method: str
    is_priced: bool
    bought: tuple[Bought, ...] = ()
    offcuts: tuple[Offcut, ...] = ()
    ends: tuple[tuple[str, str], ...] = ()
    is_cut_below: bool = False


@dataclass(frozen=True, slots=True)
class LoadSpot:
    """The dead load of one place.

    Attributes
    ----------
    place : str
        Id in the job file.
    label : str
        What it is.
    area_m2 : float
        Area it stands on. [m2]
    mass_kg : float
        Saturated, wet, all in. [kg]
    dead_kpa : float
        Over that area. [kPa]
    allowable_kpa : float or None
        The engineer's figure; None when not given. [kPa]
    parts : tuple of (str, float)
        What makes it up: label and share. [kPa]
    allowed_by : str
        Id of the area whose figure holds here; empty for the whole roof's.
    """

    place: str
    label: str
    area_m2: float
    mass_kg: float
    dead_kpa: float
    allowable_kpa: float | None
    parts: tuple[tuple[str, float], ...]
    allowed_by: str = ""


@dataclass(frozen=True, slots=True)
class LoadCell:
    """The dead load of one square of the roof.

    Attributes
    ----------
    x_mm, y_mm : float
        Its middle. [mm]
    area_m2 : float
        What of it is roof, or stands beyond its edge. [m2]
    dead_kpa : float
        Everything that stays, saturated and wet, over that area. [kPa]
    allowable_kpa : float or None
        The least figure given there; None when none is. [kPa]
    parts : tuple of (str, float)
        Place and its share, greatest first. [kPa]
    """

    x_mm: float
    y_mm: float
    area_m2: float
    dead_kpa: float
    allowable_kpa: float | None
    parts: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class PointLoad:
    """One leg or corner that stands on the roof or deck.

    Attributes
    ----------
    place : str
        Id in the job file.
    x_mm, y_mm : float
        Where. [mm]
    dead_kn : float
        Its share, all legs alike. [kN]
    allowable_kn : float or None
        The engineer's figure; None when not given. [kN]
    """

    place: str
    x_mm: float
    y_mm: float
    dead_kn: float
    allowable_kn: float | None


@dataclass(frozen=True, slots=True)
class WeatherLoad:
    """What snow or wind comes to by a named edition; shown, never marked.

    Attributes
    ----------
    kind : str
        ``snow`` or ``wind``.
    kpa : float
        Roof snow load, or velocity pressure at roof height. [kPa]
    why : str
        The formula with its numbers.
    source : str
        Edition, and where the given value comes from.
    """

    kind: Literal["snow", "wind"]
    kpa: float
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class LoadMap:
    """The dead load over the whole roof.

    Attributes
    ----------
    cell_mm : float
        Side of a square. [mm]
    cells : tuple of LoadCell
        Squares that bear something, row by row from the bottom.
    points : tuple of PointLoad
    worst : LoadCell or None
        The square nearest its figure, or the heaviest when no figure is given.
    weather : tuple of WeatherLoad
    """

    cell_mm: float
    cells: tuple[LoadCell, ...] = ()
    points: tuple[PointLoad, ...] = ()
    worst: LoadCell | None = None
    weather: tuple[WeatherLoad, ...] = ()


@dataclass(frozen=True, slots=True)
class Carry:
    """Getting it all up.

    Attributes
    ----------
    mass_kg : float
        Everything that goes up. [kg]
    longest_mm : float
        Longest piece that goes up. [mm]
    trips : int
        Trips by mass and by handling.
    hours_h : float
        Crew hours, all people on it together. [h]
    items : tuple of (str, float, int)
        Item or material, mass [kg] and trips.
    longest : tuple of (str, float)
        Item and its longest piece, where it has a length. [mm]
    small_goods : tuple of (str, float)
        What the small goods are: item and mass. [kg]
    cut_below : tuple of str
        Items bought longer than the way up: cut on the ground, carried up piece by piece.
    """

    mass_kg: float
    longest_mm: float
    trips: int
    hours_h: float
    items: tuple[tuple[str, float, int], ...]
    longest: tuple[tuple[str, float], ...] = ()
    small_goods: tuple[tuple[str, float], ...] = ()
    cut_below: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Totals:
    """Everything to bring.

    Attributes
    ----------
    quantities : tuple of Quantity
    cut_plans : tuple of CutPlan
    loads : tuple of LoadSpot
    dead_kg : float
        Mass of everything that stays. [kg]
    carry : Carry
    findings : tuple of Finding
    assumptions : tuple of Assumption
    load_map : LoadMap
        Dead load on a grid, points, snow and wind.
    """

    quantities: tuple[Quantity, ...]
    cut_plans: tuple[CutPlan, ...]
    loads: tuple[LoadSpot, ...]
    dead_kg: float
    carry: Carry
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
    load_map: LoadMap = LoadMap(cell_mm=300.0)
