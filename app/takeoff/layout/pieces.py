"""From clipped shapes to pieces: longest-point length, width, and whether an end is cut at an angle."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from app.takeoff.layout.outlines import (
    GRID_MM,
    STRAIGHT_RAD,
    Floats,
    Frame,
    Shapes,
    joined,
    less,
    open_ring,
    polygons_of,
)
from app.takeoff.layout.records import Piece, Ring, Role

# What is smaller is left out: it cannot be held to be cut, nor fixed. Common practice, no source.
SLIVER_WIDTH_MM = 5.0
SLIVER_LENGTH_MM = 10.0
SLIVER_AREA_MM2 = 500.0
# A board is ripped when this much narrower than its profile.
RIP_TOLERANCE_MM = 0.5
# A notch leaves a tongue worth speaking of from this length on. Common practice, no source.
TONGUE_LENGTH_MM = 150.0
SQUARE_TOLERANCE = 0.0087  # tangent of half a degree
TAPER_TANGENT = 0.268  # flatter than 15° to the board it is a taper, not an end


@dataclass(frozen=True)
class Cuts:
    """Shapes of one role cut from one profile, in a frame whose x axis runs along the boards.

    Attributes
    ----------
    role : str
        What they do.
    frame : Frame
        Where they lie.
    shapes : array of shapely.Polygon
        In laying order, without holes. [mm]
    """

    role: Role
    frame: Frame
    shapes: Shapes


@dataclass(frozen=True, slots=True)
class Place:
    """What all pieces of one place have in common.

    Attributes
    ----------
    id : str
        Deck field, wall or box.
    plane : str
        ``plan`` or the face they lie in.
    profile : str
        Board id.
    board_mm : float
        Width of the profile. [mm]
    """

    id: str
    plane: str
    profile: str
    board_mm: float


def drop_slivers(shapes: Shapes) -> tuple[Shapes, float]:
    """Leave out what is too small to cut and fix.

    Parameters
    ----------
    shapes : array of shapely.Polygon
        In a frame whose x axis runs along the boards.

    Returns
    -------
    kept : array of shapely.Polygon
        The others, in order.
    dropped_mm2 : float
        Area left out. [mm2]

    References
    ----------
    Common practice, no source.
    """
    if not len(shapes):
        return shapes, 0.0
    bounds = shapely.bounds(shapes)
    areas = shapely.area(shapes)
    is_kept = (
        (bounds[:, 2] - bounds[:, 0] >= SLIVER_LENGTH_MM)
        & (bounds[:, 3] - bounds[:, 1] >= SLIVER_WIDTH_MM)
        & (areas >= SLIVER_AREA_MM2)
    )
    return shapes[is_kept], float(areas[~is_kept].sum())


def open_round_pipes(shapes: Shapes, gap_mm: float) -> Shapes:
    """Cut boards that have a hole in them through its middle, so that they can be laid round a pipe.

    Parameters
    ----------
    shapes : array of shapely.Polygon
        In a frame whose x axis runs along the boards.
    gap_mm : float
        Gap between the two halves. [mm]

    Returns
    -------
    shapes : array of shapely.Polygon
        None has a hole, in the same order.

    References
    ----------
    Common practice, no source.
    """
    if not (shapely.get_num_interior_rings(shapes) > 0).any():
        return shapes
    opened: list[shapely.Polygon] = []
    half_mm = max(gap_mm, 0.1) / 2.0
    for shape in shapes:
        _, low, _, high = shape.bounds
        middles = [(ring.bounds[0] + ring.bounds[2]) / 2.0 for ring in shape.interiors]
        cuts = joined([shapely.box(x - half_mm, low - 1, x + half_mm, high + 1) for x in middles])
        halves = polygons_of(less(shape, cuts)) if middles else [shape]
        opened.extend(sorted(halves, key=lambda half: half.bounds[0]))
    return np.array(opened, dtype=object)


def narrow_tongues(shapes: Shapes, least_mm: float) -> Shapes:
    """Give the parts of notched pieces that are narrower than they should be over some length.

    Parameters
    ----------
    shapes : array of shapely.Polygon
        In a frame whose x axis runs along the boards.
    least_mm : float
        Narrower than this is narrow. [mm]

    Returns
    -------
    tongues : array of shapely.Polygon
        Parts at least `TONGUE_LENGTH_MM` long, wherever the whole piece is wider.

    Notes
    -----
    What is lost when the piece is drawn in by half of `least_mm` and let out again.

    References
    ----------
    Morphological opening.
    """
    if not len(shapes):
        return shapes
    bounds = shapely.bounds(shapes)
    notched = shapes[(shapely.get_num_coordinates(shapes) > 5) & (bounds[:, 3] - bounds[:, 1] > least_mm)]
    half_mm = least_mm / 2.0 - 0.1
    drawn_in = shapely.buffer(notched, -half_mm, join_style="mitre")
    opened = shapely.buffer(drawn_in, half_mm + 0.05, join_style="mitre")
    lost = polygons_of(shapely.difference(notched, opened, grid_size=GRID_MM))
    if not len(lost):
        return lost
    sizes = shapely.bounds(lost)
    tongues: Shapes = lost[
        (sizes[:, 2] - sizes[:, 0] >= TONGUE_LENGTH_MM) & (sizes[:, 3] - sizes[:, 1] >= 1.0)
    ]
    return tongues


def make_pieces(place: Place, cuts: Iterable[Cuts], first: int = 1) -> tuple[Piece, ...]:
    """Give the pieces of one place, numbered in laying order.

    Parameters
    ----------
    place : Place
        What they have in common.
    cuts : iterable of Cuts
        Their shapes, in laying order.
    first : int
        Number of the first piece.

    Returns
    -------
    pieces : tuple of Piece
        ``D1-001`` and on.

    References
    ----------
    Definition.
    """
    pieces: list[Piece] = []
    for cut in cuts:
        if not len(cut.shapes):
            continue
        shapes = _tidy(cut.shapes)
        bounds = shapely.bounds(shapes)
        lengths = bounds[:, 2] - bounds[:, 0]
        widths = bounds[:, 3] - bounds[:, 1]
        mitred = _has_slanted_end(shapes, widths)
        rings = _rings(cut.frame.out(shapes))
        for length, width, is_mitred, ring in zip(lengths, widths, mitred, rings, strict=True):
            pieces.append(
                Piece(
                    id=f"{place.id}-{first + len(pieces):03d}",
                    place=place.id,
                    profile=place.profile,
                    role=cut.role,
                    length_mm=float(length),
                    width_mm=float(width),
                    is_ripped=bool(width < place.board_mm - RIP_TOLERANCE_MM),
                    is_mitred=bool(is_mitred),
                    plane=place.plane,
                    outline_mm=ring,
                )
            )
    return tuple(pieces)


def _tidy(shapes: Shapes) -> Shapes:
    """Leave out corners at which an outline does not turn; overlays leave some along straight edges."""
    # A few grid steps; an outline's first corner is kept by this, so it is looked at again below.
    shapes = shapely.simplify(shapes, 10.0 * GRID_MM)
    places, owner = shapely.get_coordinates(shapes, return_index=True)
    is_last = np.append(owner[1:] != owner[:-1], True)
    places, owner = places[~is_last], owner[~is_last]
    first = np.searchsorted(owner, owner)
    last = np.searchsorted(owner, owner, side="right") - 1
    number = np.arange(len(owner))
    before = places - places[np.where(number == first, last, number - 1)]
    after = places[np.where(number == last, first, number + 1)] - places
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turns = np.abs(np.arctan2(cross, (before * after).sum(axis=1))) > STRAIGHT_RAD
    tidy: Shapes = shapely.polygons(shapely.linearrings(places[turns], indices=owner[turns]))
    return tidy


def _rings(shapes: Shapes) -> list[Ring]:
    """Give the outer ring of each shape."""
    places, owner = shapely.get_coordinates(shapes, return_index=True)
    starts = np.searchsorted(owner, np.arange(len(shapes)))
    return [open_ring(part) for part in np.split(places, starts[1:])]


def _has_slanted_end(shapes: Shapes, widths: Floats) -> npt.NDArray[np.bool_]:
    """Say which shapes have a straight cut across half their width or more that is not square."""
    places, owner = shapely.get_coordinates(shapes, return_index=True)
    along, across = np.abs(np.diff(places, axis=0)).T
    is_end = (
        (owner[1:] == owner[:-1])
        & (across >= 0.5 * widths[owner[1:]])
        & (across > TAPER_TANGENT * along)
        & (along > SQUARE_TOLERANCE * across)
    )
    return np.bincount(owner[1:], weights=is_end, minlength=len(shapes)) > 0


def notches_of(pieces: Iterable[Piece]) -> int:
    """Count the pieces that are cut round something.

    Parameters
    ----------
    pieces : iterable of Piece
        Boards of one place.

    Returns
    -------
    count : int
        Those whose outline turns inward anywhere, by more than a scratch.

    References
    ----------
    Definition.
    """
    shaped = [piece.outline_mm for piece in pieces if len(piece.outline_mm) > 4]
    if not shaped:
        return 0
    shapes = np.array([shapely.Polygon(ring) for ring in shaped], dtype=object)
    hollow = shapely.area(shapely.convex_hull(shapes)) - shapely.area(shapes)
    return int((hollow > SLIVER_AREA_MM2 / 10.0).sum())
