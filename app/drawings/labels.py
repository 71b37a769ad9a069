"""Words beside things without writing over each other; where there is no room beside, a thin line leads."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.drawings.canvas import HAIR_MM, SMALL_MM, Canvas, Pen, Spot

LETTER = 0.44  # of the height, the width of a letter of the narrow face on average
FAR = (2.2, 3.4, 5.0, 7.0, 9.5, 12.5, 16.0)  # from the thing, on paper [mm]
LEADS_MM = 4.0  # from here on a line leads from the words to the thing
Room = tuple[float, float, float, float]  # least x and y, greatest x and y


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


def room_of(canvas: Canvas, label: Label, middle: Spot) -> Room:
    """Give the room that words take on the plan, a little clear all round.

    Parameters
    ----------
    canvas : Canvas
        Gives the scale.
    label : Label
        To write.
    middle : Spot
        Where its middle stands.

    Returns
    -------
    room : Room

    References
    ----------
    Definition.
    """
    half = canvas.paper_mm(label.height_mm * LETTER * len(label.words) / 2 + 0.4)
    high = canvas.paper_mm(label.height_mm / 2 + 0.2)
    return (middle[0] - half, middle[1] - high, middle[0] + half, middle[1] + high)


def overlap_mm2(room: Room, others: Sequence[Room]) -> float:
    """Give how much of what is there already a room would hide.

    Parameters
    ----------
    room : Room
        Tried.
    others : sequence of Room
        Taken.

    Returns
    -------
    overlap_mm2 : float
        On plan. [mm2]

    Examples
    --------
    >>> overlap_mm2((0, 0, 2, 2), [(1, 1, 3, 3), (5, 5, 6, 6)])
    1.0

    References
    ----------
    Definition.
    """
    return float(
        sum(
            max(0.0, min(room[2], other[2]) - max(room[0], other[0]))
            * max(0.0, min(room[3], other[3]) - max(room[1], other[1]))
            for other in others
        )
    )


def write_labels(canvas: Canvas, labels: Sequence[Label], taken: list[Room]) -> None:
    """Write labels one after the other, each where it hides least and lies nearest.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.
    labels : sequence of Label
        The first has the first choice.
    taken : list of Room
        What must not be written over; the labels are added to it.

    References
    ----------
    Definition.
    """
    for label in labels:
        tried = [
            (overlap_mm2(room_of(canvas, label, middle), taken), far, turn, middle)
            for far in FAR
            for turn in range(8)
            for middle in [_middle(canvas, label, far, turn)]
        ]
        _, far, _, middle = min(tried, key=lambda one: (round(one[0], 1), one[1], one[2]))
        taken.append(room_of(canvas, label, middle))
        if far >= LEADS_MM:
            canvas.line((label.at, _edge(canvas, label, middle)), "leader", Pen(HAIR_MM))
        canvas.text(middle, label.words, label.height_mm)


def _middle(canvas: Canvas, label: Label, far: float, turn: int) -> Spot:
    """Give where the middle of words stands that are some way off in one of eight directions."""
    cosine, sine = math.cos(turn * math.pi / 4), math.sin(turn * math.pi / 4)
    half = label.height_mm * LETTER * len(label.words) / 2
    x, y = label.at
    return (x + canvas.paper_mm(far * cosine + half * round(cosine)), y + canvas.paper_mm(far * sine))


def _edge(canvas: Canvas, label: Label, middle: Spot) -> Spot:
    """Give where a leading line meets the words."""
    room = room_of(canvas, label, middle)
    x = min(max(label.at[0], room[0]), room[2])
    return (x, min(max(label.at[1], room[1]), room[3]))
