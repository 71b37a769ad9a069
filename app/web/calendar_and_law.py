"""The shop's calendar, and which preset of local law it goes by."""

from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter, Response

from app.actions.errors import Refused, StaleSave
from app.actions.price import shop
from app.actions.records import Shop
from app.actions.shop import save_calendar, save_law
from app.agreement.stages import DEPOSIT_CAPS
from app.agreement.withdrawal import PRESETS
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, as_day, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number

router = APIRouter()
_WEEKDAYS = tuple(
    (str(number), name)
    for number, name in enumerate(
        ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
    )
)
_CALENDAR = (
    Entry("region", "Region whose public holidays are days off", hint="Such as US-ME, CA-ON or GB-SCT."),
    Entry(
        "days_off",
        "The firm's own days off",
        "words",
        "One on a line: 2026-12-24 Yard closed.",
        is_needed=False,
    ),
)
_LAW = (
    Entry(
        "withdrawal",
        "Right to cancel",
        "choice",
        "While it runs, nothing is ordered that cannot be returned and no work starts.",
        is_needed=False,
        options=(("", "no preset"), *((rule.code, rule.name) for rule in PRESETS)),
    ),
    Entry(
        "deposit_cap",
        "Cap on the deposit",
        "choice",
        is_needed=False,
        options=(("", "no preset"), *((cap.code, cap.name) for cap in DEPOSIT_CAPS)),
    ),
)


@dataclass(frozen=True, slots=True)
class CalendarSheet:
    """Days worked, and the presets of local law.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    shop : Shop
        Its version and what is set.
    calendar, law : tuple of Field
        The two forms.
    weekdays : tuple of (str, str, bool)
        Number, name and whether it is worked.
    sources : tuple of (str, str)
        Each preset's name and where it comes from.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    shop: Shop
    calendar: tuple[Field, ...]
    law: tuple[Field, ...]
    weekdays: tuple[tuple[str, str, bool], ...]
    sources: tuple[tuple[str, str], ...]
    faults: tuple[Fault, ...]


@router.get("/shop/calendar")
def show_calendar(desk: AtDesk) -> Response:
    """Days worked, and the presets of local law."""
    return _page(desk, {}, {})


@router.post("/shop/calendar")
def save_shop_calendar(desk: AtDesk, form: Posted) -> Response:
    """Save region, worked weekdays and the firm's own days off."""
    values = typed(_CALENDAR, form)
    faults = missing(_CALENDAR, values)
    days_off = _days_off(values["days_off"], faults)
    weekdays = tuple(int(day) for day, _ in _WEEKDAYS if day in form.getlist("weekday"))
    if faults:
        return _page(desk, values, faults)
    calendar = (values["region"], weekdays, days_off)
    try:
        save_calendar(desk.db, desk.staff, number(form, "version"), calendar, desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back="/shop/calendar")
    except Refused as refusal:
        return _page(desk, values, {"weekday-0": refusal.reason})
    return go("/shop/calendar?said=saved")


@router.post("/shop/law")
def save_shop_law(desk: AtDesk, form: Posted) -> Response:
    """Save which presets of local law hold."""
    values = typed(_LAW, form)
    try:
        save_law(
            desk.db,
            desk.staff,
            number(form, "version"),
            values["withdrawal"],
            values["deposit_cap"],
            desk.now,
        )
    except StaleSave as stale:
        return show_stale(desk, stale, back="/shop/calendar")
    return go("/shop/calendar?said=saved")


def _days_off(text: str, faults: dict[str, str]) -> tuple[tuple[date, str], ...]:
    """Days off with their names; a line that cannot be read is put into `faults`."""
    found = []
    for line in filter(None, map(str.strip, text.splitlines())):
        day, _, name = line.partition(" ")
        on = as_day(day)
        if on is None:
            faults["days_off"] = f"“{line[:40]}” does not start with a day such as 2026-12-24"
        else:
            found.append((on, name.strip() or "day off"))
    return tuple(sorted(found))


def _page(desk: Desk, values: dict[str, str], faults: dict[str, str]) -> Response:
    settings = shop(desk.db)
    stored = {
        "region": settings.region,
        "days_off": "\n".join(f"{on.isoformat()} {name}" for on, name in settings.days_off),
        "withdrawal": settings.withdrawal,
        "deposit_cap": settings.deposit_cap,
    }
    sheet = CalendarSheet(
        frame=desk_frame(desk, "Calendar and law", at="/shop", is_wrong=bool(faults)),
        shop=settings,
        calendar=draw(_CALENDAR, stored | values, faults),
        law=draw(_LAW, stored, {}),
        weekdays=tuple((day, name, int(day) in settings.weekdays) for day, name in _WEEKDAYS),
        sources=(
            *((rule.name, rule.source) for rule in PRESETS),
            *((cap.name, cap.source) for cap in DEPOSIT_CAPS),
        ),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    return render(desk.request, "pages/calendar.html", sheet, 422 if faults else 200)
