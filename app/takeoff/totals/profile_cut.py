"""The cut plan of one profile: pieces onto a grid, the least-cost search, and back to named pieces."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from app.job.choices import Cutting, StockLength
from app.takeoff.totals.bound import least_sticks
from app.takeoff.totals.grid import SLACK_MM, CutGrid, cut_grid
from app.takeoff.totals.least_cost import cut_at_least_cost
from app.takeoff.totals.records import CutPlan, CutStick
from app.takeoff.totals.stock_problem import StockAnswer, StockProblem
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
    costs = tuple(float(prices[s.item]) if is_priced else s.length_mm / 1000 for s in stock)
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


def cut_profile(profile: str, strips: tuple[Strip, ...], offered: ProfileStock, cutting: Cutting) -> CutPlan:
    """Give the cut plan of one profile.

    Parameters
    ----------
    profile : str
        Id of the board or section.
    strips : tuple of Strip
        Lengths to cut, each of which fits at least one stock length.
    offered : ProfileStock
        What they can be cut from.
    cutting : Cutting
        Kerf and end trim.

    Returns
    -------
    plan : CutPlan
        Every piece once; cost added up from the sticks.

    Raises
    ------
    ArithmeticError
        When a stick of the plan is overfull: a fault of the program.

    References
    ----------
    As `cut_at_least_cost`.
    """
    kept = [
        (length, cost)
        for length, cost in zip(offered.stock, offered.costs, strict=True)
        if length.length_mm > cutting.end_trim_mm
    ]
    stock = tuple(length for length, _ in kept)
    grid = _grid(stock, cutting)
    by_size: dict[int, list[Strip]] = {}
    for strip in strips:
        by_size.setdefault(grid.steps(strip.lead.length_mm), []).append(strip)
    sizes = tuple(sorted(by_size, reverse=True))
    problem = StockProblem(
        sizes=sizes,
        demand=tuple(len(by_size[size]) for size in sizes),
        capacities=grid.capacities,
        costs=tuple(cost for _, cost in kept),
    )
    answer = cut_at_least_cost(problem)
    return CutPlan(
        profile=profile,
        sticks=_named(problem, answer, by_size, stock, cutting),
        cost=answer.cost,
        bound=answer.bound,
        gap_pct=100.0 * (answer.cost / answer.bound - 1.0),
        method=_method(problem, answer, grid, any(strip.beside for strip in strips)),
        is_priced=offered.is_priced,
    )


def _grid(stock: tuple[StockLength, ...], cutting: Cutting) -> CutGrid:
    """Give the steps in which this stock is cut."""
    return cut_grid(tuple(s.length_mm for s in stock), cutting.kerf_mm, cutting.end_trim_mm)


def _named(
    problem: StockProblem,
    answer: StockAnswer,
    by_size: Mapping[int, list[Strip]],
    stock: tuple[StockLength, ...],
    cutting: Cutting,
) -> tuple[CutStick, ...]:
    """Put named pieces into the patterns: longest stock first, like sticks together."""
    waiting = {size: iter(strips) for size, strips in by_size.items()}
    order = sorted(answer.sticks, key=lambda s: (-stock[s.stock].length_mm, s.stock, [-n for n in s.counts]))
    sticks = []
    for pattern in order:
        taken = tuple(
            next(waiting[size])
            for size, count in zip(problem.sizes, pattern.counts, strict=True)
            for _ in range(count)
        )
        sticks.append(_stick(stock[pattern.stock], taken, cutting))
    return tuple(sticks)


def _stick(length: StockLength, taken: tuple[Strip, ...], cutting: Cutting) -> CutStick:
    """Lay strips into one stick and measure what is left."""
    pieces_mm = sum(strip.lead.length_mm for strip in taken)
    room_mm = length.length_mm - cutting.end_trim_mm - pieces_mm
    if room_mm - cutting.kerf_mm * (len(taken) - 1) < -SLACK_MM * len(taken):
        raise ArithmeticError(f"{length.item} is overfull by {-room_mm} mm")
    return CutStick(
        item=length.item,
        stock_mm=length.length_mm,
        pieces=tuple((strip.lead.id, strip.lead.length_mm) for strip in taken),
        left_mm=max(0.0, room_mm - cutting.kerf_mm * len(taken)),
        beside=tuple((piece.id, strip.lead.id, piece.length_mm) for strip in taken for piece in strip.beside),
    )


def _method(problem: StockProblem, answer: StockAnswer, grid: CutGrid, has_rips: bool) -> str:
    """Say in words how the plan was found and how far it can be from the best."""
    least = least_sticks(problem, answer.bound)
    parts = [
        f"{answer.method[0].upper()}{answer.method[1:]}",
        f"{len(answer.sticks)} sticks, no plan has fewer than {least}",
        f"pieces rounded up to {grid.step_mm:.2f} mm",
    ]
    if has_rips:
        parts.append("narrow rips share a length; the bound holds for rips paired so")
    return "; ".join(parts) + "."
