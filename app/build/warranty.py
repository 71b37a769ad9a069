"""How long what was built is warranted: by class of product and for the work, with the days it ends."""

from calendar import monthrange
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

Giver = Literal["firm", "maker"]
MOST_MONTHS = 600

# Code, what it is, who gives it, and the measured bases its goods are bought for; the longest prefix counts.
CLASSES: tuple[tuple[str, str, Giver, tuple[str, ...]], ...] = (
    ("workmanship", "Workmanship", "firm", ()),
    (
        "boards",
        "Boards, cladding and seats",
        "maker",
        ("stock.boards", "deck.", "steps.", "bench.", "counter.", "box.clad", "wall.area", "planter.clad"),
    ),
    ("timber", "Timber of the frame", "maker", ("stock.sections", "box.frame", "wall.furring", "wall.")),
    ("pads", "Pads, packers, shims and protection", "maker", ("frame.pads", "frame.packers", "frame.shims")),
    ("fixings", "Screws, clips, connectors, glue and tape", "maker", ("frame.", "boards.")),
    ("flashing", "Flashings and fabrics", "maker", ("wall.cap", "wall.fabric", "bed.fabric", "bed.edge")),
    ("planters", "Planter lining and drainage", "maker", ("planter.",)),
    ("plants", "Plants and growing media", "firm", ("planter.plants", "planter.media")),
    ("lighting", "Lights, transformers and their cable", "maker", ("light.",)),
    ("power", "Outlets and line-voltage parts", "maker", ("power.", "roughin.")),
    ("sound", "Speakers, amplifiers and their cable", "maker", ("sound.",)),
    ("gas", "Gas stub and pipe", "maker", ("gas.",)),
)


@dataclass(frozen=True, slots=True)
class WarrantyTerm:
    """How long one class is warranted, as the firm set it.

    Attributes
    ----------
    code : str
        Of the class.
    months : int or None
        None: as the maker's paper says, not entered.
    note : str
        Conditions, and where the paper is.
    """

    code: str
    months: int | None
    note: str = ""


@dataclass(frozen=True, slots=True)
class WarrantyRow:
    """One class of a finished job with its days.

    Attributes
    ----------
    code, what : str
    by : str
        ``firm`` or ``maker``.
    months : int or None
    from_on, until_on : date or None
        None while it has not begun, or its length is not entered.
    note : str
    products : tuple of str
        What was bought of the class.
    """

    code: str
    what: str
    by: Giver
    months: int | None
    from_on: date | None
    until_on: date | None
    note: str
    products: tuple[str, ...]


def last_day(from_on: date, months: int) -> date:
    """Give the last day of a period of months.

    Parameters
    ----------
    from_on : date
        The day it runs from.
    months : int
        How many.

    Returns
    -------
    until_on : date
        Same date in the last month; its last day when the month is too short.

    Raises
    ------
    ValueError
        If there is less than one month.

    Examples
    --------
    >>> last_day(date(2028, 2, 29), 24)
    datetime.date(2030, 2, 28)

    References
    ----------
    Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c), from memory; check local law.
    """
    if months < 1:
        raise ValueError(f"A warranty of {months} months is none.")
    year, month = divmod(from_on.month - 1 + months, 12)
    year, month = from_on.year + year, month + 1
    return date(year, month, min(from_on.day, monthrange(year, month)[1]))


def class_of(basis: str) -> str:
    """Give the class that goods bought for a measured basis belong to.

    Parameters
    ----------
    basis : str
        From the fixed list of what is measured.

    Returns
    -------
    code : str
        Empty when no class takes it: protection, loose stone and the like.

    References
    ----------
    Definition.
    """
    fits = [(len(prefix), code) for code, _, _, bases in CLASSES for prefix in bases if _takes(prefix, basis)]
    return max(fits)[1] if fits else ""


def warranty_rows(
    bought: Iterable[tuple[str, str]], terms: Mapping[str, WarrantyTerm], from_on: date | None
) -> tuple[WarrantyRow, ...]:
    """Give the warranty of a job, class by class.

    Parameters
    ----------
    bought : iterable of (str, str)
        Basis and name of everything bought.
    terms : mapping of str to WarrantyTerm
        As the firm set them, by class.
    from_on : date or None
        The day of the walk-through; None while it is not signed.

    Returns
    -------
    rows : tuple of WarrantyRow
        Workmanship first; classes of which nothing was bought are left out.

    References
    ----------
    Common practice, no source: periods run from the walk-through. Check local law.
    """
    names: dict[str, dict[str, None]] = {}
    for basis, name in bought:
        names.setdefault(class_of(basis), {})[name] = None
    found = []
    for code, what, by, _ in CLASSES:
        if code != "workmanship" and code not in names:
            continue
        term = terms.get(code, WarrantyTerm(code, None))
        until_on = last_day(from_on, term.months) if from_on and term.months else None
        products = tuple(names.get(code, {}))
        found.append(WarrantyRow(code, what, by, term.months, from_on, until_on, term.note, products))
    return tuple(found)


def _takes(prefix: str, basis: str) -> bool:
    """Tell whether a prefix, or a whole name without a dot at its end, takes a basis."""
    return basis.startswith(prefix) if prefix.endswith(".") else basis == prefix
