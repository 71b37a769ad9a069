"""The page of the crews' calendars."""

from dataclasses import dataclass

from fastapi import Response

from app.actions.days import crews
from app.actions.feeds import CREW, feeds
from app.schedule.records import Crew
from app.web.page import render
from app.web.sheets import Frame, desk_frame
from app.web.visit import Desk


@dataclass(frozen=True, slots=True)
class FeedsSheet:
    """Calendars of the crews.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    rows : tuple of (Crew, bool)
        Each crew, and whether its calendar is open.
    address : str
        Of the one just made; shown this once.
    """

    frame: Frame
    rows: tuple[tuple[Crew, bool], ...]
    address: str


def crew_feed_page(desk: Desk, address: str) -> Response:
    """The page, with the address just made."""
    opened = feeds(desk.db, CREW)
    sheet = FeedsSheet(
        frame=desk_frame(desk, "Calendars of the crews", at="/shop"),
        rows=tuple((crew, crew.code in opened) for crew in crews(desk.db)),
        address=address,
    )
    return render(desk.request, "pages/feeds.html", sheet)
