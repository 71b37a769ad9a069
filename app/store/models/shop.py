"""Firm-wide settings: the firm, its rules, prices, assemblies, crews and wording."""

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import CheckConstraint, ForeignKey, Integer, String, Text, UniqueConstraint, false
from sqlalchemy.orm import Mapped, mapped_column, relationship

from app.store.models.base import Base, Exact, Instant, append_only


class ShopRow(Base):
    """The one firm; its version counts every change of firm-wide settings."""

    __tablename__ = "shop"
    __table_args__ = (CheckConstraint("id = 1", name="one_row"),)

    id: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False, default=1)
    version: Mapped[int] = mapped_column(default=1)
    name: Mapped[str] = mapped_column(String(200))
    address: Mapped[str] = mapped_column(Text)
    phone: Mapped[str] = mapped_column(String(60))
    email: Mapped[str] = mapped_column(String(254))
    registration: Mapped[str] = mapped_column(String(200))
    region: Mapped[str] = mapped_column(String(20))
    weekdays: Mapped[str] = mapped_column(String(20))  # "0,1,2,3,4", Monday is 0
    withdrawal: Mapped[str] = mapped_column(String(40), default="")  # code of a preset, empty: none set
    deposit_cap: Mapped[str] = mapped_column(String(40), default="")  # code of a preset, empty: none set
    terms: Mapped[str] = mapped_column(Text, default="{}")  # how the firm offers, as JSON
    # of owner and office: a second factor before anything else opens
    asks_factor: Mapped[bool] = mapped_column(default=False, server_default=false())


class DayOffRow(Base):
    """One day the whole firm is off."""

    __tablename__ = "days_off"

    day: Mapped[date] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(120))


@append_only
class RulesRow(Base):
    """How cost becomes price, one row for every time it was saved; the last one holds."""

    __tablename__ = "rules"

    id: Mapped[int] = mapped_column(primary_key=True)
    document: Mapped[str] = mapped_column(Text)
    set_at: Mapped[datetime] = mapped_column(Instant)
    set_by: Mapped[str] = mapped_column(String(120))


class CrewRow(Base):
    """People who work together."""

    __tablename__ = "crews"

    code: Mapped[str] = mapped_column(String(40), primary_key=True)
    name: Mapped[str] = mapped_column(String(120))
    people: Mapped[int]
    day_h: Mapped[float]


class WordingRow(Base):
    """One text of the documents."""

    __tablename__ = "wording"

    code: Mapped[str] = mapped_column(String(40), primary_key=True)
    position: Mapped[int]
    title: Mapped[str] = mapped_column(String(200))
    text: Mapped[str] = mapped_column(Text)
    source: Mapped[str] = mapped_column(Text)


class PriceItemRow(Base):
    """One thing that can be bought; its prices stand in their own table."""

    __tablename__ = "price_items"

    item: Mapped[str] = mapped_column(String(40), primary_key=True)
    name: Mapped[str] = mapped_column(String(200))
    unit: Mapped[str] = mapped_column(String(10))
    pack: Mapped[Decimal] = mapped_column(Exact)
    supplier: Mapped[str] = mapped_column(String(200))
    lead_days: Mapped[int]
    mass_kg: Mapped[float | None]
    length_mm: Mapped[float | None]
    spares_pct: Mapped[Decimal] = mapped_column(Exact, default=Decimal(0))
    tax_code: Mapped[str] = mapped_column(String(20), default="")  # of the rules' codes; empty: usual
    gone_on: Mapped[date | None]  # from this day on it is not in the list

    prices: Mapped[list["PriceFromRow"]] = relationship(
        order_by="(PriceFromRow.from_on, PriceFromRow.id)", cascade="save-update, merge"
    )


@append_only
class PriceFromRow(Base):
    """The price of a pack from a day on; rows are added, never changed."""

    __tablename__ = "prices_from"

    id: Mapped[int] = mapped_column(primary_key=True)
    item: Mapped[str] = mapped_column(ForeignKey("price_items.item", ondelete="CASCADE"), index=True)
    from_on: Mapped[date]
    pack_price: Mapped[Decimal] = mapped_column(Exact)
    set_at: Mapped[datetime] = mapped_column(Instant)
    set_by: Mapped[str] = mapped_column(String(120))


@append_only
class AssemblyRow(Base):
    """One version of one assembly; the highest version holds."""

    __tablename__ = "assemblies"
    __table_args__ = (UniqueConstraint("code", "version"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    code: Mapped[str] = mapped_column(String(40))
    version: Mapped[int]
    position: Mapped[int]
    document: Mapped[str] = mapped_column(Text)
    set_at: Mapped[datetime] = mapped_column(Instant)
    set_by: Mapped[str] = mapped_column(String(120))


@append_only
class DeclinedRateRow(Base):
    """A rate learned from the logs and not taken over; it is told again when more jobs speak."""

    __tablename__ = "declined_rates"

    id: Mapped[int] = mapped_column(primary_key=True)
    assembly: Mapped[str] = mapped_column(String(40), index=True)
    part: Mapped[int]
    proposed: Mapped[Decimal] = mapped_column(Exact)
    jobs: Mapped[int]
    set_at: Mapped[datetime] = mapped_column(Instant)
    set_by: Mapped[str] = mapped_column(String(120))


class PriceImportRow(Base):
    """One price file that was read and waits for a yes, or was let in or dropped."""

    __tablename__ = "price_imports"

    id: Mapped[int] = mapped_column(primary_key=True)
    made_at: Mapped[datetime] = mapped_column(Instant)
    made_by: Mapped[str] = mapped_column(String(120))
    file_name: Mapped[str] = mapped_column(String(200))
    items: Mapped[str] = mapped_column(Text, deferred=True)
    item_count: Mapped[int]
    state: Mapped[str] = mapped_column(String(20))  # waiting, let in, dropped
    settled_at: Mapped[datetime | None] = mapped_column(Instant)
