"""This week: the days across, the crews down; what must be ordered and who waits for an answer below."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.days import this_week
from app.actions.records import WeekCell, WeekView
from app.actions.shop import has_shop
from app.schedule.records import Crew
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class WeekSheet:
    """The staff's first page.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    week : WeekView
        Days, orders due and who waits.
    rows : tuple of (Crew, tuple of WeekCell)
        One row for each crew, one cell for each day.
    today : str
        Today, as in the days.
    """

    frame: Frame
    week: WeekView
    rows: tuple[tuple[Crew, tuple[WeekCell | None, ...]], ...]
    today: str


@router.get("/")
def show_week(desk: AtDesk) -> Response:
    """This week; a firm that has not entered itself yet does that first."""
    if not has_shop(desk.db):
        return go("/shop/open")
    week = this_week(desk.db, desk.today)
    cells = {(cell.crew_code, cell.on): cell for cell in week.cells}
    sheet = WeekSheet(
        frame=desk_frame(desk, "This week", at="/"),
        week=week,
        rows=tuple((crew, tuple(cells.get((crew.code, on)) for on in week.days)) for crew in week.crews),
        today=desk.today.isoformat(),
    )
    return render(desk.request, "pages/week.html", sheet)
