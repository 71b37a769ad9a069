"""Words beside things without writing over each other; where there is no room beside, a thin line leads."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.drawings.canvas import HAIR_MM, SMALL_MM, Canvas, Pen, Spot, Written

LETTER = 0.44  # of the height, the width of a letter of the narrow face on average
FAR = (2.2, 2.8, 3.4, 5.0, 6.0, 7.0, 8.25, 9.5, 11.0, 12.5, 14.25, 16.0, 18.0, 20.5)  # on paper [mm]
DIRECTIONS = 16
LEADS_MM = 4.0  # from here on a line leads from the words to the thing
CLEAR_MM = (0.4, 0.3)  # round words, beside and above: what hangs under the line is in it
# What it is worth, in millimetres of way off the thing, to hide a square millimetre of each; common practice.
OVER_WORDS, OVER_THINGS, OVER_LINES, LED_OVER = 1e6, 1e4, 2.0, 8.0
POINTS_OF_LEAD = 24
Room = tuple[float, float, float, float]  # least x and y, greatest x and y
Rooms = NDArray[np.float64]  # one row each


@dataclass(frozen=True, slots=True)
class Label:
    """Words that belong to a spot on plan.

    Attributes
    ----------
    words : str
    at : Spot
        What they name.
    height_mm : float
        Of the letters, on paper. [mm]
    """

    words: str
    at: Spot
    height_mm: float = SMALL_MM


def room_of(canvas: Canvas, written: Written) -> Room:
    """Give the room that words take on the plan, a little clear all round.

    Parameters
    ----------
    canvas : Canvas
        Gives the scale.
    written : Written
        Words with their place.

    Returns
    -------
    room : Room
        Of words that lie askew, the room round them.

    References
    ----------
    Definition.
    """
    half = canvas.paper_mm(written.height_mm * LETTER * len(written.words) / 2 + CLEAR_MM[0])
    high = canvas.paper_mm(written.height_mm / 2 + CLEAR_MM[1])
    turn = math.radians(written.turn_deg)
    cosine, sine = abs(math.cos(turn)), abs(math.sin(turn))
    wide, tall = half * cosine + high * sine, half * sine + high * cosine
    aside = {"start": half, "end": -half}.get(written.anchor, 0.0)
    x = written.at[0] + aside * math.cos(turn)
    y = written.at[1] + aside * math.sin(turn)
    return (x - wide, y - tall, x + wide, y + tall)


def overlaps_mm2(tried: Rooms, others: Rooms) -> Rooms:
    """Give how much of what is there already each of some rooms would hide.

    Parameters
    ----------
    tried, others : array
        Rooms, one row (least x and y, greatest x and y) each. [mm]

    Returns
    -------
    overlaps_mm2 : array
        On plan, one row for each room tried. [mm2]

    Examples
    --------
    >>> overlaps_mm2(np.array([[0.0, 0, 2, 2]]), np.array([[1.0, 1, 3, 3], [5, 5, 6, 6]]))
    array([[1., 0.]])

    References
    ----------
    Definition.
    """
    low = np.maximum(tried[:, None, :2], others[None, :, :2])
    high = np.minimum(tried[:, None, 2:], others[None, :, 2:])
    found: Rooms = np.clip(high - low, 0.0, None).prod(axis=2)
    return found


def write_labels(
    canvas: Canvas, labels: Sequence[Label], things: Sequence[Room], lines: Sequence[Room] = ()
) -> None:
    """Write labels one after the other, each where it hides least and lies nearest.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in; what is written there already is not written over.
    labels : sequence of Label
        The first has the first choice.
    things : sequence of Room
        Symbols, which must not be written over.
    lines : sequence of Room
        What is better not written over.

    Notes
    -----
    Sixteen directions and fourteen distances are tried for each, always in the same order. Words over words
    cost most, then words over things, leading lines through either, words over lines, and the distance.

    References
    ----------
    Common practice, no source.
    """
    fixed, kept = _rows(things), list(lines)
    for label in labels:
        words = _rows([room_of(canvas, one) for one in canvas.written])
        middle, far = _places(canvas, label)
        hides = OVER_WORDS * _outside_mm2(_rooms(canvas, label, middle), canvas.box_mm)
        for worth, others in ((OVER_WORDS, words), (OVER_THINGS, fixed), (OVER_LINES, _rows(kept))):
            hides += worth * overlaps_mm2(_rooms(canvas, label, middle), others).sum(axis=1)
        met = _clear_of(np.concatenate([words, fixed]), label.at)
        place, lead = _best(canvas, label, (middle, far, hides / canvas.scale**2 + far), met)
        if len(lead):
            canvas.line((label.at, _spot(lead[-1])), "leader", Pen(HAIR_MM))
            kept += [(x, y, x, y) for x, y in lead.tolist()]
        canvas.text(place, label.words, label.height_mm)


def _best(
    canvas: Canvas, label: Label, places: tuple[Rooms, Rooms, Rooms], others: Rooms
) -> tuple[Spot, Rooms]:
    """Give the place that costs least, its leading line and all, and points along that line."""
    middle, far, cost = places
    best, least, kept = 0, math.inf, np.zeros((0, 2))
    for number in np.argsort(np.round(cost, 3), kind="stable").tolist():
        if cost[number] >= least:
            break
        lead = np.zeros((0, 2))
        if far[number] >= LEADS_MM:
            lead = _lead(label.at, _rooms(canvas, label, middle[number : number + 1])[0])
        whole = float(cost[number]) + LED_OVER * _met(lead, others)
        if whole < least:
            best, least, kept = number, whole, lead
    return _spot(middle[best]), kept


def _spot(row: Rooms) -> Spot:
    """Give a row as a spot."""
    return float(row[0]), float(row[1])


def _rows(rooms: Sequence[Room]) -> Rooms:
    """Give rooms as rows."""
    return np.array(rooms, dtype=np.float64).reshape(-1, 4)


def _rooms(canvas: Canvas, label: Label, middle: Rooms) -> Rooms:
    """Give the rooms of a label with its middle at some places."""
    own = np.array(room_of(canvas, Written((0.0, 0.0), label.words, label.height_mm, "middle", 0.0)))
    rooms: Rooms = np.concatenate([middle, middle], axis=1) + own
    return rooms


def _places(canvas: Canvas, label: Label) -> tuple[Rooms, Rooms]:
    """Give where the middle of words may stand, and how far off on paper; the nearest first."""
    far = np.repeat(FAR, DIRECTIONS)
    # Right first, then by turns above and below it.
    steps = np.array([n // 2 if n % 2 == 0 else -(n + 1) // 2 for n in range(DIRECTIONS)])
    turn = np.tile(steps * 2 * math.pi / DIRECTIONS, len(FAR))
    half = label.height_mm * LETTER * len(label.words) / 2
    cosine, sine = np.cos(turn), np.sin(turn)
    aside = np.clip(np.round(cosine * 1.3, 0), -1, 1) * half
    x = label.at[0] + canvas.scale * (far * cosine + aside)
    y = label.at[1] + canvas.scale * far * sine
    return np.column_stack([x, y]), far


def _outside_mm2(rooms: Rooms, box: Room) -> Rooms:
    """Give how much of each room lies off the sheet."""
    whole = (rooms[:, 2:] - rooms[:, :2]).prod(axis=1)
    found: Rooms = whole - overlaps_mm2(rooms, _rows([box]))[:, 0]
    return found


def _lead(at: Spot, room: Rooms) -> Rooms:
    """Give points along the line from a thing to a room, the edge of the room last."""
    end = np.clip(np.array(at), room[:2], room[2:])
    share = np.linspace(0.0, 1.0, POINTS_OF_LEAD + 1)[1:, None]
    found: Rooms = np.array(at) + share * (end - np.array(at))
    return found


def _clear_of(rooms: Rooms, at: Spot) -> Rooms:
    """Give the rooms that a leading line keeps clear of: all but that of the thing itself."""
    own = (rooms[:, 0] <= at[0]) & (at[0] <= rooms[:, 2]) & (rooms[:, 1] <= at[1]) & (at[1] <= rooms[:, 3])
    others: Rooms = rooms[~own]
    return others


def _met(points: Rooms, rooms: Rooms) -> int:
    """Give how many rooms a leading line runs through."""
    inside = (points[:, None, :] > rooms[:, :2]) & (points[:, None, :] < rooms[:, 2:])
    return int(inside.all(axis=2).any(axis=0).sum())
