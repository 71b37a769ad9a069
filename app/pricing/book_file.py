"""The price files as records: price list, assemblies, rules. The files are opened elsewhere."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from app.job.errors import InputError
from app.pricing.fields import FieldReader, raise_all
from app.pricing.labour import BEST_SCORE, LEAST_SCORE, SCORED, to_rate
from app.pricing.price_rows import COLUMNS, UNITS, read_numbered_rows
from app.pricing.records import (
    CONDITION_KINDS,
    EDGES,
    FASTENINGS,
    KINDS,
    PHASES,
    Assembly,
    AssemblyPart,
    Condition,
    Kind,
    PriceItem,
    PriceRules,
)
from app.pricing.rule_parts import ROUNDINGS, Rounding, TaxCode, TaxShown, Worker
from app.takeoff.totals.bases import BASES

__all__ = ["COLUMNS", "UNITS", "read_assemblies", "read_price_rows", "read_rules"]

TAXES = ("materials", "contract", "none")
ASSEMBLY_KEYS = ("code", "name", "basis", "phase", "source", "parts", "when")
CONDITION_KEYS = ("kind", "value", "low_mm", "high_mm")
WORKER_KEYS = ("name", "wage", "burden_pct", "share")
TAX_KEYS = ("code", "rate_pct", "text")
PART_KEYS = ("kind", "text", "rate", "item", "waste_pct", "people", "output")
RULE_KEYS = tuple(PriceRules.__dataclass_fields__)
# The price list's own first row is its heading.
FIRST_ROW = 2


def read_price_rows(rows: Iterable[Mapping[str, str]]) -> tuple[PriceItem, ...]:
    """Give the items of a price list.

    Parameters
    ----------
    rows : iterable of mapping of str to str
        By column name, as a CSV reader gives them; row numbers in messages count the heading as row 1.

    Returns
    -------
    items : tuple of PriceItem
        In the order of the rows.

    Raises
    ------
    InputErrors
        With every fault of every row.

    References
    ----------
    Definition of the file, in the demo shop's read-me.
    """
    return read_numbered_rows(enumerate(rows, start=FIRST_ROW))


def read_assemblies(document: object) -> tuple[Assembly, ...]:
    """Give the assemblies of a shop.

    Parameters
    ----------
    document : object
        The file as read: an object with the key ``assemblies``.

    Returns
    -------
    assemblies : tuple of Assembly
        In the order of the file.

    Raises
    ------
    InputErrors
        With every fault: unknown keys, a basis that is not measured, a code used twice.

    References
    ----------
    Definition of the file, in the demo shop's read-me.
    """
    faults: list[InputError] = []
    whole = FieldReader(document, "assemblies.json", faults, ("assemblies", "invented", "note"))
    found: dict[str, Assembly] = {}
    for number, row in enumerate(whole.items("assemblies")):
        reader = FieldReader(row, f"assemblies[{number}]", faults, ASSEMBLY_KEYS)
        assembly = _assembly(reader, faults)
        if assembly.code in found:
            reader.fault("code", assembly.code, "a code of its own; another assembly has it")
        found[assembly.code] = assembly
    raise_all(faults)
    return tuple(found.values())


def read_rules(document: object) -> PriceRules:
    """Give the rules by which cost becomes price.

    Parameters
    ----------
    document : object
        The file as read: an object with the key ``rules``.

    Returns
    -------
    rules : PriceRules
        The shop's.

    Raises
    ------
    InputErrors
        With every fault, also when overhead and profit leave nothing of the price for cost.

    References
    ----------
    Definition of the file, in the demo shop's read-me.
    """
    faults: list[InputError] = []
    whole = FieldReader(document, "rules.json", faults, ("rules", "invented", "note"))
    reader = FieldReader(whole.inner("rules"), "rules", faults, RULE_KEYS)
    currency = reader.text("currency")
    if len(currency) != 3 or not currency.isalpha() or not currency.isupper():
        reader.fault("currency", currency, "three capitals of ISO 4217, such as USD")
    overhead, profit = reader.amount("overhead_pct"), reader.amount("profit_pct")
    if overhead + profit >= 100:
        reader.fault(
            "overhead_pct",
            overhead,
            f"less than {100 - profit}: with {profit} % profit nothing of the price is left for cost",
        )
    tax_on = reader.one_of("tax_on", TAXES)
    rules = PriceRules(
        currency=currency,
        wage=reader.amount("wage"),
        burden_pct=reader.amount("burden_pct"),
        overhead_pct=overhead,
        profit_pct=profit,
        contingency_pct=reader.amount("contingency_pct"),
        tax_pct=reader.amount("tax_pct"),
        tax_on="materials" if tax_on == "materials" else "contract" if tax_on == "contract" else "none",
        access_factor=reader.amount("access_factor", above=0),
        validity_days=reader.count("validity_days", least=1),
        deposit_pct=_share(reader, "deposit_pct"),
        holdback_pct=_share(reader, "holdback_pct"),
        stale_after_days=reader.count("stale_after_days", least=1),
        mix=tuple(
            _worker(FieldReader(row, f"rules.mix[{number}]", faults, WORKER_KEYS))
            for number, row in enumerate(_list_if_given(reader, "mix"))
        ),
        efficiency=_scores(reader),
        access_by="way up" if reader.text("access_by", "shop") == "way up" else "shop",
        set_up_h=reader.amount("set_up_h", otherwise="0"),
        rounding=_rounding(reader),
        tax_shown=_tax_shown(reader, tax_on),
        taxed=_taxed(reader),
        tax_codes=tuple(
            _tax_code(FieldReader(row, f"rules.tax_codes[{number}]", faults, TAX_KEYS))
            for number, row in enumerate(_list_if_given(reader, "tax_codes"))
        ),
    )
    if rules.deposit_pct + rules.holdback_pct > 100:
        reader.fault(
            "deposit_pct", rules.deposit_pct, f"at most {100 - rules.holdback_pct} beside the holdback"
        )
    raise_all(faults)
    return rules


def _assembly(reader: FieldReader, faults: list[InputError]) -> Assembly:
    """Give one assembly."""
    phase = reader.one_of("phase", PHASES)
    return Assembly(
        code=reader.text("code"),
        name=reader.text("name"),
        basis=reader.one_of("basis", [basis.code for basis in BASES]),
        phase=next(known for known in PHASES if known == phase),
        parts=tuple(
            _part(FieldReader(row, f"{reader.path}.parts[{number}]", faults, PART_KEYS))
            for number, row in enumerate(reader.items("parts"))
        ),
        source=reader.text("source"),
        when=tuple(
            _condition(FieldReader(row, f"{reader.path}.when[{number}]", faults, CONDITION_KEYS))
            for number, row in enumerate(_list_if_given(reader, "when"))
        ),
    )


def _list_if_given(reader: FieldReader, key: str) -> Sequence[object]:
    """Give a list that may be left out."""
    return () if reader.inner(key) is None else reader.items(key)


def _condition(reader: FieldReader) -> Condition:
    """Give one condition of an assembly."""
    word = reader.one_of("kind", CONDITION_KINDS)
    kind = next(known for known in CONDITION_KINDS if known == word)
    limits = {
        key: float(reader.amount(key)) if reader.inner(key) not in (None, "") else None
        for key in ("low_mm", "high_mm")
    }
    if kind == "wall height":
        low, high = limits["low_mm"], limits["high_mm"]
        if low is None and high is None:
            reader.fault("low_mm", "", "a height to be higher than, one to be at most, or both")
        elif low is not None and high is not None and high <= low:
            reader.fault("high_mm", high, f"a height above {low:g}")
        return Condition(kind, low_mm=low, high_mm=high)
    return Condition(kind, reader.one_of("value", EDGES if kind == "edge" else FASTENINGS))


def _worker(reader: FieldReader) -> Worker:
    """Give one kind of worker."""
    return Worker(
        reader.text("name"),
        reader.amount("wage"),
        reader.amount("burden_pct"),
        reader.amount("share", above=0),
    )


def _taxed(reader: FieldReader) -> tuple[Kind, ...]:
    """Give the kinds that tax falls on, or none."""
    given = _list_if_given(reader, "taxed")
    if not all(kind in KINDS for kind in given):
        reader.fault("taxed", given, f"some of {', '.join(KINDS)}, or none")
    return tuple(kind for kind in KINDS if kind in given)


def _tax_code(reader: FieldReader) -> TaxCode:
    """Give one rate beside the usual one."""
    return TaxCode(reader.text("code"), _share(reader, "rate_pct"), reader.text("text", ""))


def _scores(reader: FieldReader) -> tuple[int, ...]:
    """Give the eight scores of efficiency, or none."""
    given = _list_if_given(reader, "efficiency")
    right = all(isinstance(one, int) and LEAST_SCORE <= one <= BEST_SCORE for one in given)
    if given and (len(given) != len(SCORED) or not right):
        wanted = f"{len(SCORED)} whole numbers of {LEAST_SCORE} to {BEST_SCORE}, or none"
        reader.fault("efficiency", given, wanted)
        return ()
    return tuple(int(str(one)) for one in given)


def _part(reader: FieldReader) -> AssemblyPart:
    """Give one part of an assembly."""
    word = reader.one_of("kind", KINDS)
    kind = next(known for known in KINDS if known == word)
    item, waste = reader.text("item", ""), reader.amount("waste_pct", "0")
    if kind != "material" and (item or waste):
        reader.fault("item", item or waste, f"nothing: only material has an item and waste, this is {kind}")
    people, output = reader.amount("people", "0"), reader.amount("output", "0")
    if people or output:
        if kind != "labour" or not (people and output):
            reader.fault("output", output or people, "for labour: how many people make how many in an hour")
        rate = to_rate(people, output)
    else:
        rate = reader.amount("rate", above=0)
    return AssemblyPart(kind, reader.text("text"), rate, item, waste, people, output)


def _rounding(reader: FieldReader) -> Rounding:
    """Give what prices are rounded to; to the cent when nothing is said."""
    if reader.inner("rounding") is None:
        return "cent"
    word = reader.one_of("rounding", tuple(ROUNDINGS))
    return next(known for known in ROUNDINGS if known == word)


def _tax_shown(reader: FieldReader, tax_on: str) -> TaxShown:
    """Give how clients are shown prices; before tax when nothing is said."""
    is_inside = reader.text("tax_shown", "apart") != "apart" and (
        reader.one_of("tax_shown", ("apart", "inside")) == "inside"
    )
    if is_inside and tax_on != "contract":
        reader.fault("tax_shown", "inside", "“apart”, or “contract” under tax_on: no other tax is in prices")
    return "inside" if is_inside else "apart"


def _share(reader: FieldReader, key: str) -> Decimal:
    """Give a share of the total."""
    value = reader.amount(key)
    if value > 100:
        reader.fault(key, value, "a share of at most 100")
    return value
