"""The shop's calendar, and which preset of local law it goes by."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter, Response

from app.actions.errors import Refused, StaleSave
from app.actions.law import note_check, save_own_clock, take_over
from app.actions.offer_page import old_law
from app.actions.price import shop
from app.actions.records import Shop
from app.actions.shop import save_calendar, save_law
from app.agreement.presets import LAW_PRESETS, LawPreset, law_preset
from app.agreement.stages import DEPOSIT_CAPS
from app.agreement.withdrawal import OWN, PRESETS, DayKind, StartEvent, WithdrawalRule
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, as_day, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number, text

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
        options=(("", "no preset"), *((rule.code, rule.name) for rule in PRESETS), (OWN, "our own clock")),
    ),
    Entry(
        "deposit_cap",
        "Cap on the deposit",
        "choice",
        is_needed=False,
        options=(("", "no preset"), *((cap.code, cap.name) for cap in DEPOSIT_CAPS)),
    ),
)
_REGION = (
    Entry(
        "law",
        "Region",
        "choice",
        "Clock, cap, statement beside the signature, consent to records; blank particulars are filled in.",
        options=tuple((one.code, one.name) for one in LAW_PRESETS),
    ),
)
_CHECKED = (
    Entry("law_checked_by", "Checked by", hint="Counsel, an association, yourself."),
    Entry("law_months", "To be checked again after", "count", unit="months"),
)
_KINDS: tuple[tuple[DayKind, str], ...] = (
    ("calendar", "every day"),
    ("business with Saturday", "business days, Saturday too"),
    ("business Monday to Friday", "business days, Monday to Friday"),
)
_STARTS: tuple[tuple[StartEvent, str], ...] = (
    ("signed", "the signature"),
    ("copy delivered", "the signed copy in the client’s hands"),
    ("goods delivered", "the goods delivered"),
    ("information given", "the information given with the offer"),
)
_OWN = (
    Entry("own_name", "Name of the clock"),
    Entry("own_count", "Days", "count", "The day it starts on is not counted."),
    Entry("own_kind", "Which days count", "choice", options=_KINDS),
    Entry("own_start", "Starts with", "choice", options=_STARTS),
    Entry(
        "own_holidays",
        "Holidays that do not count",
        hint="Region such as US, US-MA or SG; blank: none. Midnight is that of the site’s own time zone.",
        is_needed=False,
    ),
    Entry("own_source", "Law it comes from", hint="Section, and how and when it was read."),
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
    calendar, law, region, checked, own : tuple of Field
        The forms.
    old : tuple of str
        What was read or checked too long ago.
    preset : LawPreset or None
        The region's preset that was taken over.
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
    region: tuple[Field, ...]
    checked: tuple[Field, ...]
    own: tuple[Field, ...]
    old: tuple[str, ...]
    preset: LawPreset | None
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


@router.post("/shop/law/preset")
def save_preset(desk: AtDesk, form: Posted) -> Response:
    """Take over the preset of a region."""
    version, code = number(form, "version"), text(form, "law", 40)
    return _tried(desk, lambda: take_over(desk.db, desk.staff, version, code, desk.now), "law")


@router.post("/shop/law/checked")
def save_check(desk: AtDesk, form: Posted) -> Response:
    """Note that local law was checked today."""
    values = typed(_CHECKED, form)
    months = int(values["law_months"][:3]) if values["law_months"].isdecimal() else 0
    version, who = number(form, "version"), values["law_checked_by"]
    return _tried(
        desk,
        lambda: note_check(desk.db, desk.staff, version, who, months, desk.now, desk.today),
        "law_checked_by",
    )


@router.post("/shop/law/own")
def save_own(desk: AtDesk, form: Posted) -> Response:
    """Set the firm's own clock of the right to cancel."""
    values = typed(_OWN, form)
    kind = next((one for one, _ in _KINDS if one == values["own_kind"]), _KINDS[0][0])
    start = next((one for one, _ in _STARTS if one == values["own_start"]), _STARTS[0][0])
    rule = WithdrawalRule(
        OWN,
        values["own_name"],
        int(values["own_count"][:4]) if values["own_count"].isdecimal() else 0,
        kind,
        start,
        0,
        values["own_source"],
        values["own_holidays"],
        desk.today,
    )
    version = number(form, "version")
    return _tried(
        desk, lambda: save_own_clock(desk.db, desk.staff, version, rule, desk.now), "own_name", values
    )


def _tried(desk: Desk, save: Callable[[], int], field: str, values: dict[str, str] | None = None) -> Response:
    """Save, or say why not beside the field."""
    try:
        save()
    except StaleSave as stale:
        return show_stale(desk, stale, back="/shop/calendar")
    except Refused as refusal:
        return _page(desk, values or {}, {field: refusal.reason})
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


def _own_values(settings: Shop) -> dict[str, str]:
    rule = settings.terms.own_clock
    if rule is None:
        return {"own_kind": "calendar", "own_start": "signed"}
    return {
        "own_name": rule.name,
        "own_count": str(rule.count),
        "own_kind": rule.day_kind,
        "own_start": rule.starts_when,
        "own_holidays": rule.holidays,
        "own_source": rule.source,
    }


def _page(desk: Desk, values: dict[str, str], faults: dict[str, str]) -> Response:
    settings = shop(desk.db)
    stored = {
        "region": settings.region,
        "days_off": "\n".join(f"{on.isoformat()} {name}" for on, name in settings.days_off),
        "withdrawal": settings.withdrawal,
        "deposit_cap": settings.deposit_cap,
        "law": settings.terms.law,
        "law_checked_by": settings.terms.law_checked_by,
        "law_months": str(settings.terms.law_months),
    }
    sheet = CalendarSheet(
        frame=desk_frame(desk, "Calendar and law", at="/shop", is_wrong=bool(faults)),
        shop=settings,
        calendar=draw(_CALENDAR, stored | values, faults),
        law=draw(_LAW, stored, {}),
        region=draw(_REGION, stored, {}),
        checked=draw(_CHECKED, stored | values, faults),
        own=draw(_OWN, _own_values(settings) | values, faults),
        old=old_law(desk.db, desk.today),
        preset=law_preset(settings.terms.law),
        weekdays=tuple((day, name, int(day) in settings.weekdays) for day, name in _WEEKDAYS),
        sources=(
            *((rule.name, rule.source) for rule in PRESETS),
            *((cap.name, cap.source) for cap in DEPOSIT_CAPS),
        ),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    return render(desk.request, "pages/calendar.html", sheet, 422 if faults else 200)
