"""The shop's rules of work: when the day begins, weather, leave, the hoist."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Response

from app.actions.by_hand import save_work_rules, work_rules
from app.actions.days import crews
from app.actions.errors import Refused
from app.schedule import links
from app.schedule.notice import notice_days
from app.schedule.records import Crew
from app.schedule.work_rules import HOIST, KINDS, UNITS, Absence, TaskWeather, WorkRules
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, as_day, as_decimal, draw, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted, text

router = APIRouter()
_NOTICE = (
    ("notice_electrician", links.ELECTRICIAN),
    ("notice_gas", links.GAS_FITTER),
    ("notice_inspector", links.INSPECTOR),
    ("notice_subcontractor", links.SUBCONTRACTOR),
    ("notice_roofer", links.ROOFER),
)
_FORM = (
    Entry("starts_h", "The day begins at", "number", unit="h"),
    Entry("hoists", "Hoists of our own", "count", "0 when they are hired as needed."),
    Entry(
        "lost", "Working days lost to weather, January to December", hint="Twelve numbers, parted by blanks."
    ),
    *(Entry(name, f"Notice of the {who}", "count", unit="working days") for name, who in _NOTICE),
    Entry(
        "tell",
        "Told by mail when their days change",
        "words",
        "One a line: crew or outsider; address. Example: licensed electrician; spark@example.org",
        is_needed=False,
    ),
    Entry(
        "weather",
        "Rules by task",
        "words",
        "One a line: task; rain, cold or wind, with a limit in °C or km/h where there is one; the rule. "
        "Example: frame; cold 5; no pad adhesive below the temperature on its label",
    ),
)


@dataclass(frozen=True, slots=True)
class WorkRulesSheet:
    """The rules of work.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    fields : tuple of Field
        The form.
    absences : tuple of Absence
        Who is away when.
    crews : tuple of Crew
        Who can be away.
    names : dict of str to str
        Crews and the hoist by code.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    fields: tuple[Field, ...]
    absences: tuple[Absence, ...]
    crews: tuple[Crew, ...]
    names: dict[str, str]
    faults: tuple[Fault, ...]


@router.get("/shop/work")
def show_work_rules(desk: AtDesk) -> Response:
    """The rules of work."""
    return _page(desk, _values(work_rules(desk.db), _names(desk)), {})


@router.post("/shop/work")
def save_rules_of_work(desk: AtDesk, form: Posted) -> Response:
    """Save the rules of work, or one absence more or less."""
    rules = work_rules(desk.db)
    if text(form, "do") == "absence" or text(form, "remove"):
        return _save_absence(desk, form, rules)
    values = typed(_FORM, form)
    faults: dict[str, str] = {}
    new = _read(rules, values, faults, _names(desk))
    return _page(desk, values, faults) if faults else _save(desk, new, values)


def _save_absence(desk: Desk, form: Posted, rules: WorkRules) -> Response:
    removed = text(form, "remove")
    if removed:
        kept = tuple(one for number, one in enumerate(rules.absences) if str(number) != removed)
        return _save(desk, replace(rules, absences=kept), _values(rules, _names(desk)))
    first, last = as_day(text(form, "from_on")), as_day(text(form, "until_on") or text(form, "from_on"))
    who = text(form, "crew", 40)
    if first is None or last is None or who not in {"", HOIST, *(crew.code for crew in crews(desk.db))}:
        words = "Give the first day as year-month-day, such as 2026-05-14"
        return _page(desk, _values(rules, _names(desk)), {}, (Fault(words, field_id("from_on")),))
    reason = text(form, "reason", 120) or "leave"
    new = Absence(first, last, who, text(form, "person", 120), reason)
    return _save(desk, replace(rules, absences=(*rules.absences, new)), _values(rules, _names(desk)))


def _save(desk: Desk, rules: WorkRules, values: dict[str, str]) -> Response:
    try:
        save_work_rules(desk.db, desk.staff, rules, desk.now)
    except Refused as refusal:
        return _page(desk, values, {}, (Fault(refusal.reason),))
    return go("/shop/work?said=saved")


def _names(desk: Desk) -> dict[str, str]:
    """The crews by code."""
    return {crew.code: crew.name for crew in crews(desk.db)}


