"""A stale save: both versions side by side, neither lost."""

import json
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any

from fastapi import Response

from app.actions.errors import Saved, StaleSave
from app.web.page import render
from app.web.sheets import Frame, desk_frame
from app.web.visit import Desk


@dataclass(frozen=True, slots=True)
class Difference:
    """One place where the two differ, as text."""

    place: str
    theirs: str
    yours: str


@dataclass(frozen=True, slots=True)
class StaleSheet:
    """Two versions of the same thing.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    theirs, yours : Saved
        What is stored, and what was sent.
    theirs_text, yours_text : str
        Both whole, as text that can be copied.
    differences : tuple of Difference
        The places where they differ.
    back : str
        Where the stored version can be changed.
    """

    frame: Frame
    theirs: Saved
    yours: Saved
    theirs_text: str
    yours_text: str
    differences: tuple[Difference, ...]
    back: str


def show_stale(desk: Desk, stale: StaleSave, *, back: str) -> Response:
    """Show what is stored beside what was sent, with the way back to the form."""
    sheet = StaleSheet(
        frame=desk_frame(desk, "Somebody saved first", at="", is_wrong=True),
        theirs=stale.theirs,
        yours=stale.yours,
        theirs_text=_text(stale.theirs.content),
        yours_text=_text(stale.yours.content),
        differences=tuple(_differences("", stale.theirs.content, stale.yours.content)),
        back=back,
    )
    return render(desk.request, "pages/stale.html", sheet, HTTPStatus.CONFLICT)


def _text(content: Any) -> str:
    return json.dumps(content, indent=2, ensure_ascii=False, default=str)


def _differences(place: str, theirs: Any, yours: Any) -> list[Difference]:
    """The leaves that differ, with the path to each."""
    if theirs == yours:
        return []
    if isinstance(theirs, dict) and isinstance(yours, dict):
        keys = [*theirs, *(key for key in yours if key not in theirs)]
        return [
            found
            for key in keys
            for found in _differences(f"{place}.{key}".lstrip("."), theirs.get(key), yours.get(key))
        ]
    if isinstance(theirs, list) and isinstance(yours, list):
        return [
            found
            for index in range(max(len(theirs), len(yours)))
            for found in _differences(
                f"{place}[{index}]",
                theirs[index] if index < len(theirs) else None,
                yours[index] if index < len(yours) else None,
            )
        ]
    return [Difference(place, _leaf(theirs), _leaf(yours))]


def _leaf(value: Any) -> str:
    return "nothing" if value is None else json.dumps(value, ensure_ascii=False, default=str)
