"""Sheet 7, Price: where each cent comes from, what was set by hand, how sure it is, and the cash."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from fastapi import APIRouter, Response

from app.actions.cash import CashView, cash_view
from app.actions.errors import NotFound, Refused, StaleSave
from app.actions.estimate_edits import (
    add_line,
    set_detail,
    set_override,
    set_range,
    set_special_orders,
    set_usual_ranges,
    take_back_line,
    take_back_override,
    undo,
)
from app.actions.price_risk import HowSure, how_sure
from app.actions.records import WorkedOut
from app.actions.shop import deposit_cap
from app.actions.takeoff import work_out
from app.agreement.stages import DEPOSIT_CAPS, DepositCap
from app.pricing.job_pricing import DETAILS, AddedLine, JobPricing, Override, Range
from app.pricing.labour import labour_rate
from app.pricing.records import PHASES, Estimate, EstimateLine, PhasePrice, PriceRules
from app.web.findings import Fault, count_words
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, as_day, as_decimal, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, job_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number, text

router = APIRouter()
_FIELDS = (
    ("cost", "cost of the whole line"),
    ("amount", "net amount"),
    ("unit_price", "unit price"),
    ("hours", "hours"),
    ("tax_pct", "rate of tax, %"),
)
_OVERRIDE = (
    Entry("field", "Figure to set", "choice", options=_FIELDS),
    Entry("value", "To", "number"),
    Entry("reason", "Why", hint="Stands beside the figure in the office; the client never sees it."),
)
_RANGE = (
    Entry("low_pct", "May cost less by", "number", unit="%"),
    Entry("high_pct", "May cost more by", "number", unit="%"),
)
_ADDED = (
    Entry("code", "Code", "code", "A short word of its own within the job."),
    Entry(
        "kind",
        "Kind",
        "choice",
        options=(
            ("allowance", "allowance: a sum for what is not chosen yet"),
            ("subcontract", "subcontract: somebody’s quote"),
            ("equipment", "equipment"),
        ),
    ),
    Entry("phase", "Phase", "choice", options=tuple((phase, phase) for phase in PHASES)),
    Entry("text", "What it is for"),
    Entry("amount", "Cost to the firm", "number"),
    Entry("reason", "What it covers, or whose quote of when it is"),
    Entry("valid_until_on", "A quote holds until", "date", is_needed=False),
)


@dataclass(frozen=True, slots=True)
class PriceSheet:
    """The whole price.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        For the addresses of forms.
    estimate : Estimate
        Lines, phases and the build-up.
    phases : tuple of (PhasePrice, tuple of EstimateLine)
        Lines gathered under their phase.
    rules : PriceRules
        The shop's figures that went in.
    hour : Decimal
        What an hour of labour costs, burden in.
    counts : str
        How many findings of each grade.
    pricing : JobPricing
        What was set by hand.
    version : int
        Of what was set by hand.
    many_rates : bool
        Whether some lines are taxed at other rates than the rest of their kind.
    sure : HowSure
        How sure price and days are.
    cash : CashView
        What is out of pocket on each day.
    cap : DepositCap or None
        On the deposit, where special orders count for it.
    details : tuple of str
        What the client can be shown.
    fields : tuple of Field
        The form for a sum that no assembly brings.
    faults : tuple of Fault
        What must be mended in it.
    """

    frame: Frame
    job_id: int
    estimate: Estimate
    phases: tuple[tuple[PhasePrice, tuple[EstimateLine, ...]], ...]
    rules: PriceRules
    hour: Decimal
    counts: str
    pricing: JobPricing
    version: int
    many_rates: bool
    sure: HowSure
    cash: CashView
    cap: DepositCap | None
    details: tuple[str, ...]
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class PriceLineSheet:
    """One line of the price.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        For the addresses of forms.
    version : int
        Of what was set by hand.
    line : EstimateLine
        As it stands.
    currency : str
        Of its cost.
    overrides : tuple of Override
        What was set by hand on it.
    fields, range_fields : tuple of Field
        The two forms.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    version: int
    line: EstimateLine
    currency: str
    overrides: tuple[Override, ...]
    fields: tuple[Field, ...]
    range_fields: tuple[Field, ...]
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/price")
def show_price(desk: AtDesk, job_id: int) -> Response:
    """Sheet 7."""
    return _page(desk, work_out(desk.db, job_id, desk.today))


