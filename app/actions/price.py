"""The price list and the assemblies."""

from datetime import date, datetime
from decimal import Decimal

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.records import PricePage, PriceSheet, StaffMember
from app.actions.shop import save_calendar, save_firm, save_law, save_rules, save_wording, shop
from app.actions.takeoff import shop_of
from app.pricing.records import Assembly, PriceBook, PriceItem
from app.store import audit, prices

__all__ = [
    "PAGE_ROWS",
    "add_price_item",
    "assemblies",
    "price_book",
    "price_item",
    "price_list",
    "save_assembly",
    "save_calendar",
    "save_firm",
    "save_law",
    "save_rules",
    "save_wording",
    "set_price",
    "shop",
]

PAGE_ROWS = 50


def price_list(db: Database, search: str = "", page: int = 1, today: date | None = None) -> PricePage:
    """One page of the price list, 50 rows, each at its price of the day (the newest when no day is given)."""
    with db.read() as session:
        rows, found = prices.page_of_items(session, today, search, (max(1, page) - 1) * PAGE_ROWS, PAGE_ROWS)
        pages = max(1, -(-found // PAGE_ROWS))
        if page > pages:
            page = pages
            rows, _ = prices.page_of_items(session, today, search, (page - 1) * PAGE_ROWS, PAGE_ROWS)
    return PricePage(rows, search, max(1, page), pages, found)


def price_item(db: Database, item: str) -> PriceSheet:
    """One item with all its prices; NotFound."""
    with db.read() as session:
        found = prices.find_item(session, item)
    if found is None:
        raise NotFound("price-list item", item)
    return found


def set_price(
    db: Database, staff: StaffMember, item: str, pack_price: Decimal, from_on: date, now: datetime
) -> None:
    """Add a price from a day on; the old ones stay. Refused when it is no amount of money."""
    _check_price(pack_price)
    with db.write() as session:
        found = prices.find_item(session, item)
        if found is None:
            raise NotFound("price-list item", item)
        prices.add_price(session, item, pack_price, from_on, staff.name, now)
        what = f"{found.item.pack_price} → {pack_price} a pack from {from_on.isoformat()}"
        audit.note(session, now, staff.name, what, f"item:{item}")


def add_price_item(db: Database, staff: StaffMember, item: PriceItem, now: datetime) -> None:
    """Add a thing to the price list; Refused when its code is taken or a figure cannot be."""
    _check_price(item.pack_price)
    if not item.item.strip() or not item.name.strip():
        raise Refused("A price-list item needs a code and a name.")
    if item.pack <= 0 or item.lead_days < 0:
        raise Refused(f"A pack holds more than nothing and arrives no sooner than ordered: {item.item}.")
    with db.write() as session:
        if len(item.tax_code) > 20:
            raise Refused("A tax code has at most 20 characters.")
        if prices.find_item(session, item.item) is not None:
            raise Refused(f"The price list has an item {item.item} already; set its price instead.")
        prices.add_item(session, item, staff.name, now)
        audit.note(session, now, staff.name, f"added {item.name}", f"item:{item.item}")


def assemblies(db: Database) -> tuple[Assembly, ...]:
    """All assemblies, in the shop's order."""
    with db.read() as session:
        return prices.list_assemblies(session)


def save_assembly(db: Database, staff: StaffMember, assembly: Assembly, now: datetime) -> int:
    """Save an assembly as the next version of its code and give that version; the earlier ones stay."""
    with db.write() as session:
        known = [old.code for old in prices.list_assemblies(session)]
        position = known.index(assembly.code) if assembly.code in known else len(known)
        version = prices.add_assembly(session, assembly, position, staff.name, now)
        before = version - 1 or None
        audit.note(
            session, now, staff.name, "saved the assembly", f"assembly:{assembly.code}", (before, version)
        )
    return version


def price_book(db: Database, today: date) -> PriceBook:
    """All the shop knows of prices, as it stands on a day; Refused while the shop is empty."""
    return shop_of(db, today)[0]


def _check_price(price: Decimal) -> None:
    if not price.is_finite() or price < 0 or price >= Decimal(10) ** 9:
        raise Refused(f"{price} is no price of a pack; an amount from 0 up, such as 24.60, would do.")
