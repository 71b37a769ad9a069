"""The tables, by subject. Only the store sees these classes."""

from app.store.models.base import Base
from app.store.models.days import (
    JobPromiseRow,
    JointPlanRow,
    PhotoRow,
    SecretAddressRow,
    TaskEditRow,
    WorkRulesRow,
)
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
from app.store.models.people import ApiKeyRow, GuessRow, RecoveryCodeRow, SessionRow, StaffRow
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
from app.store.models.site import HoldPointRow, LogEntryRow, OrderPlacedRow, PaperRow, PunchRow, RunTickRow
from app.store.models.trade import (
    ChangeOrderRow,
    DeliveryRow,
    InvoiceRow,
    PurchaseOrderRow,
    ReceiptRow,
)

__all__ = [
    "ApiKeyRow",
    "AssemblyRow",
    "AuditRow",
    "Base",
    "ChangeOrderRow",
    "ClientRow",
    "CombinationRow",
    "CrewRow",
    "DayOffRow",
    "DeliveryRow",
    "GuessRow",
    "HoldPointRow",
    "InvoiceRow",
    "JobPricingRow",
    "JobPromiseRow",
    "JobRow",
    "JointPlanRow",
    "LetterRow",
    "LinkEventRow",
    "LinkRow",
    "LinkSessionRow",
    "LogEntryRow",
    "MailRow",
    "OrderPlacedRow",
    "PaperRow",
    "PhotoRow",
    "PriceFromRow",
    "PriceImportRow",
    "PriceItemRow",
    "PunchRow",
    "PurchaseOrderRow",
    "QuestionRow",
    "ReceiptRow",
    "RecoveryCodeRow",
    "RevisionRow",
    "RulesRow",
    "RunTickRow",
    "SecretAddressRow",
    "SessionRow",
    "ShopRow",
    "SignCodeRow",
    "SignOffRow",
    "StaffRow",
    "TaskEditRow",
    "WordingRow",
    "WorkRulesRow",
]