@router.post("/jobs/{job_id}/price")
def save_price_sheet(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Add a sum that no assembly brings, take one out, give usual ranges, or say what the client is shown."""
    verb, _, code = text(form, "do").partition(":")
    version = number(form, "version")
    try:
        if verb == "take-out":
            take_back_line(desk.db, desk.staff, job_id, version, code, desk.now)
        elif verb == "undo":
            undo(desk.db, desk.staff, job_id, version, desk.now)
        elif verb == "ranges":
            lines = work_out(desk.db, job_id, desk.today).answer.estimate.lines
            set_usual_ranges(desk.db, desk.staff, job_id, version, lines, desk.now)
        elif verb == "special-orders":
            cost = as_decimal(text(form, "special_orders") or "0")
            if cost is None or cost < 0:
                wrong = {"special_orders": "Special orders: give an amount from 0 up, such as 5250.00"}
                return _page(desk, work_out(desk.db, job_id, desk.today), None, wrong)
            set_special_orders(desk.db, desk.staff, job_id, version, cost, desk.now)
        elif verb == "detail":
            wanted = text(form, "detail")
            detail = next((known for known in DETAILS if known == wanted), None)
            if detail is None:
                raise NotFound("way to show the price", wanted)
            set_detail(desk.db, desk.staff, job_id, version, detail, desk.now)
        else:
            values = typed(_ADDED, form)
            faults = missing(_ADDED, values)
            line = _added(values, faults)
            if line is None:
                return _page(desk, work_out(desk.db, job_id, desk.today), values, faults)
            add_line(desk.db, desk.staff, job_id, version, line, desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back=f"/jobs/{job_id}/price")
    return go(f"/jobs/{job_id}/price?said=saved")


@router.get("/jobs/{job_id}/price/line")
def show_price_line(desk: AtDesk, job_id: int, line: str = "") -> Response:
    """One line, with what can be set on it."""
    return _line_page(desk, work_out(desk.db, job_id, desk.today), line)


@router.post("/jobs/{job_id}/price/line")
def save_price_line(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Set a figure or a range of a line, or take one back."""
    line, version = text(form, "line", 200), number(form, "version")
    verb, _, field = text(form, "do").partition(":")
    values = typed(_RANGE if verb == "range" else _OVERRIDE, form)
    faults: dict[str, str] = {}
    try:
        if verb == "take-back":
            take_back_override(desk.db, desk.staff, job_id, version, line, field, desk.now)
        elif verb == "range":
            one = _range(line, values, faults)
            if not faults:
                set_range(desk.db, desk.staff, job_id, version, one, desk.now)
        else:
            faults = missing(_OVERRIDE, values)
            override = _override(line, values, faults)
            if override is not None:
                set_override(desk.db, desk.staff, job_id, version, override, desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back=f"/jobs/{job_id}/price")
    except Refused as refusal:
        faults["value"] = refusal.reason
    if faults:
        return _line_page(desk, work_out(desk.db, job_id, desk.today), line, values, faults)
    return go(f"/jobs/{job_id}/price?said=saved")


def _override(line: str, values: dict[str, str], faults: dict[str, str]) -> Override | None:
    """The override as typed; what cannot be read is put into `faults`."""
    value = as_decimal(values["value"])
    if values["value"] and (value is None or value < 0):
        faults["value"] = "To: give a number from 0 up, such as 12.50"
    field = next((known for known, _ in _FIELDS if known == values["field"]), None)
    if field is None:
        faults["field"] = "Choose the figure to set"
    if faults or value is None or field is None:
        return None
    return Override(line, field, value, values["reason"])  # type: ignore[arg-type]


def _range(line: str, values: dict[str, str], faults: dict[str, str]) -> Range:
    """The range as typed; what cannot be read is put into `faults`."""
    found = {name: as_decimal(values[name] or "0") for name in ("low_pct", "high_pct")}
    for entry in _RANGE:
        value = found[entry.name]
        if value is None or value < 0:
            faults[entry.name] = f"{entry.label}: give a number from 0 up"
    return Range(line, found["low_pct"] or Decimal(0), found["high_pct"] or Decimal(0))


def _added(values: dict[str, str], faults: dict[str, str]) -> AddedLine | None:
    """The added sum as typed; what cannot be read is put into `faults`."""
    amount = as_decimal(values["amount"])
    if values["amount"] and (amount is None or amount < 0):
        faults["amount"] = "Cost to the firm: give an amount from 0 up, such as 900"
    until: date | None = as_day(values["valid_until_on"]) if values["valid_until_on"] else None
    if values["valid_until_on"] and until is None:
        faults["valid_until_on"] = "Give the day as year-month-day, such as 2026-05-04"
    phase = next((known for known in PHASES if known == values["phase"]), None)
    if phase is None or values["kind"] not in ("allowance", "subcontract", "equipment"):
        faults["phase"] = "Choose kind and phase"
    if faults or amount is None or phase is None:
        return None
    kind = values["kind"]
    return AddedLine(values["code"], kind, phase, values["text"], amount, values["reason"], until)  # type: ignore[arg-type]


def _page(
    desk: Desk,
    worked: WorkedOut,
    values: dict[str, str] | None = None,
    faults: dict[str, str] | None = None,
) -> Response:
    estimate, faults, code = worked.answer.estimate, faults or {}, deposit_cap(desk.db)
    sheet = PriceSheet(
        frame=job_frame(desk, worked.sheet, 7, is_wrong=bool(faults)),
        job_id=worked.sheet.id,
        estimate=estimate,
        phases=tuple(
            (phase, tuple(line for line in estimate.lines if line.phase == phase.phase))
            for phase in sorted(estimate.phases, key=lambda phase: PHASES.index(phase.phase))
        ),
        rules=worked.prices.rules,
        hour=labour_rate(worked.prices.rules),
        counts=count_words(estimate.findings),
        pricing=worked.sheet.pricing,
        version=worked.sheet.pricing_version,
        many_rates=len({(line.kind, line.tax_pct) for line in estimate.lines})
        > len({line.kind for line in estimate.lines}),
        sure=how_sure(desk.db, worked),
        cash=cash_view(worked, code),
        cap=next((cap for cap in DEPOSIT_CAPS if cap.code == code and cap.with_special_orders), None),
        details=DETAILS,
        fields=draw(_ADDED, values or {}, faults),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    return render(desk.request, "pages/price.html", sheet, 422 if faults else 200)


def _line_page(
    desk: Desk,
    worked: WorkedOut,
    line_id: str,
    values: dict[str, str] | None = None,
    faults: dict[str, str] | None = None,
) -> Response:
    line = next((line for line in worked.answer.estimate.lines if line.id == line_id), None)
    if line is None:
        raise NotFound("line", line_id)
    pricing, faults = worked.sheet.pricing, faults or {}
    own = next((one for one in pricing.ranges if one.line == line_id), Range(line_id, Decimal(0), Decimal(0)))
    ranged = {"low_pct": str(own.low_pct), "high_pct": str(own.high_pct)}
    sheet = PriceLineSheet(
        frame=job_frame(desk, worked.sheet, 7, title=line.text, is_wrong=bool(faults)),
        job_id=worked.sheet.id,
        version=worked.sheet.pricing_version,
        line=line,
        currency=worked.answer.estimate.currency,
        overrides=tuple(one for one in pricing.overrides if one.line == line_id),
        fields=draw(_OVERRIDE, values or {}, faults),
        range_fields=draw(_RANGE, ranged | (values or {}), faults),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    return render(desk.request, "pages/price_line.html", sheet, 422 if faults else 200)
