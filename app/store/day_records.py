"""What the store hands upwards about days, orders, changes and money: frozen records."""

from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Literal

from app.schedule.joint_records import JointPlan
from app.schedule.task_edits import TaskEdit
from app.schedule.work_rules import SiteRules

ChangeState = Literal["verbal", "offered", "signed", "declined", "taken back"]


@dataclass(frozen=True, slots=True)
class JobPromise:
    """What one job promises and what its building asks for."""

    finish_by_on: date | None = None
    site: SiteRules = field(default_factory=SiteRules)
    access_notes: str = ""


@dataclass(frozen=True, slots=True)
class KeptEdit:
    """What was set by hand about a task, by whom and when."""

    edit: TaskEdit
    at: datetime
    by: str


@dataclass(frozen=True, slots=True)
class HeldPlan:
    """The accepted plan over all jobs."""

    id: int
    plan: JointPlan
    why: str
    at: datetime
    by: str


@dataclass(frozen=True, slots=True)
class SecretAddress:
    """One secret address; what was secret about it is known to whoever holds it alone."""

    id: int
    kind: str
    key: str
    made_at: datetime
    made_by: str
    revoked_at: datetime | None


@dataclass(frozen=True, slots=True)
class OrderedLine:
    """One line of a purchase order; money as printed."""

    item: str
    name: str
    packs: int
    unit: str
    cost: str


@dataclass(frozen=True, slots=True)
class PurchaseOrder:
    """One order to one supplier for one job."""

    id: int
    number: str
    job_id: int
    supplier: str
    lines: tuple[OrderedLine, ...]
    needed_on: date
    made_at: datetime
    made_by: str
    confirmed_for_on: date | None
    confirmed_at: datetime | None
    reference: str


@dataclass(frozen=True, slots=True)
class Delivery:
    """Packs of one item that came on a day; `damaged` of them cannot be used."""

    id: int
    item: str
    packs: int
    damaged: int
    on: date
    note: str
    at: datetime
    who: str


@dataclass(frozen=True, slots=True)
class PhotoCard:
    """One photo, without its picture."""

    id: int
    on: date
    caption: str
    is_before_cover: bool
    width_px: int
    height_px: int
    at: datetime
    who: str


@dataclass(frozen=True, slots=True)
class ChangeOrder:
    """One change to a signed job."""

    id: int
    job_id: int
    number: int
    title: str
    reason: str
    state: ChangeState
    is_verbal: bool
    said_by: str
    said_on: date | None
    price_change: Decimal
    days_change: int
    currency: str
    document: dict[str, Any]
    fingerprint: str
    made_at: datetime
    made_by: str
    settled_at: datetime | None
    settled_name: str
    has_pdf: bool


@dataclass(frozen=True, slots=True)
class SpokenChange:
    """What planning needs of a change that was agreed by word: its days, and whether it is signed."""

    number: int
    title: str
    days: int
    phase: str
    is_signed: bool
    made_at: datetime
    first_number: int = 0


@dataclass(frozen=True, slots=True)
class Receipt:
    """Money received for an invoice."""

    id: int
    invoice_number: int
    on: date
    amount: Decimal
    note: str
    at: datetime
    by: str


@dataclass(frozen=True, slots=True)
class Invoice:
    """One invoice with what came in for it."""

    number: int
    job_id: int
    stage: str
    title: str
    amount: Decimal
    currency: str
    made_on: date
    due_on: date
    at: datetime
    by: str
    receipts: tuple[Receipt, ...] = ()

    @property
    def received(self) -> Decimal:
        """What came in so far."""
        return sum((one.amount for one in self.receipts), Decimal(0))


@dataclass(frozen=True, slots=True)
class Cost:
    """One bill for a job: of which kind, for which phase, from whom; before tax, as the estimate is."""

    id: int
    kind: str
    phase: str
    amount: Decimal
    who: str
    on: date
    note: str
    at: datetime
    by: str


@dataclass(frozen=True, slots=True)
class HandoverCopy:
    """One handover file as it was handed over, and the client's receipt for it."""

    id: int
    job_id: int
    number: int
    fingerprint: str
    document_sha256: str
    lacking: tuple[str, ...]
    made_at: datetime
    made_by: str
    received_at: datetime | None = None
    received_name: str = ""
