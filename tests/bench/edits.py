"""Edits of the demo job as a hand makes them on the board, one of each kind; each time a little further."""

from collections.abc import Callable
from typing import Any

Document = dict[str, Any]
Edit = Callable[[Document, int], None]
Corners = tuple[int, ...]
BAR_MS = 200.0  # from an edit to the whole answer


def _moves(part: str, things: str, number: int, key: str = "x") -> Edit:
    """A thing pushed along by some millimetres, or one of its sizes changed by as much."""

    def edit(document: Document, turn: int) -> None:
        thing = document[part][things][number]
        thing[key] += 4 + turn % 3

    return edit


def _drags(part: str, things: str, number: int, corners: Corners, axis: int) -> Edit:
    """A side of an outline drawn in, by its two corners."""

    def edit(document: Document, turn: int) -> None:
        place = document[part] if not things else document[part][things][number]
        for corner in corners:
            place["outline"][corner][axis] -= 1 + turn % 3

    return edit


def _raises(document: Document, turn: int) -> None:
    """A spot height corrected."""
    document["survey"]["spot_heights"][7]["z"] += 0.25 + turn % 3 / 10


def _shortens(document: Document, turn: int) -> None:
    """A feature wall made shorter at one end."""
    document["plan"]["feature_walls"][0]["start"][1] -= 1 + turn % 3


def _slackens(document: Document, turn: int) -> None:
    """Another length of cable left at the ends of runs: nothing on the drawing, all runs."""
    document["choices"]["limits"]["cable_slack"] = 300 + turn


EDITS: dict[str, Edit] = {
    "a side of the roof": _drags("survey", "", 0, (1, 2), 0),
    "a spot height": _raises,
    "a drain": _moves("survey", "drains", 0),
    "a vent": _moves("survey", "penetrations", 0),
    "a door": _moves("survey", "doors", 0, "width"),
    "a side of the main deck": _drags("plan", "deck_fields", 0, (1, 2), 0),
    "a side of the lounge deck": _drags("plan", "deck_fields", 1, (2, 3), 1),
    "a stone bed": _drags("plan", "stone_beds", 0, (1, 2), 0),
    "a planter": _moves("plan", "planters", 0),
    "a wall": _shortens,
    "a bench": _moves("plan", "benches", 0, "y"),
    "a counter": _moves("plan", "counters", 0),
    "a table": _moves("plan", "furniture", 1),
    "a light": _moves("plan", "fixtures", 7),
    "an outlet": _moves("plan", "outlets", 0),
    "a speaker": _moves("plan", "speakers", 0),
    "a gas stub": _moves("plan", "gas_stubs", 0),
    "a transformer": _moves("plan", "transformers", 0),
    "the slack of cables": _slackens,
}
