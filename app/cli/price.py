"""`upstand price`."""

from argparse import Namespace
from decimal import Decimal

from app.actions.answer_json import price_json
from app.actions.from_file import FileAnswer
from app.cli.job import answer_of, print_json
from app.cli.tables import findings_text, money_text, packs_text, section, table
from app.pricing.records import Estimate, EstimateLine


def run(options: Namespace) -> int:
    """Print where each cent comes from."""
    answered = answer_of(options)
    if options.json:
        shop = answered.shop
        return print_json(price_json(answered.job, answered.answer.estimate, shop.book, shop.name))
    print(price_text(answered))
    return 0


def price_text(answered: FileAnswer) -> str:
    """Give the price for a person."""
    estimate = answered.answer.estimate
    findings = answered.answer.takeoff.findings + estimate.findings
    return "\n".join(
        (
            f"{answered.job.title} ({answered.job.id})",
            f"Prices: {answered.shop.name}, of {answered.shop.book.as_of.isoformat()}, "
            f"in {estimate.currency}",
            section("Lines", _lines(estimate)),
            section("Phases", _phases(estimate)),
            section("From cost to total", _build_up(estimate)),
            section("Findings", findings_text(findings)),
        )
    )


def _lines(estimate: Estimate) -> str:
    rows = (
        (
            line.id,
            line.text,
            _number(line.with_waste),
            _bought(line),
            money_text(line.unit_price, estimate.currency),
            money_text(line.cost, estimate.currency),
        )
        for line in estimate.lines
    )
    heads = ("line", "what", "with waste", "bought", "unit price", "cost")
    return table(heads, rows, right=(2, 3, 4, 5))


def _bought(line: EstimateLine) -> str:
    if line.packs:
        return packs_text(line.packs)
    return f"{line.hours_h:.2f} h" if line.kind == "labour" else line.unit


def _phases(estimate: Estimate) -> str:
    rows = (
        (
            phase.phase,
            f"{phase.hours_h:.1f}",
            money_text(phase.cost, estimate.currency),
            money_text(phase.price, estimate.currency),
        )
        for phase in estimate.phases
    )
    return table(("phase", "hours", "direct cost", "price before tax"), rows, right=(1, 2, 3))


def _build_up(estimate: Estimate) -> str:
    parts = (
        ("labour", estimate.labour),
        ("material", estimate.material),
        ("equipment", estimate.equipment),
        ("subcontract", estimate.subcontract),
        ("allowance", estimate.allowance),
        ("tax paid when buying", estimate.purchase_tax),
        ("direct cost", estimate.direct),
        ("contingency", estimate.contingency),
        ("cost", estimate.cost),
        ("overhead", estimate.overhead),
        ("profit", estimate.profit),
        ("price", estimate.price),
        ("tax on the contract", estimate.contract_tax),
        ("total", estimate.total),
    )
    return table(("", "amount"), ((name, money_text(sum_, estimate.currency)) for name, sum_ in parts), (1,))


def _number(amount: Decimal) -> str:
    text = f"{amount:,.3f}".rstrip("0").rstrip(".")
    return text or "0"
