"""What actions hand to pages and commands: frozen records; those of the store pass through here."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Literal

from app.actions.offer_view import OfferOption, OfferPhase, OfferView
from app.agreement.changes import AmountChange, LineChange, PhaseChange
from app.agreement.states import JobState
from app.build.handover import HandoverItem
from app.documents.records import ProposalInputs
from app.job.job import Job
from app.pricing.job_pricing import NOTHING_SET, JobPricing
from app.pricing.records import PriceBook, PriceItem
from app.schedule.records import Calendar, Crew
from app.store.records import (
    ApiKey,
    AuditEntry,
    ClientCard,
    JobCard,
    LinkCard,
    LogEntry,
    Paper,
    Passkey,
    PriceFrom,
    PriceSheet,
    PunchItem,
    RevisionCard,
    RevisionState,
    Role,
    SessionCard,
    Shop,
    StaffMember,
)
from app.whole_job import WholeJob

__all__ = [
    "AmountChange",
    "ApiKey",
    "AuditEntry",
    "ClientCard",
    "Completeness",
    "DemoAccount",
    "Difference",
    "HandoverItem",
    "HoldPointSheet",
    "JobCard",
    "JobPage",
    "JobSheet",
    "JobState",
    "LineChange",
    "LinkCard",
    "LogEntry",
    "MissingGoods",
    "OfferOption",
    "OfferPhase",
    "OfferView",
    "OrderDue",
    "OrderRow",
    "Paper",
    "Passkey",
    "PhaseChange",
    "PriceFrom",
    "PricePage",
    "PriceSheet",
    "ProposalInputs",
    "PunchItem",
    "Renderer",
    "RevisionCard",
    "RevisionState",
    "Role",
    "SessionCard",
    "Shop",
    "StaffMember",
    "UnsignedChange",
    "Waiting",
    "WeekCell",
    "WeekJob",
    "WeekView",
    "WorkedOut",
]


@dataclass(frozen=True, slots=True)
class DemoAccount:
    """The demo's owner; password and client's link are made at load time and given this once.

    `notes` say which job of the demo could not be brought as far as it should be, and why.
    """

    email: str
    password: str
    client_token: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JobSheet:
    """One job whole: `document` as typed, `job` as read."""

    id: int
    number: str
    title: str
    client: ClientCard
    state: JobState
    version: int
    document: dict[str, Any]
    document_sha256: str
    job: Job
    crew_code: str
    start_on: date | None
    history: tuple[AuditEntry, ...]
    pricing: JobPricing = NOTHING_SET
    pricing_version: int = 0


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """A job and everything computed about it, with the inputs that went in."""

    sheet: JobSheet
    answer: WholeJob
    prices: PriceBook
    crew: Crew
    calendar: Calendar
    start_on: date
    today: date

    @property
    def item_names(self) -> dict[str, str]:
        """What a supplier would call each thing on the price list, by its code."""
        return {item.item: item.name for item in self.prices.items}


@dataclass(frozen=True, slots=True)
class PricePage:
    """One page of the price list; `found` counts all that match the search."""

    rows: tuple[PriceItem, ...]
    search: str
    page: int
    pages: int
    found: int


@dataclass(frozen=True, slots=True)
class JobPage:
    """One page of the jobs; `found` counts all that match the search."""

    rows: tuple[JobCard, ...]
    search: str
    page: int
    pages: int
    found: int


Renderer = Callable[[ProposalInputs], bytes]


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One thing to order, and whether it was."""

    item: str
    name: str
    supplier: str
    packs: int
    unit: str
    cost: str
    needed_on: date
    order_by_on: date
    lead_days: int
    is_late: bool
    ordered_at: datetime | None
    ordered_by: str
    reference: str


@dataclass(frozen=True, slots=True)
class HoldPointSheet:
    """One hold point of the day plan; unsigned while `signed_at` is None."""

    code: str
    name: str
    planned_on: date | None
    signed_name: str
    note: str
    signed_at: datetime | None
    entered_by: str
    who: str
    state: Literal["open", "due", "signed"]
    waits_for: tuple[str, ...] = ()  # what must be ticked off before it may be signed


@dataclass(frozen=True, slots=True)
class WeekJob:
    """What one job does on one day of the week, for one crew."""

    job_id: int
    number: str
    title: str
    tasks: tuple[str, ...]
    hold_points: tuple[str, ...]
    critical: tuple[bool, ...] = ()


@dataclass(frozen=True, slots=True)
class WeekCell:
    """One crew on one day."""

    on: date
    crew_code: str
    day_off: str
    jobs: tuple[WeekJob, ...]


@dataclass(frozen=True, slots=True)
class OrderDue:
    """One order of one job that falls due this week or is late."""

    job_id: int
    number: str
    title: str
    row: OrderRow


@dataclass(frozen=True, slots=True)
class Waiting:
    """One job where somebody waits for an answer, and for what."""

    job_id: int
    number: str
    title: str
    client_name: str
    state: JobState
    text: str
    since: datetime


@dataclass(frozen=True, slots=True)
class MissingGoods:
    """What should be on one roof by the next working day and is not: packs, name and what is known of it."""

    job_id: int
    number: str
    on: date
    packs: int
    name: str
    supplier: str
    is_ordered: bool


@dataclass(frozen=True, slots=True)
class UnsignedChange:
    """One change of a job that is spoken of or sent, and not signed."""

    job_id: int
    number: str
    change: int
    title: str
    is_sent: bool
    since: datetime


@dataclass(frozen=True, slots=True)
class WeekView:
    """This week: the days across, the crews down, what is due and who waits below."""

    monday: date
    days: tuple[date, ...]
    crews: tuple[Crew, ...]
    cells: tuple[WeekCell, ...]
    orders: tuple[OrderDue, ...]
    waiting: tuple[Waiting, ...]
    unreadable: tuple[tuple[int, str], ...] = field(default=())
    missing: tuple[MissingGoods, ...] = ()
    unsigned: tuple[UnsignedChange, ...] = ()


@dataclass(frozen=True, slots=True)
class Difference:
    """The signed revision against the job as it stands now: money, days and quantities."""

    revision: RevisionCard
    currency: str
    total_then: Decimal
    total_now: Decimal
    total_change: Decimal
    phases: tuple[PhaseChange, ...]
    lines: tuple[LineChange, ...]
    quantities: tuple[AmountChange, ...]
    end_then_on: date
    end_now_on: date
    working_days_change: int
    hours_then_h: float
    hours_now_h: float
    is_empty: bool
    phases_then: tuple[tuple[str, Decimal], ...] = ()  # as the client is shown them
    phases_now: tuple[tuple[str, Decimal], ...] = ()


@dataclass(frozen=True, slots=True)
class Completeness:
    """What the handover file holds and what it still lacks."""

    is_complete: bool
    present: tuple[str, ...]
    missing: tuple[str, ...]
    items: tuple[HandoverItem, ...]
    papers: tuple[Paper, ...]
