"""The shop: the firm, its rules, crews and wording, and the assemblies to be read."""

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import get_args

from fastapi import APIRouter, Response

from app.actions.days import save_crew
from app.actions.errors import Refused, StaleSave
from app.actions.price import save_firm, save_rules, save_wording, shop
from app.actions.records import Shop
from app.actions.shop import has_shop
from app.agreement.records import Party, Wording
from app.agreement.terms import LANGUAGES
from app.pricing.labour import BEST_SCORE, LEAST_SCORE, SCORED
from app.pricing.records import KINDS, Kind, PriceRules
from app.pricing.rule_parts import ROUNDINGS, TaxCode, TaxShown, Worker
from app.schedule.records import Crew
from app.web.findings import Fault
from app.web.first_shop import FIRM
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, as_decimal, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number

router = APIRouter()
_TAX_ON = (
    ("materials", "materials: we pay it when we buy"),
    ("contract", "contract: added to the price"),
    ("none", "none"),
)
_RULES = (
    Entry("currency", "Currency", hint="Three letters, as in ISO 4217."),
    Entry("wage", "Wage per hour", "number"),
    Entry("burden_pct", "Burden on wage", "number", unit="%"),
    Entry("overhead_pct", "Overhead, share of the price", "number", unit="%"),
    Entry("profit_pct", "Profit, share of the price", "number", unit="%"),
    Entry("contingency_pct", "Contingency on cost", "number", unit="%"),
    Entry("tax_pct", "Tax", "number", unit="%"),
    Entry("tax_on", "Tax is paid on", "choice", options=_TAX_ON),
    Entry(
        "tax_shown",
        "Clients are shown prices",
        "choice",
        options=(("apart", "before tax, the tax beside them"), ("inside", "with the tax in them")),
    ),
    Entry(
        "taxed",
        "What is taxed",
        hint=f"Some of {', '.join(KINDS)}. Blank: material when we pay it, else all. Check local law.",
        is_needed=False,
    ),
    Entry(
        "tax_codes",
        "Other rates",
        "words",
        "One on a line: reduced 2.5 insulation (code, rate in %, what for or which certificate). "
        "Items in the price list bear the code.",
        is_needed=False,
    ),
    Entry(
        "access_by",
        "Access factor is taken from",
        "choice",
        options=(("shop", "the figure below"), ("way up", "the minutes of one trip, on the survey")),
    ),
    Entry("access_factor", "Access factor on hours", "number", "1 is ground level."),
    Entry("set_up_h", "Setting up and clearing, of one person’s day", "number", unit="h"),
    Entry("validity_days", "An offer holds for", "count", unit="days"),
    Entry("deposit_pct", "Deposit", "number", unit="%"),
    Entry("holdback_pct", "Holdback", "number", unit="%"),
    Entry("stale_after_days", "A price is stale after", "count", unit="days"),
    Entry(
        "rounding",
        "The price before tax is rounded to",
        "choice",
        options=(
            ("cent", "the cent"),
            ("one", "whole units"),
            ("five", "5"),
            ("ten", "10"),
            ("fifty", "50"),
        ),
    ),
    Entry(
        "efficiency",
        "How well work goes, eight scores",
        hint=f"From {LEAST_SCORE} to {BEST_SCORE}, for {', '.join(SCORED)}; 67 is usual. Blank: not scored.",
        is_needed=False,
    ),
    Entry(
        "mix",
        "The crew’s mix",
        "words",
        "One on a line: lead 38.00 45 1 (name, wage, burden in %, share). Blank: the wage above.",
        is_needed=False,
    ),
)
_CREW = (
    Entry("code", "Code"),
    Entry("name", "Name"),
    Entry("people", "People", "count"),
    Entry("day_h", "Hours of one person in a day", "number", unit="h"),
)


@dataclass(frozen=True, slots=True)
class ShopSheet:
    """One page of the shop.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    shop : Shop
        Firm-wide settings.
    fields : tuple of Field
        The page's form.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    shop: Shop
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]


@router.get("/shop")
def show_firm(desk: AtDesk) -> Response:
    """The firm's details as printed; a firm that is not entered yet is asked for them."""
    if not has_shop(desk.db):
        return go("/shop/open")
    firm = shop(desk.db).firm
    return _page(desk, "Firm", FIRM, {entry.name: getattr(firm, entry.name) for entry in FIRM}, {})


@router.post("/shop")
def save_firm_details(desk: AtDesk, form: Posted) -> Response:
    """Save the firm's details."""
    values = typed(FIRM, form)
    faults = missing(FIRM, values)
    if faults:
        return _page(desk, "Firm", FIRM, values, faults)
    try:
        save_firm(desk.db, desk.staff, number(form, "version"), Party(**values), desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back="/shop")
    return go("/shop?said=saved")


