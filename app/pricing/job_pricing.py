"""What the office sets by hand on one job: overrides, sums of its own, ranges, options. Never silent."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from app.pricing.records import Phase

OverrideField = Literal["amount", "unit_price", "hours", "cost", "tax_pct"]
OVERRIDE_FIELDS: tuple[OverrideField, ...] = ("amount", "unit_price", "hours", "cost", "tax_pct")
Detail = Literal["total", "phase", "line"]
DETAILS: tuple[Detail, ...] = ("total", "phase", "line")


@dataclass(frozen=True, slots=True)
class Override:
    """One figure of one line, set by hand.

    Attributes
    ----------
    line : str
        Id of the line.
    field : str
        ``amount``: net amount; ``unit_price``; ``hours`` of a labour line; ``cost`` of the whole line;
        ``tax_pct``: rate at which it is taxed.
    value : Decimal
    reason : str
        Why; never empty.
    by : str
        Who set it.
    """

    line: str
    field: OverrideField
    value: Decimal
    reason: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class AddedLine:
    """A sum that no assembly brings: an allowance, or a subcontractor's quote.

    Attributes
    ----------
    code : str
        Of its own within the job.
    kind : str
        ``allowance``, ``subcontract`` or ``equipment``.
    phase : str
    text : str
        What it is for.
    amount : Decimal
        Cost to the firm.
    reason : str
        What it covers; for a quote, whose and of when.
    valid_until_on : date or None
        Last day of a quote.
    """

    code: str
    kind: Literal["allowance", "subcontract", "equipment"]
    phase: Phase
    text: str
    amount: Decimal
    reason: str
    valid_until_on: date | None = None


@dataclass(frozen=True, slots=True)
class Range:
    """How far the cost of a line may fall short or run over.

    Attributes
    ----------
    line : str
        Id of the line.
    low_pct, high_pct : Decimal
        Below and above the line's cost; the cost itself is most likely. [%]
    """

    line: str
    low_pct: Decimal
    high_pct: Decimal


@dataclass(frozen=True, slots=True)
class OtherBoard:
    """A place clad or laid in another board.

    Attributes
    ----------
    place : str
        Id of a deck field, wall or box.
    board : str
        Id of a board of the choices.
    """

    place: str
    board: str


@dataclass(frozen=True, slots=True)
class Option:
    """A small change of the job that the client can tick.

    Attributes
    ----------
    code : str
        Letters, digits and dashes.
    name, text : str
        As the client reads them.
    adds : tuple of str
        Ids of things in the plan that are built only when it is ticked.
    leaves_out : tuple of str
        Ids of things that are not built when it is ticked.
    boards : tuple of OtherBoard
    needs, excludes : tuple of str
        Codes of options that must be, or cannot be, ticked with it.
    """

    code: str
    name: str
    text: str = ""
    adds: tuple[str, ...] = ()
    leaves_out: tuple[str, ...] = ()
    boards: tuple[OtherBoard, ...] = ()
    needs: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JobPricing:
    """All that was set by hand on one job.

    Attributes
    ----------
    overrides : tuple of Override
    added : tuple of AddedLine
    ranges : tuple of Range
    options : tuple of Option
    detail : str
        What the client is shown: ``total``, ``phase`` or ``line``.
    ticked : tuple of str
        Codes of the options that are built; those of the client once it has signed.
    special_orders : Decimal
        What goods made or ordered for this job alone cost; some laws let a deposit reach it.
    """

    overrides: tuple[Override, ...] = ()
    added: tuple[AddedLine, ...] = ()
    ranges: tuple[Range, ...] = ()
    options: tuple[Option, ...] = ()
    detail: Detail = "phase"
    ticked: tuple[str, ...] = ()
    special_orders: Decimal = Decimal(0)


NOTHING_SET = JobPricing()
