"""Boards and timber to buy, from the cut plans, each stick shared by length among the places it serves."""

import math
from collections.abc import Iterable, Mapping

from app.job.choices import Board, Section
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import Layout
from app.takeoff.totals.measured import Share, quantity
from app.takeoff.totals.records import CutPlan, CutStick, Quantity


def stock_quantities(
    job: Job, layout: Layout, framing: Framing, plans: tuple[CutPlan, ...]
) -> tuple[Quantity, ...]:
    """Give the boards and sections to buy, by stock item.

    Parameters
    ----------
    job : Job
        Which profile is a board.
    layout : Layout
        Places of the pieces.
    framing : Framing
        Places of the sticks.
    plans : tuple of CutPlan
        What is cut from what.

    Returns
    -------
    quantities : tuple of Quantity
        Whole sticks by item; by place in fractions that sum to them.

    References
    ----------
    Definition.
    """
    places = {piece.id: piece.place for piece in layout.pieces}
    places |= {stick.id: stick.place for stick in framing.sticks}
    return (
        *_bought("stock.boards", job.choices.boards, plans, places, job),
        *_bought("stock.sections", job.choices.sections, plans, places, job),
    )


def _bought(
    basis: str,
    profiles: Iterable[Board | Section],
    plans: tuple[CutPlan, ...],
    places: Mapping[str, str],
    job: Job,
) -> tuple[Quantity, ...]:
    """Gather the sticks of one kind by item."""
    ids = {profile.id for profile in profiles}
    sticks: dict[str, list[CutStick]] = {}
    bought: dict[str, int] = {}
    for plan in plans:
        if plan.profile in ids:
            for stick in plan.sticks:
                if stick.item:
                    sticks.setdefault(stick.item, []).append(stick)
            for made in plan.bought:
                bought[made.item] = bought.get(made.item, 0) + made.bought
    return tuple(
        made
        for item, same in sticks.items()
        for made in quantity(
            basis,
            item,
            _shares(same, places, bought.get(item, len(same)) / len(same)),
            _why(same, job, bought.get(item, len(same))),
            _inputs(same, bought.get(item, len(same)), job.units),
        )
    )


def _shares(sticks: list[CutStick], places: Mapping[str, str], each: float) -> list[Share]:
    """Share each stick among the places of its pieces, by length; uncut ones of a pack likewise."""
    shares: list[Share] = []
    for stick in sticks:
        cut = [*stick.pieces, *((piece, length_mm) for piece, _, length_mm in stick.beside)]
        total_mm = math.fsum(length_mm for _, length_mm in cut)
        shares.extend((places[piece], each * length_mm / total_mm) for piece, length_mm in cut)
    return shares


def _inputs(sticks: list[CutStick], bought: int, units: str) -> tuple[tuple[str, str], ...]:
    """Say what the count of sticks is made of."""
    return (
        ("length", Spoken(units).length(sticks[0].stock_mm)),
        ("cut", f"{len(sticks)}"),
        ("bought in whole packs", f"{bought}"),
        ("pieces", f"{sum(len(stick.pieces) + len(stick.beside) for stick in sticks)}"),
        ("left over", _left(sticks, units)),
    )


def _left(sticks: list[CutStick], units: str) -> str:
    """Write what is left of all of them together."""
    left_mm = math.fsum(stick.left_mm for stick in sticks)
    return f"{left_mm / 1000:.2f} m" if units == "metric" else Spoken(units).length(left_mm)


def _why(sticks: list[CutStick], job: Job, bought: int) -> str:
    """Say how many sticks serve how many pieces, what is left of them and what is worth keeping."""
    pieces = sum(len(stick.pieces) + len(stick.beside) for stick in sticks)
    keep_mm, say = job.choices.cutting.keep_offcut_mm, Spoken(job.units)
    kept = sum(stick.left_mm >= keep_mm for stick in sticks)
    uncut = bought - len(sticks)
    packs = f", {uncut} more to make whole packs" if uncut else ""
    return (
        f"{len(sticks)} × {say.length(sticks[0].stock_mm)} for {pieces} pieces, "
        f"{_left(sticks, job.units)} left over, {kept} offcuts of {say.length(keep_mm)} or more{packs}"
    )
