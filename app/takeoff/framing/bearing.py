"""What a sleeper presses on: the pad it touches, the insulation beneath, and the share of load a pad takes.

Load does not spread over a pad by itself: a sleeper on edge presses only the strip it touches.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from app.job.choices import Pad
from app.takeoff.framing.beams import pattern_extremes, worst_patterns

LEAST_SHARE = 1.25  # of load × span on a pad: inner support of two equal spans, the worst of equal spans
_LIFTS = -1e-9


@dataclass(frozen=True, slots=True)
class AsLaid:
    """The sleepers of one field as they really stand, under the worst pattern of load.

    Attributes
    ----------
    share : float
        Greatest reaction over load × longest span; never taken below 1.25.
    bending : float
        Greatest moment in a span over load × longest span²; 1/8 for a simple span.
    lifts : int
        Sleepers that some pattern would lift off a pad: they are loose there, and simple spans hold.
    """

    share: float
    bending: float
    lifts: int


def contact_mm2(pad: Pad, width_mm: float) -> float:
    """Give the area of a pad that a sleeper really presses.

    Parameters
    ----------
    pad : Pad
        Its plan size.
    width_mm : float
        Width of the sleeper as laid. [mm]

    Returns
    -------
    area_mm2 : float
        Never more than the pad. [mm2]

    Examples
    --------
    >>> xps = Pad(
    ...     id="p",
    ...     item="P",
    ...     name="",
    ...     length_mm=152.4,
    ...     width_mm=152.4,
    ...     thickness_mm=25,
    ...     mass_kg=0.1,
    ...     limit_kpa=172.4,
    ...     limit_source="",
    ...     shim_item="S",
    ... )
    >>> contact_mm2(xps, 38.1), contact_mm2(xps, 300.0)
    (5806.44, 23225.76)

    References
    ----------
    Geometry: no spread without a stiff plate.
    """
    return min(pad.width_mm, width_mm) * pad.length_mm


def spread_mm2(pad: Pad, width_mm: float) -> float:
    """Give the area of insulation that a pad presses.

    Parameters
    ----------
    pad : Pad
        Its plan size and thickness.
    width_mm : float
        Width of the sleeper as laid. [mm]

    Returns
    -------
    area_mm2 : float
        Never more than the pad. [mm2]

    Notes
    -----
    The strip touched grows by the pad's thickness on both sides, one to one; the whole pad would be taken
    only under a stiff plate.

    References
    ----------
    Common practice, no source.
    """
    return min(pad.width_mm, width_mm + 2 * pad.thickness_mm) * pad.length_mm


def as_laid(spans_mm: Iterable[Sequence[float]], dead_share: float) -> AsLaid:
    """Give how the sleepers of a field share their load, from the pads as they really stand.

    Parameters
    ----------
    spans_mm : iterable of sequence of float
        Distances between the pads of each sleeper. [mm]
    dead_share : float
        Part of the whole load that is always there, from 0 to 1; the rest comes and goes span by span.

    Returns
    -------
    as_laid : AsLaid

    Notes
    -----
    Continuous beam under its dead load and live load on all spans, on every second span, and on the two
    spans beside each support. A sleeper that a pattern would lift off a pad is loose there, so the linear
    answer no longer holds and the screening's 5/4 stands for it.

    Examples
    --------
    >>> as_laid([(600.0, 600.0)], 1.0)
    AsLaid(share=1.25, bending=0.0703125, lifts=0)

    References
    ----------
    Three-moment equation; pattern loading.
    """
    kinds = Counter(tuple(round(span, 1) for span in spans) for spans in spans_mm if spans)
    longest = max((max(key) for key in kinds), default=1.0)
    share, bending, lifts = LEAST_SHARE, 0.0, 0
    for key, count in kinds.items():
        spans = [span / longest for span in key]
        is_loaded = np.array(worst_patterns(len(spans)), dtype=np.float64)
        pressed, least, moment = pattern_extremes(spans, dead_share + (1.0 - dead_share) * is_loaded)
        bending = max(bending, moment)
        if least < _LIFTS:
            lifts += count
        else:
            share = max(share, pressed)
    return AsLaid(share=share, bending=bending, lifts=lifts)
