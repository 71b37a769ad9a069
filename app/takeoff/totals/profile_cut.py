"""The cut plan of one profile: pieces onto a grid, the least-cost search, and back to named pieces."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from app.job.choices import Cutting, KeptOffcut, StockLength
from app.job.spoken import Spoken
from app.takeoff.totals.bound import least_sticks
from app.takeoff.totals.grid import SLACK_MM, CutGrid, cut_grid
from app.takeoff.totals.least_cost import cut_at_least_cost
from app.takeoff.totals.records import Bought, CutPlan, CutStick, Offcut
from app.takeoff.totals.stock_problem import Salvage, StockAnswer, StockProblem, bought_of
from app.takeoff.totals.strips import Strip


@dataclass(frozen=True, slots=True)
class ProfileStock:
    """The lengths one profile can be cut from, with what each costs.

    Attributes
    ----------
    stock : tuple of StockLength
        Lengths that can be bought and carried up.
    costs : tuple of float
        Price of one piece, or its length in metres.
    is_priced : bool
        Whether the costs are prices.
    """

    stock: tuple[StockLength, ...]
    costs: tuple[float, ...]
    is_priced: bool


def stock_costs(stock: tuple[StockLength, ...], prices: Mapping[str, Decimal]) -> ProfileStock:
    """Give the cost of each stock length: its price, or its length where any price is missing.

    Parameters
    ----------
    stock : tuple of StockLength
        Lengths that can be bought and carried up.
    prices : mapping of str to Decimal
        Price of one piece by item; one that is not above zero counts as missing.

    Returns
    -------
    profile_stock : ProfileStock
        Prices for all lengths or for none.

    References
    ----------
    Definition.
    """
    is_priced = all(prices.get(length.item, Decimal(0)) > 0 for length in stock)
    costs = tuple(float(prices[s.item]) if is_priced else round(s.length_mm / 1000, 6) for s in stock)
    return ProfileStock(stock=stock, costs=costs, is_priced=is_priced)


def fits_stock(length_mm: float, stock: tuple[StockLength, ...], cutting: Cutting) -> bool:
    """Give whether a piece can be cut from at least one of the stock lengths.

    Parameters
    ----------
    length_mm : float
        Length of the piece. [mm]
    stock : tuple of StockLength
        Lengths that can be bought and carried up.
    cutting : Cutting
        Kerf and end trim.

    Returns
    -------
    fits : bool
        Whether one is long enough.

    References
    ----------
    Definition.
    """
    roomy = tuple(length for length in stock if length.length_mm > cutting.end_trim_mm)
    if not roomy:
        return False
    grid = _grid(roomy, cutting)
    return grid.steps(length_mm) <= max(grid.capacities)


@dataclass(frozen=True, slots=True)
class _Sticks:
    """One length that can be cut: what it is, and how many there are (None: bought)."""

    item: str
    length_mm: float
    cost: float
    pack: int = 1
    labels: tuple[str, ...] | None = None


@lru_cache(maxsize=64)
def _answer(problem: StockProblem) -> StockAnswer:
    """Solve one pool of lengths, the last ones kept: names and places change more often than lengths."""
    return cut_at_least_cost(problem)


# Most edits of a drawing leave the pieces of a profile as they were: the last answers are kept.
@lru_cache(maxsize=64)
def cut_profile(
    profile: str,
    strips: tuple[Strip, ...],
    offered: ProfileStock,
    cutting: Cutting,
    kept: tuple[KeptOffcut, ...] = (),
    units: str = "metric",
) -> CutPlan:
    """Give the cut plan of one profile.

    Parameters
    ----------
    profile : str
        Id of the board or section.
    strips : tuple of Strip
        Lengths to cut, each of which fits at least one stock length that is bought.
    offered : ProfileStock
        What they can be cut from.
    cutting : Cutting
        Kerf, end trim, offcuts.
    kept : tuple of KeptOffcut
        Offcuts of this profile in the rack; each can be cut once.
    units : str
        ``imperial`` or ``metric``, in which the method is told.

    Returns
    -------
    plan : CutPlan
        Every piece once; cost added up from the sticks.

    Raises
    ------
    ArithmeticError
        When a stick of the plan is overfull: a fault of the program.

    Notes
    -----
    A leftover worth keeping counts for a share of the least price of its length; an offcut from the rack
    costs what it would be worth left there.

    References
    ----------
    As `cut_at_least_cost`.
    """
    bought = [
        _Sticks(length.item, length.length_mm, cost, length.pack)
        for length, cost in zip(offered.stock, offered.costs, strict=True)
        if length.length_mm > cutting.end_trim_mm
    ]
    grid = cut_grid(tuple(s.length_mm for s in bought), cutting.kerf_mm, cutting.end_trim_mm)
    worth_mm = cutting.offcut_value_pct / 100 * min(s.cost / s.length_mm for s in bought)
    stock = (*bought, *_in_the_rack(kept, cutting, worth_mm))
    by_size: dict[int, list[Strip]] = {}
    for strip in strips:
        by_size.setdefault(grid.steps(strip.lead.length_mm), []).append(strip)
    sizes = tuple(sorted(by_size, reverse=True))
    problem = StockProblem(
        sizes=sizes,
        demand=tuple(len(by_size[size]) for size in sizes),
        capacities=(
            *grid.capacities,
            *(grid.capacity(s.length_mm, cutting.end_trim_mm) for s in stock[len(bought) :]),
        ),
        costs=tuple(s.cost for s in stock),
        limits=tuple(None if s.labels is None else len(s.labels) for s in stock) if kept else (),
        packs=tuple(s.pack for s in stock) if any(s.pack > 1 for s in bought) else (),
        salvage=_salvage(cutting, grid, worth_mm),
    )
    answer = _answer(problem)
    sticks = _named(problem, answer, by_size, stock, cutting)
    counts = bought_of(problem, answer.sticks)
    return CutPlan(
        profile=profile,
        sticks=sticks,
        cost=answer.cost,
        bound=answer.bound,
        gap_pct=_gap_pct(answer),
        method=_method(problem, answer, grid, any(strip.beside for strip in strips), units),
        is_priced=offered.is_priced,
        bought=tuple(
            Bought(s.item, s.length_mm, sum(1 for stick in sticks if stick.item == s.item), count)
            for s, count in zip(bought, counts, strict=False)
            if count
        ),
        offcuts=_worth_keeping(profile, sticks, bought, counts, cutting),
    )


def _in_the_rack(kept: tuple[KeptOffcut, ...], cutting: Cutting, worth_mm: float) -> tuple[_Sticks, ...]:
    """Give the offcuts as stock, those of one length together."""
    by_length: dict[float, list[str]] = {}
    for offcut in kept:
        if offcut.length_mm > cutting.end_trim_mm:
            by_length.setdefault(offcut.length_mm, []).append(offcut.label or "kept offcut")
    return tuple(
        _Sticks(
            "",
            length_mm,
            length_mm * worth_mm if length_mm >= cutting.keep_offcut_mm else 0.0,
            labels=tuple(labels),
        )
        for length_mm, labels in by_length.items()
    )


def _salvage(cutting: Cutting, grid: CutGrid, worth_mm: float) -> Salvage | None:
    """Give what leftovers are worth in grid steps; the shortest kept is rounded up."""
    if worth_mm <= 0.0:
        return None
    return Salvage(
        least=math.ceil(cutting.keep_offcut_mm / grid.step_mm - 1e-9),
        value=worth_mm * grid.step_mm,
        kerf=math.ceil(grid.kerf_mm / grid.step_mm - 1e-9),
    )


def _gap_pct(answer: StockAnswer) -> float:
    """Give cost over bound; nought when neither costs anything."""
    if answer.cost <= answer.bound:
        return 0.0
    return 100.0 * (answer.cost / answer.bound - 1.0) if answer.bound > 0.0 else 100.0


def _worth_keeping(
    profile: str,
    sticks: tuple[CutStick, ...],
    bought: list[_Sticks],
    counts: tuple[int, ...],
    cutting: Cutting,
) -> tuple[Offcut, ...]:
    """List what is left over and long enough to keep."""
    left = [
        Offcut(profile, stick.left_mm, f"{profile}/{number}")
        for number, stick in enumerate(sticks, start=1)
        if stick.left_mm >= cutting.keep_offcut_mm
    ]
    for made, count in zip(bought, counts, strict=False):
        uncut = count - sum(stick.item == made.item for stick in sticks)
        left += [Offcut(profile, made.length_mm, f"{profile}/uncut {made.item}")] * uncut
    return tuple(left)


def _grid(stock: tuple[StockLength, ...], cutting: Cutting) -> CutGrid:
    """Give the steps in which this stock is cut."""
    return cut_grid(tuple(s.length_mm for s in stock), cutting.kerf_mm, cutting.end_trim_mm)


def _named(
    problem: StockProblem,
    answer: StockAnswer,
    by_size: Mapping[int, list[Strip]],
    stock: tuple[_Sticks, ...],
    cutting: Cutting,
) -> tuple[CutStick, ...]:
    """Put named pieces into the patterns: longest stock first, like sticks together."""
    waiting = {size: iter(strips) for size, strips in by_size.items()}
    labels = {number: iter(made.labels or ()) for number, made in enumerate(stock)}
    order = sorted(answer.sticks, key=lambda s: (-stock[s.stock].length_mm, s.stock, [-n for n in s.counts]))
    sticks = []
    for pattern in order:
        taken = tuple(
            next(waiting[size])
            for size, count in zip(problem.sizes, pattern.counts, strict=True)
            for _ in range(count)
        )
        offcut = next(labels[pattern.stock], "")
        sticks.append(_stick(stock[pattern.stock], taken, cutting, offcut))
    return tuple(sticks)


def _stick(length: _Sticks, taken: tuple[Strip, ...], cutting: Cutting, offcut: str) -> CutStick:
    """Lay strips into one stick and measure what is left."""
    pieces_mm = sum(strip.lead.length_mm for strip in taken)
    room_mm = length.length_mm - cutting.end_trim_mm - pieces_mm
    if room_mm - cutting.kerf_mm * (len(taken) - 1) < -SLACK_MM * len(taken):
        raise ArithmeticError(f"{length.item or offcut} is overfull by {-room_mm} mm")
    return CutStick(
        item=length.item,
        stock_mm=length.length_mm,
        pieces=tuple((strip.lead.id, strip.lead.length_mm) for strip in taken),
        left_mm=max(0.0, room_mm - cutting.kerf_mm * len(taken)),
        beside=tuple((piece.id, strip.lead.id, piece.length_mm) for strip in taken for piece in strip.beside),
        offcut=offcut,
    )


def _method(problem: StockProblem, answer: StockAnswer, grid: CutGrid, has_rips: bool, units: str) -> str:
    """Say in words how the plan was found and how far it can be from the best."""
    least = least_sticks(problem, answer.bound)
    parts = [
        f"{answer.method[0].upper()}{answer.method[1:]}",
        f"{len(answer.sticks)} sticks, no plan has fewer than {least}",
        f"pieces rounded up to {Spoken(units).sag(grid.step_mm)}",
    ]
    used = sum(problem.limit(stick.stock) is not None for stick in answer.sticks)
    if problem.limits:
        parts.append(f"{used} of {sum(limit or 0 for limit in problem.limits)} offcuts in the rack are used")
    if problem.packs:
        parts.append("whole packs are paid, the bound is of single sticks raised to whole packs")
    if problem.salvage is not None:
        parts.append("less what kept leftovers are worth")
    if has_rips:
        parts.append("narrow rips share a length; the bound holds for rips paired so")
    return "; ".join(parts) + "."