def _read(
    rules: WorkRules, values: dict[str, str], faults: dict[str, str], names: dict[str, str]
) -> WorkRules:
    """The rules as typed; what cannot be read is put into `faults`."""
    starts = as_decimal(values["starts_h"])
    if starts is None or not 0 <= starts < 24:
        faults["starts_h"] = "Give the hour the day begins as a number from 0 to 23.9"
    if not values["hoists"].isdecimal() or int(values["hoists"]) > 9:
        faults["hoists"] = "Give the hoists as a whole number from 0 to 9"
    lost = [as_decimal(word) for word in values["lost"].split()]
    if len(lost) != 12 or any(one is None or not 0 <= one <= 31 for one in lost):
        faults["lost"] = "Give twelve numbers from 0 to 31, parted by blanks"
    for name, who in _NOTICE:
        if not values[name].isdecimal() or int(values[name]) > 60:
            faults[name] = f"Give the notice of the {who} as a whole number of working days from 0 to 60"
    weather = []
    for line in filter(None, (line.strip() for line in values["weather"].splitlines())):
        parts = [part.strip() for part in line.split(";", 2)]
        kind, _, typed_limit = parts[1].partition(" ") if len(parts) == 3 else ("", "", "")
        limit = as_decimal(typed_limit.replace("\u2212", "-")) if typed_limit.strip() else None
        if kind not in KINDS or (typed_limit.strip() and (limit is None or kind not in UNITS)):
            faults["weather"] = (
                f"“{line[:60]}” should read: task; rain, cold or wind; the rule in words; cold may have a "
                "limit in °C and wind one in km/h, such as cold 5"
            )
            break
        weather.append(TaskWeather(parts[0], kind, parts[2], None if limit is None else float(limit)))
    tell = _tell(values["tell"], names, faults)
    if faults:
        return rules
    return replace(
        rules,
        starts_h=float(starts or 0),
        hoists=int(values["hoists"]),
        lost_days=tuple(float(one or 0) for one in lost),
        task_weather=tuple(weather),
        tell=tell,
        notice=tuple((who, int(values[name])) for name, who in _NOTICE),
    )


def _tell(typed: str, names: dict[str, str], faults: dict[str, str]) -> tuple[tuple[str, str], ...]:
    """Who is told where, by crew code or outsider; a line that cannot be read is put into `faults`."""
    codes = {name.casefold(): code for code, name in names.items()} | {
        who.casefold(): who for _, who in _NOTICE
    }
    found = []
    for line in filter(None, map(str.strip, typed.splitlines())):
        who, _, address = (part.strip() for part in line.partition(";"))
        if who.casefold() not in codes or "@" not in address or len(address) > 200:
            known = ", ".join([*names.values(), *(who for _, who in _NOTICE)])
            faults["tell"] = f"“{line[:60]}” should read: name; address. The names are {known}"
            break
        found.append((codes[who.casefold()], address))
    return tuple(found)


def _values(rules: WorkRules, names: dict[str, str]) -> dict[str, str]:
    return {
        "tell": "\n".join(f"{names.get(who, who)}; {address}" for who, address in rules.tell),
        "starts_h": f"{rules.starts_h:g}",
        "hoists": str(rules.hoists),
        "lost": " ".join(f"{days:g}" for days in rules.lost_days),
        **{name: str(notice_days(rules, who)) for name, who in _NOTICE},
        "weather": "\n".join(
            f"{rule.step}; {rule.kind}{'' if rule.limit is None else f' {rule.limit:g}'}; {rule.text}"
            for rule in rules.task_weather
        ),
    }


def _page(
    desk: Desk, values: dict[str, str], faults: dict[str, str], lines: tuple[Fault, ...] = ()
) -> Response:
    known = crews(desk.db)
    lines = lines or tuple(Fault(words, field_id(name)) for name, words in faults.items())
    sheet = WorkRulesSheet(
        frame=desk_frame(desk, "Rules of work", at="/shop", is_wrong=bool(lines)),
        fields=draw(_FORM, values, faults),
        absences=work_rules(desk.db).absences,
        crews=known,
        names={"": "the whole firm", HOIST: "the hoist"} | {crew.code: crew.name for crew in known},
        faults=lines,
    )
    return render(desk.request, "pages/work_rules.html", sheet, 422 if lines else 200)
