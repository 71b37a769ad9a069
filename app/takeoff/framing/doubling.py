"""Pads taller than the plan allows: a second sleeper under the first, or supports of another kind.

first sleeper   ==========================================
second          .....=====================................   over the tall pads, half a pad beyond
pads            ||      ||        ||        ||          ||
membrane        ------------------------------------------
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np
import shapely

from app.job.choices import Pad, Section
from app.job.plan import DeckField, DeckLevel
from app.takeoff.framing.records import PadSpot, Stick, TallPads
from app.takeoff.framing.stacks import stack_for

ROUNDING_MM = 1e-6
_PARALLEL = 1e-3  # sine


@dataclass(frozen=True)
class Doubling:
    """What stands under one field once its tall pads are looked at.

    Attributes
    ----------
    sticks : tuple of Stick
        Second sleepers, when the plan asks for them.
    pads : tuple of PadSpot
        All pads of the field, those under a second sleeper lower by its depth.
    tall : TallPads or None
        None when no pad is taller than the plan allows.
    """

    sticks: tuple[Stick, ...]
    pads: tuple[PadSpot, ...]
    tall: TallPads | None


def doubled(
    field: DeckField,
    section: Section,
    pad: Pad,
    level: DeckLevel,
    sticks: Sequence[Stick],
    pads: Sequence[PadSpot],
) -> Doubling:
    """Give the pads of a field with its tall ones settled as the plan asks.

    Parameters
    ----------
    field : DeckField
        The field.
    section : Section
        Its sleepers.
    pad : Pad
        Its pads.
    level : DeckLevel
        Greatest height of a pad, and what to do with taller ones.
    sticks : sequence of Stick
        Everything under its boards.
    pads : sequence of PadSpot
        Its pads, each under single timber.

    Returns
    -------
    doubling : Doubling
        Where the plan asks for nothing, pads stay as they are and only the alternatives are told.

    Notes
    -----
    A second sleeper helps where it leaves no more than the greatest height, and no less than the pad is
    thick. It runs over all such pads of one stick that follow each other, and half a pad beyond.

    References
    ----------
    Common practice, no source.
    """
    tall = [spot for spot in pads if spot.height_mm > level.greatest_pad_mm + ROUNDING_MM]
    if not tall:
        return Doubling((), tuple(pads), None)
    least_mm = max(level.least_pad_mm, pad.thickness_mm)
    helped = {
        spot.id
        for spot in tall
        if least_mm - ROUNDING_MM <= spot.height_mm - section.depth_mm <= level.greatest_pad_mm + ROUNDING_MM
    }
    second = _second_sleepers(field, pad, sticks, pads, helped) if helped else ()
    is_doubled = level.tall_pads == "doubled sleeper" and bool(second)
    others = [spot for spot in tall if spot.id not in helped]
    told = TallPads(
        field=field.id,
        pads=tuple(spot.id for spot in tall),
        tallest_mm=max(spot.height_mm for spot in tall),
        doubled=tuple(spot.id for spot in tall if spot.id in helped),
        doubling_mm=sum(stick.length_mm for stick in second),
        is_doubled=is_doubled,
        pedestals=tuple(spot.id for spot in others),
        least_pedestal_mm=min((spot.height_mm for spot in others), default=0.0),
        greatest_pedestal_mm=max((spot.height_mm for spot in others), default=0.0),
    )
    if not is_doubled:
        return Doubling((), tuple(pads), told)
    return Doubling(
        second,
        tuple(_lowered(spot, section, pad) if spot.id in helped else spot for spot in pads),
        told,
    )


def _lowered(spot: PadSpot, section: Section, pad: Pad) -> PadSpot:
    """Give a pad under two sleepers."""
    height_mm = spot.height_mm - section.depth_mm
    stack = stack_for(height_mm, pad)
    return replace(spot, height_mm=height_mm, shims=stack.shims, packers=stack.packers, is_doubled=True)


def _second_sleepers(
    field: DeckField, pad: Pad, sticks: Sequence[Stick], pads: Sequence[PadSpot], helped: set[str]
) -> tuple[Stick, ...]:
    """Give the second sleepers, stick by stick; two sticks that share a pad get one each."""
    found: list[Stick] = []
    for stick, on in _on_pads(pad, sticks, pads):
        length_mm = math.dist(stick.start_mm, stick.end_mm)
        for is_helped, run in groupby(sorted(on), key=lambda at: at[1] in helped):
            if not is_helped:
                continue
            places = [along for along, _ in run]
            from_mm = max(0.0, places[0] - pad.length_mm / 2)
            to_mm = min(length_mm, places[-1] + pad.length_mm / 2)
            found.append(
                Stick(
                    id=f"{field.id}-U{len(found) + 1:02d}",
                    place=field.id,
                    section=stick.section,
                    role="doubling",
                    start_mm=_at(stick, from_mm / length_mm),
                    end_mm=_at(stick, to_mm / length_mm),
                    length_mm=round(to_mm - from_mm, 3),
                )
            )
    return tuple(found)


def _at(stick: Stick, share: float) -> tuple[float, float]:
    """Give a place on a stick's centre line."""
    (x0, y0), (x1, y1) = stick.start_mm, stick.end_mm
    return x0 + (x1 - x0) * share, y0 + (y1 - y0) * share


def _on_pads(
    pad: Pad, sticks: Sequence[Stick], pads: Sequence[PadSpot]
) -> Iterable[tuple[Stick, list[tuple[float, str]]]]:
    """Give each stick with the pads it lies on: how far along each is, and its id."""
    carried = [stick for stick in sticks if stick.role != "blocking"]
    ends = np.array([(stick.start_mm, stick.end_mm) for stick in carried])
    along = ends[:, 1] - ends[:, 0]
    units = along / np.hypot(along[:, 0], along[:, 1])[:, None]
    of_stick = {stick.id: units[number] for number, stick in enumerate(carried)}
    spots = shapely.points([(spot.x_mm, spot.y_mm) for spot in pads])
    near = shapely.STRtree(shapely.linestrings(ends)).query(
        spots, predicate="dwithin", distance=pad.width_mm / 2
    )
    found: dict[int, list[tuple[float, str]]] = {}
    for number, bar in near.T.tolist():
        (ux, uy), (vx, vy) = units[bar], of_stick[pads[number].stick]
        if abs(ux * vy - uy * vx) < _PARALLEL:
            dx, dy = pads[number].x_mm - ends[bar, 0, 0], pads[number].y_mm - ends[bar, 0, 1]
            found.setdefault(bar, []).append((float(dx * ux + dy * uy), pads[number].id))
    return [(carried[bar], found[bar]) for bar in sorted(found)]