@router.get("/shop/rules")
def show_rules(desk: AtDesk) -> Response:
    """How cost becomes price."""
    rules = shop(desk.db).rules
    values = {entry.name: str(getattr(rules, entry.name)) for entry in _RULES}
    values["efficiency"] = " ".join(map(str, rules.efficiency))
    values["taxed"] = ", ".join(rules.taxed)
    values["tax_codes"] = "\n".join(f"{c.code} {c.rate_pct} {c.text}".strip() for c in rules.tax_codes)
    values["mix"] = "\n".join(f"{w.name} {w.wage} {w.burden_pct} {w.share}" for w in rules.mix)
    return _page(desk, "Rules", _RULES, values, {})


@router.post("/shop/rules")
def save_price_rules(desk: AtDesk, form: Posted) -> Response:
    """Save how cost becomes price."""
    values = typed(_RULES, form)
    faults = missing(_RULES, values)
    rules = _rules(shop(desk.db).rules, values, faults)
    if faults:
        return _page(desk, "Rules", _RULES, values, faults)
    try:
        save_rules(desk.db, desk.staff, number(form, "version"), rules, desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back="/shop/rules")
    return go("/shop/rules?said=saved")


@router.get("/shop/crews")
def show_crews(desk: AtDesk) -> Response:
    """The crews, and the calendar they work by."""
    return _page(desk, "Crews", _CREW, {}, {})


@router.post("/shop/crews")
def save_one_crew(desk: AtDesk, form: Posted) -> Response:
    """Add a crew, or change it by its code."""
    values = typed(_CREW, form)
    faults = missing(_CREW, values)
    hours = as_decimal(values["day_h"])
    if not values["people"].isdecimal() or not 1 <= int(values["people"]) <= 50:
        faults["people"] = "Give the people as a whole number from 1 to 50"
    if hours is None or not 0 < hours <= 16:
        faults["day_h"] = "Give the hours of a day as a number up to 16"
    if faults or hours is None:
        return _page(desk, "Crews", _CREW, values, faults)
    crew = Crew(values["code"], values["name"], int(values["people"]), float(hours))
    save_crew(desk.db, desk.staff, crew, desk.now)
    return go("/shop/crews?said=saved")


@router.get("/shop/wording")
def show_wording(desk: AtDesk) -> Response:
    """The wording of documents; each piece is the shop's own to check against local law."""
    wording = shop(desk.db).wording
    return _page(desk, "Wording", _wording_entries(desk), {part.code: part.text for part in wording}, {})


@router.post("/shop/wording")
def save_documents_wording(desk: AtDesk, form: Posted) -> Response:
    """Save the wording of documents."""
    entries = _wording_entries(desk)
    values = typed(entries, form, 20_000)
    faults = missing(entries, values)
    if faults:
        return _page(desk, "Wording", entries, values, faults)
    known = shop(desk.db).wording
    wording = tuple(
        _titled(part, values[part.code]) for part in (*known, *_not_yet(known)) if values[part.code]
    )
    try:
        save_wording(desk.db, desk.staff, number(form, "version"), wording, desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back="/shop/wording")
    except Refused as refusal:
        return _page(desk, "Wording", entries, values, {entries[0].name: refusal.reason})
    return go("/shop/wording?said=saved")


def _wording_entries(desk: Desk) -> tuple[Entry, ...]:
    hint = (
        "Blank lines part paragraphs; a line starting with a hyphen is one of a list; a first line starting "
        "with # is its title."
    )
    known = shop(desk.db).wording
    return tuple(
        Entry(
            part.code,
            part.title or part.code,
            "words",
            f"{hint} {part.source}".strip(),
            is_needed="." not in part.code,
        )
        for part in (*known, *_not_yet(known))
    )


def _titled(part: Wording, text: str) -> Wording:
    """The text as typed; a first line that starts with # is its title."""
    first, _, rest = text.partition("\n")
    if first.startswith("# ") and rest.strip():
        return replace(part, title=first.removeprefix("# ").strip(), text=rest.strip())
    return replace(part, text=text)


def _not_yet(known: tuple[Wording, ...]) -> tuple[Wording, ...]:
    """The texts that another language still lacks, blank, under the title that a dictionary gives."""
    codes = {part.code for part in known}
    plain = [part for part in known if "." not in part.code]
    return tuple(
        Wording(f"{part.code}.{language}", f"{part.title} ({language})", "", "")
        for language in LANGUAGES
        for part in plain
        if language != "en" and f"{part.code}.{language}" not in codes
    )


