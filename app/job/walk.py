"""A walk round a roof, as called out: "24' 6 east, 3' south, ..."; where it ends, and how to close it."""

import math
import re
from dataclasses import dataclass

from app.job.errors import InputError, InputErrors
from app.measure.lengths import read_mm
from app.measure.services import read_deg

Spot = tuple[float, float]

WANTED = "A length and a way are wanted, such as 24' 6 east, 7.3 m n, 3' left or 4 m at 30°."
# Anticlockwise from the x axis of the sheet; north is up the sheet, whatever the north arrow says.
_WAYS_DEG = {
    **dict.fromkeys(("e", "east", "right"), 0.0),
    **dict.fromkeys(("ne", "north-east", "northeast"), 45.0),
    **dict.fromkeys(("n", "north", "up"), 90.0),
    **dict.fromkeys(("nw", "north-west", "northwest"), 135.0),
    **dict.fromkeys(("w", "west", "left"), 180.0),
    **dict.fromkeys(("sw", "south-west", "southwest"), 225.0),
    **dict.fromkeys(("s", "south", "down"), 270.0),
    **dict.fromkeys(("se", "south-east", "southeast"), 315.0),
}
_BEARING = re.compile(r"([ns])\s*(\d[\d.]*)\s*°?\s*([ew])", re.IGNORECASE)
_AT = re.compile(r"(.+?)\s+at\s+(.+)", re.IGNORECASE)
_MOST_LEGS = 200
_CLOSED_MM = 0.5  # nearer than this the walk is back where it began: half of what a tape shows


@dataclass(frozen=True, slots=True)
class Walk:
    """A walk as it was called out.

    Attributes
    ----------
    corners_mm : tuple of (float, float)
        Where each leg began, and where the last one ended. [mm]
    legs_mm : tuple of float
        Length of each leg. [mm]
    error_mm : tuple of float
        From the start to where the walk ended: x and y. [mm]
    closing_mm : float
        Distance between the two. [mm]
    """

    corners_mm: tuple[Spot, ...]
    legs_mm: tuple[float, ...]
    error_mm: Spot
    closing_mm: float

    @property
    def is_closed(self) -> bool:
        """Tell whether the walk came back to where it began, as near as a tape can show."""
        return self.closing_mm < _CLOSED_MM


def read_walk(text: str, start_mm: Spot = (0.0, 0.0)) -> Walk:
    """Read a walk called out leg by leg.

    Parameters
    ----------
    text : str
        Legs parted by commas, semicolons or new lines; each a length and a way on the sheet: east is to
        the right and north is up, or a quadrant bearing (``4 m N 30 E``), or an angle from the x axis
        (``4 m at 30°``).
    start_mm : tuple of float
        Where it begins. [mm]

    Returns
    -------
    walk : Walk

    Raises
    ------
    InputErrors
        Every leg that cannot be read, with its number.

    Examples
    --------
    >>> read_walk("9 m east, 4 m n, 9 m west, 4 m s").is_closed
    True
    >>> round(read_walk("24' 6 east, 3' south").corners_mm[-1][0], 1)
    7467.6

    References
    ----------
    Definition.
    """
    written = [leg.strip() for leg in re.split(r"[,;\n]+", text) if leg.strip()]
    if not 2 <= len(written) <= _MOST_LEGS:
        wanted = f"From 2 to {_MOST_LEGS} legs are wanted, parted by commas; there are {len(written)}."
        raise InputErrors((InputError("walk", text[:80], wanted),))
    legs: list[tuple[float, float]] = []
    faults: list[InputError] = []
    for number, leg in enumerate(written, 1):
        try:
            legs.append(_leg(leg))
        except InputError as fault:
            faults.append(InputError(f"walk[{number - 1}]", leg, f"Leg {number}, {leg}: {fault.wanted}"))
    if faults:
        raise InputErrors(tuple(faults))
    return _walked(legs, start_mm)


def spread_error(walk: Walk) -> tuple[Spot, ...]:
    """Give the corners of a walk with its closing error spread over its legs by their lengths.

    Parameters
    ----------
    walk : Walk
        That does not quite close.

    Returns
    -------
    corners_mm : tuple of (float, float)
        Of the closed outline; the first stays where it is. [mm]

    Notes
    -----
    Each leg takes the share of the error that its length has of the whole way: Bowditch's (compass) rule,
    dx_i = -e_x l_i / sum(l), and so for y. It holds for errors that grow by chance along the way; a leg
    left out or called in the wrong direction is not mended by it.

    Examples
    --------
    >>> spread_error(read_walk("9 m e, 4 m n, 9.04 m w, 4 m s"))[1]
    (9013.8, 0.0)

    References
    ----------
    N. Bowditch's compass rule, as in any surveying text; checked in tests/checks/bowditch_traverse.py.
    """
    whole = sum(walk.legs_mm)
    gone = 0.0
    corners: list[Spot] = []
    for corner, leg in zip(walk.corners_mm, (*walk.legs_mm, 0.0), strict=True):
        share = gone / whole
        corners.append((corner[0] - walk.error_mm[0] * share, corner[1] - walk.error_mm[1] * share))
        gone += leg
    return tuple((round(x, 1), round(y, 1)) for x, y in corners[:-1])


def _walked(legs: list[tuple[float, float]], start_mm: Spot) -> Walk:
    """Go the legs one after the other."""
    x, y = start_mm
    corners = [start_mm]
    for length, way in legs:
        x += length * _near(math.cos(math.radians(way)))
        y += length * _near(math.sin(math.radians(way)))
        corners.append((x, y))
    error = (x - start_mm[0], y - start_mm[1])
    return Walk(tuple(corners), tuple(length for length, _ in legs), error, math.hypot(*error))


def _near(share: float) -> float:
    """Take the last rounding away from a cosine, so that east is due east."""
    return round(share, 15)


def _leg(text: str) -> tuple[float, float]:
    """Read one leg: its length and its way."""
    at = _AT.fullmatch(text)
    if at:
        return _length(at.group(1)), read_deg(at.group(2))
    bearing = _BEARING.search(text)
    if bearing and bearing.end() == len(text):
        return _length(text[: bearing.start()]), _bearing_deg(*bearing.groups())
    length, _, way = text.rpartition(" ")
    if not length:  # 7m e may be written 7me; a way of letters only stands at the end
        found = re.fullmatch(r"(.*?\d.*?)([A-Za-z-]+)", text)
        length, way = found.groups() if found else (text, "")
    if way.lower() not in _WAYS_DEG:
        raise InputError("", text, f"{way or text} is not a way. {WANTED}")
    return _length(length), _WAYS_DEG[way.lower()]


def _length(text: str) -> float:
    length = read_mm(text.strip())
    if length <= 0:
        raise InputError("", text, f"{text.strip()} is no way to go; a leg is longer than 0.")
    return length


def _bearing_deg(pole: str, turned: str, side: str) -> float:
    """Turn N 30 E into an angle anticlockwise from the x axis."""
    angle = float(turned)
    if angle > 90:
        raise InputError("", turned, f"A bearing turns by 0 to 90° from north or south, not by {turned}°.")
    from_east = 90 - angle if pole.lower() == "n" else -(90 - angle)
    return from_east if side.lower() == "e" else 180 - from_east
