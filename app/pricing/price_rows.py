"""Rows of a price list as items: every fault with its row, column and value, or none at all."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction

from app.job.errors import InputError
from app.measure.packs import pack_amount, priced_amount
from app.measure.quantities import read_kg, read_mm
from app.pricing.fields import FieldReader, raise_all
from app.pricing.records import PriceItem

NEEDED = ("item", "name", "unit", "pack", "pack_price", "supplier", "lead_days", "priced_on")
COLUMNS = (*NEEDED, "mass_kg", "price_per", "length", "spares_pct", "tax_code")
UNITS = ("each", "m", "m2", "m3", "kg")
# A price is kept to the hundredth of a cent: suppliers quote small things by the thousand.
PRICE_GRAIN = Decimal("0.0001")
PACK_GRAIN = Decimal("0.000001")
MOST_FAULTS = 200


def read_numbered_rows(
    rows: Iterable[tuple[int, Mapping[str, str]]], priced_on: date | None = None
) -> tuple[PriceItem, ...]:
    """Give the items of a price list.

    Parameters
    ----------
    rows : iterable of (int, mapping of str to str)
        Number of the row in its file, and its cells by column name.
    priced_on : date or None
        From when prices hold whose row does not say; None: every row must say.

    Returns
    -------
    items : tuple of PriceItem
        In the order of the rows; packs and prices converted to the item's own unit.

    Raises
    ------
    InputErrors
        With the faults of every row, the first 200 of them.

    References
    ----------
    Definition of the file, in the demo shop's read-me.
    """
    faults: list[InputError] = []
    items: list[PriceItem] = []
    seen: dict[tuple[str, date], int] = {}
    for number, row in rows:
        reader = FieldReader(row, f"row {number}", faults, COLUMNS)
        item = _item(reader, row, priced_on)
        first = seen.setdefault((item.item, item.priced_on), number)
        if first != number:
            reader.fault("item", item.item, f"one price for one day; row {first} has the same item and day")
        items.append(item)
        if len(faults) >= MOST_FAULTS:
            break
    raise_all(faults[:MOST_FAULTS])
    return tuple(items)


def _item(reader: FieldReader, row: Mapping[str, str], priced_on: date | None) -> PriceItem:
    """Give one row as an item."""
    unit = reader.one_of("unit", UNITS)
    pack = _pack(reader, row, unit)
    says_day = bool(str(row.get("priced_on") or "").strip()) or priced_on is None
    return PriceItem(
        item=_code(reader),
        name=reader.text("name"),
        unit=unit,
        pack=_decimal(pack, PACK_GRAIN),
        pack_price=_price(reader, row, unit, pack),
        supplier=reader.text("supplier"),
        lead_days=reader.count("lead_days"),
        priced_on=reader.day("priced_on") if says_day or priced_on is None else priced_on,
        mass_kg=_measured(reader, row, "mass_kg", read_kg),
        length_mm=_measured(reader, row, "length", read_mm),
        spares_pct=reader.amount("spares_pct", otherwise="0"),
        tax_code=_tax_code(reader),
    )


def _code(reader: FieldReader) -> str:
    """Give the item's code, which must fit an address and a column."""
    code = reader.text("item")
    if len(code) > 40 or any(letter.isspace() or letter in "/?#" for letter in code):
        reader.fault("item", code, "a code of at most 40 characters without spaces, / ? or #")
    return code


def _tax_code(reader: FieldReader) -> str:
    """Give the tax code; empty where the usual rate holds."""
    code = reader.text("tax_code", "")
    if len(code) > 20:
        reader.fault("tax_code", code, "a code of at most 20 characters")
    return code


def _pack(reader: FieldReader, row: Mapping[str, str], unit: str) -> Fraction:
    """Give what a pack holds; 1 after a fault, so that reading goes on."""
    written = str(row.get("pack") or "").strip()
    if not written:
        reader.fault("pack", "", "how many units one pack holds")
        return Fraction(1)
    try:
        amount = pack_amount(written, unit)
    except InputError as fault:
        reader.faults.append(InputError(f"{reader.path}.pack", written, fault.wanted))
        return Fraction(1)
    if amount <= 0 or amount >= 10**9:
        reader.fault("pack", written, "a number greater than 0, such as 12.50")
        return Fraction(1)
    return amount


def _price(reader: FieldReader, row: Mapping[str, str], unit: str, pack: Fraction) -> Decimal:
    """Give the price of one pack, whatever it was quoted for."""
    price = reader.amount("pack_price")
    if price >= 10**9:
        reader.fault("pack_price", price, "an amount below 1 000 000 000")
        return Decimal(1)
    written = str(row.get("price_per") or "").strip()
    if not written:
        return price
    try:
        amount = priced_amount(written, unit, pack)
    except InputError as fault:
        reader.faults.append(InputError(f"{reader.path}.price_per", written, fault.wanted))
        return price
    return _decimal(Fraction(price) * pack / amount, PRICE_GRAIN)


def _measured(
    reader: FieldReader, row: Mapping[str, str], key: str, read: Callable[[object], float]
) -> float | None:
    """Give a mass or a length; nothing where nothing is written."""
    written = str(row.get(key) or "").strip()
    if not written:
        return None
    try:
        value = read(written)
    except InputError as fault:
        reader.faults.append(InputError(f"{reader.path}.{key}", written, fault.wanted))
        return None
    if value < 0:
        reader.fault(key, written, "a number of at least 0")
    return value or None


def _decimal(value: Fraction, grain: Decimal) -> Decimal:
    """Give a fraction as a Decimal of so many places, without trailing zeros."""
    rounded = (Decimal(value.numerator) / Decimal(value.denominator)).quantize(grain)
    plain = rounded.normalize()
    return (
        plain if plain.as_tuple().exponent in range(-12, 1) and "E" not in str(plain) else plain + Decimal(0)
    )
