"""Rims: timber round the edge of the field, under the ends of the courses and the ends of the sleepers."""

import math

from shapely import LinearRing, MultiPolygon

from app.takeoff.framing.axes import as_parts
from app.takeoff.framing.bars import Bar

_MITRED = 0.5  # cosine of a turn of 60°: with less, the rim that stops would miss the other's side
_MITRE_LIMIT = 10.0


def rims_of(area: MultiPolygon, width_mm: float) -> tuple[Bar, ...]:
    """Give the rims round a field and round its drawn holes.

    Parameters
    ----------
    area : MultiPolygon
        Where timber may lie, in local axes.
    width_mm : float
        Width of the section as laid. [mm]

    Returns
    -------
    rims : tuple of Bar
        Outer face on the edge of the field. At a corner the rim nearer to the courses runs through and
        the other stops at its face, so that rims along the sleepers are as long as the sleepers.

    Notes
    -----
    The centre line lies half a width inside the edge. With φ the turn at a corner: up to 60° both are mitred
    and cut w/2 · tan(φ/2) longer; beyond, the rim that runs through grows by w/2 · tan(φ/2), and no further
    than the edge, w/2 / sin φ; the other is shorter by w/2 / sin φ and is cut w/2 / tan φ longer than its
    centre line. Edges shorter than the section is wide get no rim.

    References
    ----------
    Geometry; which rim runs through is common practice, no source.
    """
    inset = area.buffer(-width_mm / 2, join_style="mitre", mitre_limit=_MITRE_LIMIT).simplify(0.01)
    return tuple(
        rim
        for part in as_parts(inset).geoms
        for ring in (part.exterior, *part.interiors)
        for rim in _rims_on(ring, width_mm)
    )


def _rims_on(ring: LinearRing, width_mm: float) -> list[Bar]:
    """Give the rims on one ring of centre lines, their corners settled."""
    corners = [(float(x), float(y)) for x, y in ring.coords[:-1]]
    lines = [
        Bar("rim", start, end, width_mm)
        for start, end in zip(corners, corners[1:] + corners[:1], strict=True)
        if math.dist(start, end) > 1e-6
    ]
    found = []
    for index, line in enumerate(lines):
        before, after = lines[index - 1], lines[(index + 1) % len(lines)]
        start_mm, start_extra = _corner(line, before, is_first=False)
        end_mm, end_extra = _corner(line, after, is_first=True)
        if line.centre_mm + start_mm + end_mm < width_mm:
            continue
        settled = line.cut(-start_mm, line.centre_mm + end_mm)
        found.append(
            Bar(
                "rim",
                settled.start,
                settled.end,
                width_mm,
                extra_mm=start_extra + end_extra,
                is_primary=line.is_along_sleepers,
            )
        )
    return found


def _corner(line: Bar, other: Bar, *, is_first: bool) -> tuple[float, float]:
    """Give by how much a rim's centre line grows at a corner, and what its slant adds to the cut."""
    (ux, uy), (vx, vy) = line.direction, other.direction
    sine, cosine = abs(ux * vy - uy * vx), ux * vx + uy * vy
    half = line.width_mm / 2
    if cosine >= _MITRED:
        return 0.0, half * sine / (1 + cosine)
    if not _runs_through(line, other, is_first=is_first):
        return -half / sine, half * abs(cosine) / sine
    if cosine > 0:
        return half * (1 - cosine) / sine, 0.0
    return half / sine, half * -cosine / sine


def _runs_through(line: Bar, other: Bar, *, is_first: bool) -> bool:
    """Say which of two rims passes the corner: nearer to the courses, else longer, else the first."""
    mine, theirs = abs(line.direction[0]), abs(other.direction[0])
    if abs(mine - theirs) > 1e-3:
        return mine > theirs
    if abs(line.centre_mm - other.centre_mm) > 1e-3:
        return line.centre_mm > other.centre_mm
    return is_first
