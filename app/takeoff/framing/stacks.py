"""What stands under a sleeper: the pad, packers on it and shims, in the fewest parts.

sleeper   ==================
shims          ________        made up to the nearest step
packers      [==========]      hard blocks sold in fixed heights, tallest at the bottom
pad         ||||||||||||||
membrane  ------------------
"""

from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations_with_replacement

from app.job.choices import Pad

MOST_PACKERS = 3  # more in one stack wander: common practice, no source
MANY_SHIMS = 5  # of one pad; taller packs of shims creep: common practice, no source


@dataclass(frozen=True, slots=True)
class Stack:
    """What makes up one height.

    Attributes
    ----------
    packers : tuple of str
        Items of the packers, tallest first.
    shims : int
        Shims on top.
    height_mm : float
        Of packers, pad and shims together. [mm]
    """

    packers: tuple[str, ...]
    shims: int
    height_mm: float


def stack_for(height_mm: float, pad: Pad) -> Stack:
    """Give the packers and shims that make up a height with a pad, in the fewest parts.

    Parameters
    ----------
    height_mm : float
        From the membrane to the timber. [mm]
    pad : Pad
        With its thickness, the packers sold with it and the step of its shims.

    Returns
    -------
    stack : Stack
        What is left over is at most half a shim's step, unless the height is less than the pad.

    Notes
    -----
    Each choice of at most three packers is filled up with shims to the nearest step; the choice with the
    fewest parts is taken, of those the one with fewest shims, then the nearest in height.

    Examples
    --------
    >>> from app.job.choices import Packer
    >>> packers = (Packer(item="P20", height_mm=20), Packer(item="P50", height_mm=50))
    >>> pad = Pad(
    ...     id="a",
    ...     item="A",
    ...     name="",
    ...     length_mm=200,
    ...     width_mm=150,
    ...     thickness_mm=25,
    ...     mass_kg=0,
    ...     limit_kpa=276,
    ...     limit_source="",
    ...     shim_item="S",
    ...     packers=packers,
    ... )
    >>> stack_for(150.0, pad)
    Stack(packers=('P50', 'P50', 'P20'), shims=2, height_mm=151.0)

    References
    ----------
    Common practice, no source.
    """
    left_mm = height_mm - pad.thickness_mm
    sums, choices = _choices(tuple((packer.height_mm, packer.item) for packer in pad.packers))
    step = pad.shim_step_mm
    best: tuple[int, int, float] | None = None
    found = Stack((), 0, pad.thickness_mm)
    for number in reversed(range(bisect_left(sums, left_mm + step / 2 + 1e-9))):
        shims = max(0, round((left_mm - sums[number]) / step))
        if best is not None and shims > best[0]:
            break  # lower packers want more shims still
        made_mm = pad.thickness_mm + sums[number] + shims * step
        rank = (len(choices[number]) + shims, shims, abs(made_mm - height_mm))
        if best is None or rank <= best:
            best, found = rank, Stack(choices[number], shims, made_mm)
    return found


@lru_cache(maxsize=64)
def _choices(packers: tuple[tuple[float, str], ...]) -> tuple[tuple[float, ...], tuple[tuple[str, ...], ...]]:
    """Give every choice of packers by its height, lowest first, each height with the fewest packers."""
    tallest_first = sorted(packers, key=lambda packer: (-packer[0], packer[1]))
    by_height: dict[float, tuple[str, ...]] = {0.0: ()}
    for count in range(1, MOST_PACKERS + 1):
        for chosen in combinations_with_replacement(tallest_first, count):
            height = round(sum(tall for tall, _ in chosen), 6)
            by_height.setdefault(height, tuple(item for _, item in chosen))
    ordered = sorted(by_height)
    return tuple(ordered), tuple(by_height[height] for height in ordered)
