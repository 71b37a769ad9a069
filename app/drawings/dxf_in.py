"""Closed outlines out of a DXF that somebody sent, to be looked at before one of them becomes the roof."""

from __future__ import annotations

import io
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from shapely import Polygon

from app.job.errors import InputError, InputErrors

LONGEST = 3_000_000  # characters
_MOST_ENTITIES = 50_000
_MOST_OUTLINES, _MOST_CORNERS = 200, 400  # a job file's outline has at most 400 corners
_ARC_MM = 1.0  # an arc is followed to within a millimetre
_LEAST_M2 = 0.01
_MEETS_MM, _SAME_MM = 0.5, 1e-6
# $INSUNITS of the DXF reference, in mm.
_UNITS_MM = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 10: 914.4, 14: 100.0}
_UNIT_NAMES = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
_WIDEST_MM = 1e6


@dataclass(frozen=True, slots=True)
class DxfOutline:
    """One closed outline found in a drawing.

    Attributes
    ----------
    layer : str
        Layer it lies on.
    corners_mm : tuple of (float, float)
        Anticlockwise. [mm]
    area_m2 : float
        What it encloses. [m2]
    """

    layer: str
    corners_mm: tuple[tuple[float, float], ...]
    area_m2: float


@dataclass(frozen=True, slots=True)
class DxfReading:
    """What a drawing holds that can be used.

    Attributes
    ----------
    outlines : tuple of DxfOutline
        The largest first.
    notes : tuple of str
        What was taken as given, and what was passed over.
    """

    outlines: tuple[DxfOutline, ...]
    notes: tuple[str, ...]


def read_dxf(text: str, unit: str = "") -> DxfReading:
    """Read the closed outlines of a DXF.

    Parameters
    ----------
    text : str
        The file, as text; binary DXF is refused.
    unit : str
        ``mm``, ``cm``, ``m``, ``in`` or ``ft``; empty: as the file says.

    Returns
    -------
    reading : DxfReading

    Raises
    ------
    InputErrors
        When it is no DXF, too large, without unit or without a closed outline.

    Notes
    -----
    Only polylines of the model space that are closed, or end where they began, are read; blocks are not
    opened, so that a small file cannot grow. Arcs within a polyline are followed to within a millimetre.

    References
    ----------
    DXF reference, LWPOLYLINE, POLYLINE and $INSUNITS.
    """
    _look_first(text, unit)
    document, is_damaged = _opened(text)
    factor, notes = _factor(document, unit)
    if is_damaged:
        notes.append(
            "Some numbers in the file are damaged and were read as far as they go. Hold every corner against "
            "the drawing, or have it saved again."
        )
    rings = list(_rings(document.modelspace(), factor))
    sound = [outline for outline in map(_outline, rings) if outline is not None]
    passed = len(rings) - len(sound)
    if passed:
        notes.append(f"{passed} outlines cross themselves, are too small or have too many corners.")
    if not sound:
        raise _fault("The drawing holds no closed polyline. Close the outline of the roof and save it again.")
    sound.sort(key=lambda outline: -outline.area_m2)
    return DxfReading(tuple(sound[:_MOST_OUTLINES]), tuple(notes))


def _look_first(text: str, unit: str) -> None:
    """Refuse what need not be opened to be refused."""
    if unit and unit not in _UNIT_NAMES:
        raise _fault(f"{unit} is no unit of a drawing; mm, cm, m, in or ft.")
    if text.startswith("AutoCAD Binary DXF"):
        raise _fault("This is a binary DXF. Save it as an ASCII DXF.")
    if len(text) > LONGEST:
        raise _fault(f"The drawing has {len(text):,} characters; at most {LONGEST:,} are read.")
    if "SECTION" not in text[:2000]:
        raise _fault("This is not a DXF file.")
    entities = sum(line.strip() == "0" for line in text.splitlines()[::2])
    if entities > _MOST_ENTITIES:
        raise _fault(f"The drawing has {entities:,} parts; at most {_MOST_ENTITIES:,} are read.")


def _opened(text: str) -> tuple[Any, bool]:
    """Give the drawing, and whether numbers in it had to be guessed."""
    # A second's import: only those who bring a drawing in pay for it.
    from ezdxf import recover  # noqa: PLC0415
    from ezdxf.audit import AuditError  # noqa: PLC0415

    try:
        document, audit = recover.read(io.BytesIO(text.encode("utf-8")))
    except Exception as cause:  # whatever a strange file makes of a reader, the person is told the same
        raise _fault("The drawing cannot be read. Save it again as ASCII DXF.") from cause
    guessed = (AuditError.INVALID_FLOATING_POINT_VALUE, AuditError.INVALID_INTEGER_VALUE)
    return document, any(entry.code in guessed for entry in (*audit.errors, *audit.fixes))


def _factor(document: Any, unit: str) -> tuple[float, list[str]]:
    if unit:
        return _UNIT_NAMES[unit], [f"Lengths are taken as {unit}."]
    said = int(document.header.get("$INSUNITS", 0))
    if said not in _UNITS_MM:
        raise _fault("The drawing does not say its unit. Choose millimetres, metres, inches or feet.")
    return _UNITS_MM[said], [f"The drawing says that one of its units is {_UNITS_MM[said]:g} mm."]


def _rings(space: Any, factor: float) -> Iterable[tuple[str, list[tuple[float, float]]]]:
    from ezdxf import path  # noqa: PLC0415

    for entity in space.query("LWPOLYLINE POLYLINE"):
        if entity.dxftype() == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
            continue
        flat = path.make_path(entity).flattening(_ARC_MM / factor)
        corners = [(spot.x * factor, spot.y * factor) for spot in flat]
        is_marked = getattr(entity, "is_closed", False) or getattr(entity, "closed", False)
        # Some programs write no mark and end a ring where it began.
        if not is_marked and (len(corners) < 4 or math.dist(corners[0], corners[-1]) > _MEETS_MM):
            continue
        yield entity.dxf.layer, corners


def _outline(found: tuple[str, list[tuple[float, float]]]) -> DxfOutline | None:
    """Give an outline that can be a roof or a field; None for one that cannot."""
    layer, corners = found
    if not corners:
        return None
    ends = zip(corners, (*corners[1:], corners[0]), strict=True)
    apart = [spot for spot, after in ends if math.dist(spot, after) > _SAME_MM]
    numbers = [number for spot in apart for number in spot]
    if not 3 <= len(apart) <= _MOST_CORNERS or not all(
        math.isfinite(number) and abs(number) <= _WIDEST_MM for number in numbers
    ):
        return None
    polygon = Polygon(apart)
    if not polygon.is_valid or polygon.area / 1e6 < _LEAST_M2:
        return None
    ring = apart if polygon.exterior.is_ccw else apart[::-1]
    return DxfOutline(str(layer)[:80], tuple(ring), polygon.area / 1e6)


def _fault(wanted: str) -> InputErrors:
    return InputErrors((InputError("drawing", "", wanted),))
