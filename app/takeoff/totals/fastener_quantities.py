"""Screws, clips and plugs, counted where a piece really crosses a stick."""

from app.job.choices import Board
from app.job.job import Job
from app.takeoff.framing.records import Crossing, Framing
from app.takeoff.layout.records import Layout
from app.takeoff.totals.measured import Share, quantity
from app.takeoff.totals.records import Quantity


def fastener_quantities(job: Job, layout: Layout, framing: Framing) -> tuple[Quantity, ...]:
    """Give the fasteners of the boards, by item.

    Parameters
    ----------
    job : Job
        Boards and how they are fixed.
    layout : Layout
        Pieces and the board each is of.
    framing : Framing
        Crossings.

    Returns
    -------
    quantities : tuple of Quantity
        One per item; a plug for each screw where the board has plugs.

    References
    ----------
    Definition.
    """
    pieces = {piece.id: piece for piece in layout.pieces}
    crossings: dict[str, list[Crossing]] = {}
    for crossing in framing.crossings:
        crossings.setdefault(pieces[crossing.piece].profile, []).append(crossing)
    place_of = {piece.id: piece.place for piece in layout.pieces}
    found: dict[tuple[str, str], list[tuple[list[Share], str]]] = {}
    for board in job.choices.boards:
        crossed = crossings.get(board.id, [])
        if not crossed:
            continue
        each = _each(job, board)
        shares = [(place_of[crossing.piece], float(each)) for crossing in crossed]
        counted = f"{board.name}: {len(crossed)} crossings × {each}"
        screw = "screws" if board.fastening == "face" else "clips"
        found.setdefault(("boards.fasteners", board.fastener), []).append((shares, f"{counted} {screw}"))
        if board.plug is not None and board.fastening == "face":
            found.setdefault(("boards.plugs", board.plug), []).append((shares, f"{counted} plugs"))
    return tuple(
        made
        for (basis, item), parts in found.items()
        for made in quantity(
            basis,
            item,
            [share for shares, _ in parts for share in shares],
            "; ".join(why for _, why in parts),
            (
                ("crossings", f"{sum(len(shares) for shares, _ in parts)}"),
                ("screws at a crossing", f"{job.choices.fastening.screws_per_crossing}"),
                ("clips at a crossing", f"{job.choices.fastening.clips_per_crossing}"),
            ),
        )
    )


def _each(job: Job, board: Board) -> int:
    """Give the fasteners at one crossing of a board."""
    fastening = job.choices.fastening
    return fastening.screws_per_crossing if board.fastening == "face" else fastening.clips_per_crossing
