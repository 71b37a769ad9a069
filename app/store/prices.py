"""The price list with every price it ever held, and the assemblies with every version."""

from datetime import date, datetime
from decimal import Decimal

from pydantic import TypeAdapter
from sqlalchemy import func, or_, select
from sqlalchemy.orm import Session, selectinload

from app.pricing.records import Assembly, PriceItem
from app.store.models import AssemblyRow, PriceFromRow, PriceItemRow
from app.store.records import PriceFrom, PriceSheet

_ASSEMBLY = TypeAdapter(Assembly)


def list_items(session: Session, on: date | None, search: str = "") -> tuple[PriceItem, ...]:
    """Give the items that match, each at its price of a day (the newest when none is given).

    An item whose first price starts later than the day is shown at that first price.
    """
    query = select(PriceItemRow).options(selectinload(PriceItemRow.prices)).order_by(PriceItemRow.item)
    for word in search.split():
        pattern = f"%{word.replace('%', '').replace('_', '')}%"
        query = query.where(
            or_(
                PriceItemRow.item.ilike(pattern),
                PriceItemRow.name.ilike(pattern),
                PriceItemRow.supplier.ilike(pattern),
            )
        )
    return tuple(_item(row, on) for row in session.scalars(query))


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
            prices=[PriceFromRow(from_on=item.priced_on, pack_price=item.pack_price, set_at=now, set_by=who)],
        )
    )
    session.flush()


def add_price(
    session: Session, item: str, pack_price: Decimal, from_on: date, who: str, now: datetime
) -> None:
    """Add a price from a day on; of two for the same day the later entered holds."""
    session.add(PriceFromRow(item=item, from_on=from_on, pack_price=pack_price, set_at=now, set_by=who))


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
    return tuple(_ASSEMBLY.validate_json(text) for text in session.scalars(query))


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
    )
