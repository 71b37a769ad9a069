"""The tables, by subject. Only the store sees these classes."""

from app.store.models.base import Base
from app.store.models.jobs import AuditRow, ClientRow, JobRow
from app.store.models.mail import LetterRow, MailRow
from app.store.models.offers import (
    CombinationRow,
    JobPricingRow,
    LinkEventRow,
    LinkRow,
    LinkSessionRow,
    QuestionRow,
    RevisionRow,
    SignCodeRow,
    SignOffRow,
)
from app.store.models.people import GuessRow, SessionRow, StaffRow
from app.store.models.shop import (
    AssemblyRow,
    CrewRow,
    DayOffRow,
    PriceFromRow,
    PriceImportRow,
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
    "CombinationRow",
    "CrewRow",
    "DayOffRow",
    "GuessRow",
    "HoldPointRow",
    "JobPricingRow",
    "JobRow",
    "LetterRow",
    "LinkEventRow",
    "LinkRow",
    "LinkSessionRow",
    "LogEntryRow",
    "MailRow",
    "OrderPlacedRow",
    "PaperRow",
    "PriceFromRow",
    "PriceImportRow",
    "PriceItemRow",
    "PunchRow",
    "QuestionRow",
    "RevisionRow",
    "RulesRow",
    "SessionRow",
    "ShopRow",
    "SignCodeRow",
    "SignOffRow",
    "StaffRow",
    "WordingRow",
]