def _rules(old: PriceRules, values: dict[str, str], faults: dict[str, str]) -> PriceRules:
    """The rules as typed; what cannot be read is put into `faults`."""
    read: dict[str, object] = {"currency": values["currency"].upper(), "tax_on": values["tax_on"]}
    for entry in _RULES:
        if entry.shape == "number":
            amount = as_decimal(values[entry.name])
            most = Decimal(100) if entry.unit == "%" else Decimal(10_000)
            if amount is None or not 0 <= amount <= most:
                faults.setdefault(entry.name, f"{entry.label}: give a number from 0 to {most}")
            read[entry.name] = amount
        elif entry.shape == "count":
            if not values[entry.name].isdecimal() or not 1 <= int(values[entry.name]) <= 3650:
                faults.setdefault(entry.name, f"{entry.label}: give a whole number of days from 1 to 3650")
            else:
                read[entry.name] = int(values[entry.name])
    if len(values["currency"]) != 3 or not values["currency"].isalpha():
        faults.setdefault("currency", "Currency: give three letters, such as USD")
    read |= {"access_by": values["access_by"], "rounding": values["rounding"]}
    if values["access_by"] not in ("shop", "way up") or values["rounding"] not in ROUNDINGS:
        faults.setdefault(
            "rounding", "Choose what prices are rounded to, and where the access factor is from"
        )
    read |= {"efficiency": _scores(values["efficiency"], faults), "mix": _mix(values["mix"], faults)}
    read |= {"taxed": _taxed(values["taxed"], faults), "tax_codes": _tax_codes(values["tax_codes"], faults)}
    read["tax_shown"] = _tax_shown(values, faults)
    return old if faults else replace(old, **read)  # type: ignore[arg-type]


def _tax_shown(values: dict[str, str], faults: dict[str, str]) -> str:
    """How clients are shown prices; what does not go together is put into `faults`."""
    if values["tax_on"] not in dict(_TAX_ON):
        faults.setdefault("tax_on", "Choose what tax falls on")
    if values["tax_shown"] not in get_args(TaxShown):
        faults.setdefault("tax_shown", "Choose how clients are shown prices")
    elif values["tax_shown"] == "inside" and values["tax_on"] != "contract":
        faults.setdefault("tax_shown", "Prices with tax in them need tax on the contract: choose that above")
    return values["tax_shown"]


def _scores(text: str, faults: dict[str, str]) -> tuple[int, ...]:
    """Eight scores, or none; a fault otherwise."""
    words = text.replace(",", " ").split()
    right = all(word.isdecimal() and LEAST_SCORE <= int(word) <= BEST_SCORE for word in words)
    if words and (len(words) != len(SCORED) or not right):
        faults["efficiency"] = f"Give {len(SCORED)} whole numbers from {LEAST_SCORE} to {BEST_SCORE}, or none"
        return ()
    return tuple(map(int, words))


def _taxed(text: str, faults: dict[str, str]) -> tuple[Kind, ...]:
    """The kinds that are taxed, in their usual order; a word that is none is put into `faults`."""
    words = text.lower().replace(",", " ").split()
    wrong = [word for word in words if word not in KINDS]
    if wrong:
        faults["taxed"] = f"“{wrong[0][:40]}”: give some of {', '.join(KINDS)}"
    return tuple(kind for kind in KINDS if kind in words)


def _tax_codes(text: str, faults: dict[str, str]) -> tuple[TaxCode, ...]:
    """The rates beside the usual one; a line that cannot be read is put into `faults`."""
    found: list[TaxCode] = []
    for line in filter(None, map(str.strip, text.splitlines())):
        code, rate, words = [*line.split(maxsplit=2), "", ""][:3]
        amount = as_decimal(rate.removesuffix("%"))
        is_new = code not in [one.code for one in found]
        if amount is None or not 0 <= amount <= 100 or len(code) > 20 or not is_new:
            faults["tax_codes"] = f"“{line[:40]}”: give a code of its own and a rate, such as reduced 2.5"
            return ()
        found.append(TaxCode(code, amount, words))
    return tuple(found)


def _mix(text: str, faults: dict[str, str]) -> tuple[Worker, ...]:
    """Who makes up an hour; a line that cannot be read is put into `faults`."""
    found = []
    for line in filter(None, map(str.strip, text.splitlines())):
        name, *figures = line.rsplit(maxsplit=3)
        amounts = [as_decimal(figure) for figure in figures]
        if len(amounts) != 3 or any(amount is None or amount < 0 for amount in amounts) or not amounts[2]:
            faults["mix"] = f"“{line[:40]}”: give name, wage, burden in % and share, such as lead 38.00 45 1"
            return ()
        wage, burden, share = (amount or Decimal(0) for amount in amounts)
        found.append(Worker(name, wage, burden, share))
    return tuple(found)


def _page(
    desk: Desk,
    title: str,
    entries: tuple[Entry, ...],
    values: dict[str, str],
    faults: dict[str, str],
) -> Response:
    sheet = ShopSheet(
        frame=desk_frame(desk, title, at="/shop", is_wrong=bool(faults)),
        shop=shop(desk.db),
        fields=draw(entries, values, faults),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    page = "crews" if title == "Crews" else "shop"
    return render(desk.request, f"pages/{page}.html", sheet, 422 if faults else 200)
