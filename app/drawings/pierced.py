"""Openings of upright walls as seen in space: doors, windows and niches cut out of walls and edges."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from app.drawings.canvas import Spot

Place = tuple[float, float, float]
_LEAST_MM2 = 1.0


@dataclass(frozen=True, slots=True)
class Hole:
    """One opening in an upright wall.

    Attributes
    ----------
    left_mm, right_mm : float
        Along the wall from its start. [mm]
    bottom_mm, top_mm : float
        Above datum. [mm]
    depth_mm : float or None
        How far a niche goes in from the front; None: through. [mm]
    """

    left_mm: float
    right_mm: float
    bottom_mm: float
    top_mm: float
    depth_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Pierced:
    """Where the openings of an upright wall lie.

    Attributes
    ----------
    start_mm : (float, float)
        On the front of the wall, on plan. [mm]
    along : (float, float)
        From the start along the wall, of length one.
    back_mm : (float, float)
        From the front to the back, square to the wall. [mm]
    length_mm : float
        Of the wall. [mm]
    holes : tuple of Hole
        Doors, windows and niches.
    """

    start_mm: Spot
    along: Spot
    back_mm: Spot
    length_mm: float
    holes: tuple[Hole, ...]

    @property
    def thick_mm(self) -> float:
        """Give the thickness of the wall."""
        return float((self.back_mm[0] ** 2 + self.back_mm[1] ** 2) ** 0.5)

    def place(self, along_mm: float, in_mm: float, height_mm: float) -> Place:
        """Give a place of the wall in space: along it, in from its front, above datum."""
        share = in_mm / self.thick_mm
        x = self.start_mm[0] + self.along[0] * along_mm + self.back_mm[0] * share
        y = self.start_mm[1] + self.along[1] * along_mm + self.back_mm[1] * share
        return x, y, height_mm


def pierced_faces(
    wall: Pierced, bottom_mm: float, top_mm: float
) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
    """Give the faces and edges of an upright wall with its openings cut out.

    Parameters
    ----------
    wall : Pierced
        Its run, thickness and openings.
    bottom_mm, top_mm : float
        Of the wall, above datum. [mm]

    Returns
    -------
    triangles : tuple of Place
        Three corners after three, seen from outside anticlockwise; doors and windows lie open, a niche has
        its sides and its back. [mm]
    lines : tuple of Place
        Two ends after two. [mm]

    Notes
    -----
    What of an opening lies outside the wall is left out. A niche deeper than the wall reaches out behind it.

    References
    ----------
    Definition.
    """
    whole = shapely.box(0.0, bottom_mm, wall.length_mm, top_mm)
    through = shapely.union_all([_rectangle(hole) for hole in wall.holes if hole.depth_mm is None])
    solid = whole.difference(through)
    niches = [
        (ring, hole.depth_mm)
        for hole in wall.holes
        if hole.depth_mm is not None
        for ring in _parts(_rectangle(hole).intersection(solid))
    ]
    front = solid.difference(shapely.union_all([ring for ring, _ in niches]))
    deep = [ring for ring, depth_mm in niches if depth_mm >= wall.thick_mm]
    back = solid.difference(shapely.union_all(deep))
    faces = [*_sheet(wall, front, 0.0), *reversed([*_sheet(wall, back, wall.thick_mm)])]
    lines: list[Place] = []
    for part in _parts(solid):
        for ring in _rings(part):
            faces += _between(wall, ring, wall.thick_mm)
            lines += _edges(wall, ring, wall.thick_mm)
    for niche, depth_mm in niches:
        ring = _rings(niche)[0][::-1]
        faces += [*_between(wall, ring, depth_mm), *_sheet(wall, niche, depth_mm)]
        lines += _edges(wall, ring, depth_mm)
    return (*_handed(wall, faces),), (*lines,)


def _rectangle(hole: Hole) -> shapely.Polygon:
    return shapely.box(hole.left_mm, hole.bottom_mm, hole.right_mm, hole.top_mm)


def _parts(area: BaseGeometry) -> list[shapely.Polygon]:
    """Give the polygons of an area, each with its outer ring anticlockwise and its holes clockwise."""
    parts = shapely.get_parts(area)
    return [orient(one) for one in parts if one.geom_type == "Polygon" and one.area > _LEAST_MM2]


def _rings(part: shapely.Polygon) -> list[list[Spot]]:
    return [[(float(s), float(z)) for s, z in ring.coords[:-1]] for ring in (part.exterior, *part.interiors)]


def _sheet(wall: Pierced, area: BaseGeometry, in_mm: float) -> Iterator[Place]:
    """Give an upright area as triangles that look to the front."""
    for part in _parts(area):
        for triangle in shapely.constrained_delaunay_triangles(part).geoms:
            for along, height in orient(triangle).exterior.coords[:-1]:
                yield wall.place(along, in_mm, height)


def _between(wall: Pierced, ring: Sequence[Spot], deep_mm: float) -> Iterator[Place]:
    """Give the faces between a ring on the front and the same ring further in."""
    for start, end in _sides(ring):
        low, far = wall.place(start[0], 0.0, start[1]), wall.place(end[0], 0.0, end[1])
        low_in, far_in = wall.place(start[0], deep_mm, start[1]), wall.place(end[0], deep_mm, end[1])
        yield from (low, low_in, far_in, low, far_in, far)


def _edges(wall: Pierced, ring: Sequence[Spot], deep_mm: float) -> Iterator[Place]:
    for start, end in _sides(ring):
        for in_mm in (0.0, deep_mm):
            yield wall.place(start[0], in_mm, start[1])
            yield wall.place(end[0], in_mm, end[1])
        yield wall.place(start[0], 0.0, start[1])
        yield wall.place(start[0], deep_mm, start[1])


def _sides(ring: Sequence[Spot]) -> Iterable[tuple[Spot, Spot]]:
    return zip(ring, (*ring[1:], ring[0]), strict=True)


def _handed(wall: Pierced, faces: Sequence[Place]) -> list[Place]:
    """Turn every triangle over where the back lies to the right of the way along the wall."""
    is_left = wall.along[0] * wall.back_mm[1] - wall.along[1] * wall.back_mm[0] > 0
    return list(faces) if is_left else list(reversed(faces))
