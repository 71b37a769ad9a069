"""The price list, the assemblies and the shop's rules."""

from datetime import date, datetime
from decimal import Decimal

from app.actions.database import Database
from app.actions.records import PricePage, PriceSheet, Shop, StaffMember
from app.agreement.records import Party, Wording
from app.pricing.records import Assembly, PriceBook, PriceItem, PriceRules


def price_list(db: Database, search: str = "", page: int = 1, today: date | None = None) -> PricePage:
    """One page of the price list, 50 rows, each at its price of the day (the newest when no day is given)."""
    raise NotImplementedError


def price_item(db: Database, item: str) -> PriceSheet:
    """One item with all its prices; NotFound."""
    raise NotImplementedError


def set_price(
    db: Database, staff: StaffMember, item: str, pack_price: Decimal, from_on: date, now: datetime
) -> None:
    """Add a price from a day on; the old ones stay."""
    raise NotImplementedError


def add_price_item(db: Database, staff: StaffMember, item: PriceItem, now: datetime) -> None:
    """Add a thing to the price list; Refused when its code is taken."""
    raise NotImplementedError


def assemblies(db: Database) -> tuple[Assembly, ...]:
    """All assemblies, by phase."""
    raise NotImplementedError


def shop(db: Database) -> Shop:
    """Firm-wide settings."""
    raise NotImplementedError


def save_rules(db: Database, staff: StaffMember, version: int, rules: PriceRules, now: datetime) -> int:
    """Save how cost becomes price and give the shop's new version."""
    raise NotImplementedError


def save_firm(db: Database, staff: StaffMember, version: int, firm: Party, now: datetime) -> int:
    """Save the firm's details as printed and give the shop's new version."""
    raise NotImplementedError


def save_wording(
    db: Database, staff: StaffMember, version: int, wording: tuple[Wording, ...], now: datetime
) -> int:
    """Save the wording of documents and give the shop's new version."""
    raise NotImplementedError


def price_book(db: Database, today: date) -> PriceBook:
    """All the shop knows of prices, as it stands on a day."""
    raise NotImplementedError
