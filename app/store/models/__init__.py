"""The tables, by subject. Only the store sees these classes."""

from app.store.models.base import Base
from app.store.models.jobs import AuditRow, ClientRow, JobRow
from app.store.models.offers import LinkEventRow, LinkRow, LinkSessionRow, RevisionRow, SignOffRow
from app.store.models.people import GuessRow, SessionRow, StaffRow
from app.store.models.shop import (
    AssemblyRow,
    CrewRow,
    DayOffRow,
    PriceFromRow,
    PriceItemRow,
    RulesRow,
    ShopRow,
    WordingRow,
)
from app.store.models.site import HoldPointRow, LogEntryRow, OrderPlacedRow, PaperRow, PunchRow

__all__ = [
    "AssemblyRow",
    "AuditRow",
    "Base",
    "ClientRow",
    "CrewRow",
    "DayOffRow",
    "GuessRow",
    "HoldPointRow",
    "JobRow",
    "LinkEventRow",
    "LinkRow",
    "LinkSessionRow",
    "LogEntryRow",
    "OrderPlacedRow",
    "PaperRow",
    "PriceFromRow",
    "PriceItemRow",
    "PunchRow",
    "RevisionRow",
    "RulesRow",
    "SessionRow",
    "ShopRow",
    "SignOffRow",
    "StaffRow",
    "WordingRow",
]
