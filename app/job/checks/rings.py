"""Outlines: they must go round something once."""

from itertools import pairwise
from math import dist

from shapely import Polygon
from shapely.validation import explain_validity

from app.job.errors import InputError
from app.job.shapes import Ring

LEAST_AREA_MM2 = 10_000.0  # a palm; less is a slip of the pen
SAME_PLACE_MM = 1.0


def _corners(ring: Ring) -> str:
    """Say what was typed, shorter than its list of numbers."""
    return f"{len(ring)} corners"


def ring_faults(path: str, ring: Ring) -> tuple[InputError, ...]:
    """Find what is wrong with one outline by itself.

    Parameters
    ----------
    path : str
        Where it stands in the job file.
    ring : sequence of tuple of float
        Its corners, either way round. [mm]

    Returns
    -------
    faults : tuple of InputError
        Corners said twice, crossing sides, no area.

    References
    ----------
    Definition.
    """
    closed = [*ring, ring[0]]
    twice = tuple(
        InputError(
            f"{path}[{(number + 1) % len(ring) or len(ring) - 1}]",
            list(ring[(number + 1) % len(ring)]),
            "Two corners that follow each other are at one place. Leave one out; the outline closes itself.",
        )
        for number, (first, second) in enumerate(pairwise(closed))
        if dist(first, second) < SAME_PLACE_MM
    )
    if twice:
        return twice
    polygon = Polygon(ring)
    reason = explain_validity(polygon)
    if polygon.area < LEAST_AREA_MM2 and reason == "Valid Geometry":
        return (
            InputError(
                path, _corners(ring), "The outline encloses no area. Give at least three corners apart."
            ),
        )
    if reason != "Valid Geometry":
        where = reason.partition("[")[2].rstrip("]").replace(" ", ", ")
        return (
            InputError(
                path,
                _corners(ring),
                f"The outline crosses or touches itself near ({where}) mm. Put its corners in the order you "
                "walk round it.",
            ),
        )
    return ()


def hole_faults(path: str, outline: Ring, holes: tuple[Ring, ...]) -> tuple[InputError, ...]:
    """Find holes that are unsound, leave the outline, or meet one another.

    Parameters
    ----------
    path : str
        Where the list of holes stands in the job file.
    outline : sequence of tuple of float
        A sound outline. [mm]
    holes : tuple of sequence of tuple of float
        Corners of each hole. [mm]

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    faults: list[InputError] = []
    around = Polygon(outline)
    sound: list[tuple[int, Polygon]] = []
    for number, hole in enumerate(holes):
        own = ring_faults(f"{path}[{number}]", hole)
        faults += own
        if own:
            continue
        polygon = Polygon(hole)
        if not around.contains(polygon):
            wanted = "The hole reaches over the outline round it. Draw it inside, or change the outline."
            faults.append(InputError(f"{path}[{number}]", _corners(hole), wanted))
        for other, earlier in sound:
            if earlier.intersects(polygon):
                wanted = f"The hole meets hole {other}. Draw the two as one."
                faults.append(InputError(f"{path}[{number}]", _corners(hole), wanted))
        sound.append((number, polygon))
    return tuple(faults)
