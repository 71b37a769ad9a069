"""What actions hand to pages and commands: frozen records, never rows of a table."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Literal

from app.agreement.records import Party, PaymentStage, Revision, SignOff, Wording
from app.job.job import Job
from app.pricing.records import Assembly, PriceBook, PriceItem, PriceRules
from app.schedule.records import Calendar, Crew
from app.whole_job import WholeJob

JobState = Literal[
    "enquiry", "surveyed", "priced", "offered", "signed", "on the roof", "handed over", "let go"
]
Role = Literal["owner", "member"]


@dataclass(frozen=True, slots=True)
class StaffMember:
    """One person of the firm who can sign in."""

    id: int
    name: str
    email: str
    role: Role


@dataclass(frozen=True, slots=True)
class DemoAccount:
    """The demo's owner; the password is made at load time and given this once."""

    email: str
    password: str


@dataclass(frozen=True, slots=True)
class ClientCard:
    """A person or household asking."""

    id: int
    version: int
    name: str
    email: str
    phone: str
    address: str


@dataclass(frozen=True, slots=True)
class AuditEntry:
    """Who changed what, when, from which version to which."""

    at: datetime
    who: str
    what: str
    subject: str
    before_version: int | None
    after_version: int | None


@dataclass(frozen=True, slots=True)
class JobCard:
    """One job in the list; `total` is that of its newest revision, if it was ever offered."""

    id: int
    number: str
    title: str
    client_id: int
    client_name: str
    state: JobState
    crew_code: str
    start_on: date | None
    changed_at: datetime
    total: Decimal | None
    currency: str


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


@dataclass(frozen=True, slots=True)
class PricePage:
    """One page of the price list; `found` counts all that match the search."""

    rows: tuple[PriceItem, ...]
    search: str
    page: int
    pages: int
    found: int


@dataclass(frozen=True, slots=True)
class PriceFrom:
    """One price of an item, from a day on."""

    from_on: date
    pack_price: Decimal
    set_at: datetime
    set_by: str


@dataclass(frozen=True, slots=True)
class PriceSheet:
    """One item and every price it ever had, newest first."""

    item: PriceItem
    prices: tuple[PriceFrom, ...]


@dataclass(frozen=True, slots=True)
class Shop:
    """Firm-wide settings."""

    version: int
    firm: Party
    rules: PriceRules
    crews: tuple[Crew, ...]
    region: str
    weekdays: tuple[int, ...]
    days_off: tuple[tuple[date, str], ...]
    wording: tuple[Wording, ...]
    assemblies: tuple[Assembly, ...]


@dataclass(frozen=True)
class ProposalInputs:
    """All that a proposal is printed from; frozen with the revision."""

    firm: Party
    client: Party
    job: Job
    job_number: str
    answer: WholeJob
    revision: Revision
    wording: tuple[Wording, ...]
    site_address: str = ""


Renderer = Callable[[ProposalInputs], bytes]

RevisionState = Literal["live", "signed", "declined", "superseded", "run out"]


@dataclass(frozen=True, slots=True)
class RevisionCard:
    """One frozen offer, in the list of its job."""

    id: int
    job_id: int
    number: int
    offered_on: date
    valid_until_on: date
    total: Decimal
    currency: str
    fingerprint: str
    document_sha256: str
    state: RevisionState
    sign_off: SignOff | None
    declined_at: datetime | None
    decline_reason: str


@dataclass(frozen=True, slots=True)
class LinkCard:
    """One client's link, without its token (that is shown once, when made)."""

    id: int
    revision_id: int
    revision_number: int
    made_at: datetime
    made_by: str
    expires_at: datetime
    revoked_at: datetime | None
    opened: int
    last_opened_at: datetime | None
    state: Literal["live", "expired", "revoked", "superseded"]


@dataclass(frozen=True, slots=True)
class OfferPhase:
    """What the client is shown of one phase: its name and its price."""

    phase: str
    price: Decimal


@dataclass(frozen=True, slots=True)
class OfferView:
    """What the client sees of an offer. No cost, wage, markup or hour is in here."""

    firm: Party
    client: Party
    job_number: str
    job_title: str
    revision: Revision
    document_sha256: str
    state: RevisionState
    phases: tuple[OfferPhase, ...]
    price: Decimal
    contract_tax: Decimal
    total: Decimal
    start_on: date
    end_on: date
    stages: tuple[PaymentStage, ...]
    wording: tuple[Wording, ...]
    cautions: tuple[str, ...]
    plan_svg: str
    sign_off: SignOff | None
    declined_at: datetime | None
    can_sign: bool
    why_not: str
    expires_at: datetime


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
class LogEntry:
    """One line of the site log."""

    id: int
    on: date
    text: str
    hours_h: float
    people: int
    weather: str
    who: str
    at: datetime


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


@dataclass(frozen=True, slots=True)
class PunchItem:
    """One thing left to put right."""

    id: int
    text: str
    place: str
    added_on: date
    added_by: str
    closed_on: date | None
    closed_by: str


@dataclass(frozen=True, slots=True)
class WeekJob:
    """What one job does on one day of the week, for one crew."""

    job_id: int
    number: str
    title: str
    tasks: tuple[str, ...]
    hold_points: tuple[str, ...]


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
class WeekView:
    """This week: the days across, the crews down, what is due and who waits below."""

    monday: date
    days: tuple[date, ...]
    crews: tuple[Crew, ...]
    cells: tuple[WeekCell, ...]
    orders: tuple[OrderDue, ...]
    waiting: tuple[Waiting, ...]
    unreadable: tuple[tuple[int, str], ...] = field(default=())


@dataclass(frozen=True, slots=True)
class AmountChange:
    """One quantity, then and now; `place` is empty for the whole job."""

    basis: str
    item: str
    unit: str
    then: float
    now: float


@dataclass(frozen=True, slots=True)
class PhaseChange:
    """The price of one phase, then and now."""

    phase: str
    then: Decimal
    now: Decimal


@dataclass(frozen=True, slots=True)
class Difference:
    """The signed revision against the job as it stands now: money, days and quantities."""

    revision: RevisionCard
    currency: str
    total_then: Decimal
    total_now: Decimal
    phases: tuple[PhaseChange, ...]
    end_then_on: date
    end_now_on: date
    hours_then_h: float
    hours_now_h: float
    quantities: tuple[AmountChange, ...]


@dataclass(frozen=True, slots=True)
class Completeness:
    """What the handover file holds and what it still lacks."""

    is_complete: bool
    present: tuple[str, ...]
    missing: tuple[str, ...]
