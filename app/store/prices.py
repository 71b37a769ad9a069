"""The price list with every price it ever held, and the assemblies with every version."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache

from pydantic import TypeAdapter
from sqlalchemy import Select, func, insert, or_, select, update
from sqlalchemy.orm import Session, selectinload

from app.pricing.records import Assembly, PriceItem
from app.store.models import AssemblyRow, DeclinedRateRow, PriceFromRow, PriceItemRow
from app.store.records import AssemblyVersion, PriceFrom, PriceSheet

_ASSEMBLY = TypeAdapter(Assembly)
_AT_ONCE = 500
_ITEM_COLUMNS = (
    PriceItemRow.item,
    PriceItemRow.name,
    PriceItemRow.unit,
    PriceItemRow.pack,
    PriceItemRow.supplier,
    PriceItemRow.lead_days,
    PriceItemRow.mass_kg,
    PriceItemRow.length_mm,
    PriceItemRow.spares_pct,
    PriceItemRow.tax_code,
)


def list_items(
    session: Session, on: date | None, search: str = "", codes: Iterable[str] | None = None
) -> tuple[PriceItem, ...]:
    """Give the items that match, each at its price of a day (the newest when none is given).

    An item whose first price starts later than the day is shown at that first price; one that is gone by
    the day is left out. With `codes` only those are looked up.
    """
    query = _matching(on, search)
    if codes is None:
        return _priced(session, query, on)
    wanted = sorted(set(codes))
    parts = [wanted[start : start + _AT_ONCE] for start in range(0, len(wanted), _AT_ONCE)]
    return tuple(
        item for part in parts for item in _priced(session, query.where(PriceItemRow.item.in_(part)), on)
    )


def page_of_items(
    session: Session, on: date | None, search: str, first: int, rows: int
) -> tuple[tuple[PriceItem, ...], int]:
    """Give some of the items that match, and how many there are in all."""
    query = _matching(on, search)
    found = session.scalar(select(func.count()).select_from(query.subquery())) or 0
    page = query.options(selectinload(PriceItemRow.prices)).order_by(PriceItemRow.item)
    return tuple(_item(row, on) for row in session.scalars(page.offset(first).limit(rows))), found


def _priced(session: Session, query: Select[PriceItemRow], on: date | None) -> tuple[PriceItem, ...]:
    """Give items by code at their prices of a day, read as plain rows: a list can hold 20,000 of them."""
    chosen = query.with_only_columns(PriceItemRow.item).scalar_subquery()
    asked = select(PriceFromRow.item, PriceFromRow.from_on, PriceFromRow.pack_price)
    asked = asked.where(PriceFromRow.item.in_(chosen))
    prices: dict[str, tuple[date, Decimal]] = {}
    for item, from_on, pack_price in session.execute(asked.order_by(PriceFromRow.from_on, PriceFromRow.id)):
        if item not in prices or on is None or from_on <= on:
            prices[item] = (from_on, pack_price)
    found = session.execute(query.with_only_columns(*_ITEM_COLUMNS).order_by(PriceItemRow.item))
    return tuple(
        PriceItem(
            row.item,
            row.name,
            row.unit,
            row.pack,
            prices[row.item][1],
            row.supplier,
            row.lead_days,
            prices[row.item][0],
            row.mass_kg,
            row.length_mm,
            row.spares_pct,
            row.tax_code,
        )
        for row in found
    )


def _matching(on: date | None, search: str) -> Select[PriceItemRow]:
    query = select(PriceItemRow)
    if on is not None:
        query = query.where(or_(PriceItemRow.gone_on.is_(None), PriceItemRow.gone_on > on))
    for word in search.split():
        pattern = f"%{word.replace('%', '').replace('_', '')}%"
        query = query.where(
            or_(
                PriceItemRow.item.ilike(pattern),
                PriceItemRow.name.ilike(pattern),
                PriceItemRow.supplier.ilike(pattern),
            )
        )
    return query


def find_item(session: Session, item: str) -> PriceSheet | None:
    """Give one item with all its prices, newest first, or None."""
    row = session.get(PriceItemRow, item)
    if row is None:
        return None
    history = tuple(
        PriceFrom(price.from_on, price.pack_price, price.set_at, price.set_by)
        for price in reversed(row.prices)
    )
    return PriceSheet(_item(row, None), history)


def add_item(session: Session, item: PriceItem, who: str, now: datetime) -> None:
    """Add a thing to the price list, with its first price."""
    session.add(
        PriceItemRow(
            item=item.item,
            name=item.name,
            unit=item.unit,
            pack=item.pack,
            supplier=item.supplier,
            lead_days=item.lead_days,
            mass_kg=item.mass_kg,
            length_mm=item.length_mm,
            spares_pct=item.spares_pct,
            tax_code=item.tax_code,
            gone_on=None,
            prices=[PriceFromRow(from_on=item.priced_on, pack_price=item.pack_price, set_at=now, set_by=who)],
        )
    )
    session.flush()


def add_price(
    session: Session, item: str, pack_price: Decimal, from_on: date, who: str, now: datetime
) -> None:
    """Add a price from a day on; of two for the same day the later entered holds."""
    session.add(PriceFromRow(item=item, from_on=from_on, pack_price=pack_price, set_at=now, set_by=who))


def add_many(
    session: Session, items: Sequence[PriceItem], who: str, now: datetime, tell: Callable[[int], None]
) -> None:
    """Add things that are not in the list yet, with their first prices."""
    for start in range(0, len(items), _AT_ONCE):
        part = items[start : start + _AT_ONCE]
        session.execute(insert(PriceItemRow), [{"item": item.item, **_columns(item)} for item in part])
        session.execute(insert(PriceFromRow), [_price_columns(item, who, now) for item in part])
        tell(len(part))


def change_many(
    session: Session, items: Sequence[PriceItem], who: str, now: datetime, tell: Callable[[int], None]
) -> None:
    """Give things that are in the list their new details, and a price from a day on; old prices stay."""
    for start in range(0, len(items), _AT_ONCE):
        part = items[start : start + _AT_ONCE]
        session.execute(update(PriceItemRow), [{"item": item.item, **_columns(item)} for item in part])
        session.execute(insert(PriceFromRow), [_price_columns(item, who, now) for item in part])
        tell(len(part))
    session.expire_all()


def take_out(session: Session, codes: Sequence[str], on: date) -> None:
    """Take things out of the list from a day on; what was offered with them stays as it is."""
    for start in range(0, len(codes), _AT_ONCE):
        part = codes[start : start + _AT_ONCE]
        session.execute(update(PriceItemRow).where(PriceItemRow.item.in_(part)).values(gone_on=on))
    session.expire_all()


def _columns(item: PriceItem) -> dict[str, object]:
    return {
        "name": item.name,
        "unit": item.unit,
        "pack": item.pack,
        "supplier": item.supplier,
        "lead_days": item.lead_days,
        "mass_kg": item.mass_kg,
        "length_mm": item.length_mm,
        "spares_pct": item.spares_pct,
        "tax_code": item.tax_code,
        "gone_on": None,
    }


def _price_columns(item: PriceItem, who: str, now: datetime) -> dict[str, object]:
    return {
        "item": item.item,
        "from_on": item.priced_on,
        "pack_price": item.pack_price,
        "set_at": now,
        "set_by": who,
    }


def list_assemblies(session: Session) -> tuple[Assembly, ...]:
    """Give the newest version of every assembly, in the shop's order."""
    newest = (
        select(AssemblyRow.code, func.max(AssemblyRow.version).label("version"))
        .group_by(AssemblyRow.code)
        .subquery()
    )
    query = (
        select(AssemblyRow.document)
        .join(newest, (AssemblyRow.code == newest.c.code) & (AssemblyRow.version == newest.c.version))
        .order_by(AssemblyRow.position, AssemblyRow.code)
    )
    return tuple(_assembly_of(text) for text in session.scalars(query))


