"""Plain text in aligned columns."""

import unicodedata
from collections.abc import Iterable, Sequence
from decimal import Decimal
from textwrap import fill

from app.job.findings import Finding
from app.measure.show import format_length, format_money, format_quantity

LINE_WIDTH = 110
_SHAPES = {"stop": "■ stop", "check": "▲ check", "note": "● note"}


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], right: Iterable[int] = ()) -> str:
    """Give rows in columns as wide as their widest cell; columns in `right` are set flush right."""
    lines = [tuple(heads), *(tuple(row) for row in rows)]
    if len(lines) == 1:
        return "  (none)"
    widths = [max(_width(line[column]) for line in lines) for column in range(len(heads))]
    flush = frozenset(right)
    rule = "  " + "  ".join("─" * width for width in widths)
    set_lines = [
        "  " + "  ".join(_padded(cell, widths[n], n in flush) for n, cell in enumerate(line)).rstrip()
        for line in lines
    ]
    return "\n".join([set_lines[0], rule, *set_lines[1:]])


def section(title: str, text: str) -> str:
    """Give a part of the answer under its title."""
    return f"\n{title}\n{text}"


def findings_text(findings: Iterable[Finding]) -> str:
    """Give findings, stops first, each with its place, its sentence and its source."""
    listed = sorted(findings, key=lambda finding: tuple(_SHAPES).index(finding.grade))
    if not listed:
        return "  (none)"
    return "\n".join(_finding_text(finding) for finding in listed)


def _finding_text(finding: Finding) -> str:
    source = f" [{finding.source}]" if finding.source else ""
    text = f"  {_SHAPES[finding.grade]:8} {finding.place}: {finding.text}{source}"
    return fill(text, LINE_WIDTH, subsequent_indent=" " * 11, break_long_words=False)


def amount_text(amount: float, unit: str, system: str) -> str:
    """Give a quantity in the job's own system."""
    if unit == "each":
        return f"{amount:,.0f}" if amount == round(amount) else f"{amount:,.2f}"
    if unit == "m":
        return format_length(amount * 1000, system) if system == "imperial" else f"{amount:,.2f} m"
    if unit == "m2":
        return format_quantity(amount, "area", system)
    if unit == "m3":
        return format_quantity(amount, "volume", system)
    return format_quantity(amount, "mass", system)


def packs_text(packs: Decimal | int) -> str:
    """Give a count of packs."""
    return "1 pack" if packs == 1 else f"{packs:,.0f} packs"


def money_text(amount: Decimal, currency: str) -> str:
    """Give money."""
    return format_money(amount, currency)


def _width(text: str) -> int:
    return sum(0 if unicodedata.combining(letter) else 1 for letter in text)


def _padded(text: str, width: int, is_right: bool) -> str:
    space = " " * (width - _width(text))
    return space + text if is_right else text + space