def list_versions(session: Session, code: str) -> tuple[AssemblyVersion, ...]:
    """Give every version of an assembly, newest first."""
    query = select(AssemblyRow).where(AssemblyRow.code == code).order_by(AssemblyRow.version.desc())
    return tuple(
        AssemblyVersion(row.version, _ASSEMBLY.validate_json(row.document), row.set_at, row.set_by)
        for row in session.scalars(query)
    )


def add_assembly(session: Session, assembly: Assembly, position: int, who: str, now: datetime) -> int:
    """Save an assembly as the next version of its code and give that version."""
    query = select(func.max(AssemblyRow.version)).where(AssemblyRow.code == assembly.code)
    version = (session.scalar(query) or 0) + 1
    session.add(
        AssemblyRow(
            code=assembly.code,
            version=version,
            position=position,
            document=_ASSEMBLY.dump_json(assembly).decode(),
            set_at=now,
            set_by=who,
        )
    )
    return version


def decline_rate(
    session: Session, assembly: str, part: int, proposed: Decimal, jobs: int, who: str, now: datetime
) -> None:
    """Note that a learned rate was not taken over, and of how many jobs it was learned."""
    session.add(
        DeclinedRateRow(assembly=assembly, part=part, proposed=proposed, jobs=jobs, set_at=now, set_by=who)
    )


def declined_rates(session: Session) -> dict[tuple[str, int], int]:
    """Give the most jobs of which a rate was learned and not taken over, by assembly and part."""
    query = select(DeclinedRateRow.assembly, DeclinedRateRow.part, func.max(DeclinedRateRow.jobs))
    rows = session.execute(query.group_by(DeclinedRateRow.assembly, DeclinedRateRow.part))
    return {(assembly, part): jobs for assembly, part, jobs in rows}


def _item(row: PriceItemRow, on: date | None) -> PriceItem:
    held = [price for price in row.prices if on is None or price.from_on <= on]
    price = held[-1] if held else row.prices[0]
    return PriceItem(
        item=row.item,
        name=row.name,
        unit=row.unit,
        pack=row.pack,
        pack_price=price.pack_price,
        supplier=row.supplier,
        lead_days=row.lead_days,
        priced_on=price.from_on,
        mass_kg=row.mass_kg,
        length_mm=row.length_mm,
        spares_pct=row.spares_pct,
        tax_code=row.tax_code,
    )


@lru_cache(maxsize=1024)
def _assembly_of(text: str) -> Assembly:
    """Read an assembly; its text is read on every page and seldom changes."""
    return _ASSEMBLY.validate_json(text)
