"""What the store hands upwards: frozen records of what is kept, never rows of a table."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Literal

from app.agreement.records import Cancellation, CounterSign, Party, SignOff, Wording
from app.agreement.states import JobState
from app.agreement.terms import NO_TERMS, OfferTerms
from app.pricing.records import Assembly, PriceItem, PriceRules
from app.schedule.records import Crew

Role = Literal["owner", "office", "crew"]
RevisionState = Literal["live", "signed", "declined", "superseded", "run out", "cancelled"]


@dataclass(frozen=True, slots=True)
class StaffMember:
    """One person of the firm who can sign in."""

    id: int
    name: str
    email: str
    role: Role
    has_second_factor: bool = False
    must_change: bool = False  # the password, since somebody else made it
    has_app: bool = False  # an app for one-time codes; a passkey is a second factor too
    must_set_factor: bool = False  # before anything else, by the rule of the shop


@dataclass(frozen=True, slots=True)
class SessionCard:
    """One signed-in browser of a person."""

    id: int
    made_at: datetime
    last_seen_at: datetime
    address: str
    browser: str
    is_this: bool


@dataclass(frozen=True, slots=True)
class Passkey:
    """One passkey of a person: its public half, in base64url, and what its counter said last."""

    id: int
    name: str
    credential_id: str
    public_key: str
    sign_count: int
    made_at: datetime
    last_used_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class ApiKey:
    """One key of the JSON API; the key itself was shown once."""

    id: int
    name: str
    scope: Literal["read", "write"]
    made_at: datetime
    expires_at: datetime
    last_used_at: datetime | None


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
class StoredJob:
    """One job as it is kept; `document` is the job file as text."""

    id: int
    number: str
    title: str
    client: ClientCard
    document: str
    document_sha256: str
    version: int
    state: JobState
    crew_code: str
    start_on: date | None
    changed_at: datetime


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
class AssemblyVersion:
    """One version of an assembly, and who saved it."""

    version: int
    assembly: Assembly
    set_at: datetime
    set_by: str


@dataclass(frozen=True, slots=True)
class Shop:
    """Firm-wide settings; `withdrawal` and `deposit_cap` are codes of presets, empty when none is set."""

    version: int
    firm: Party
    rules: PriceRules
    crews: tuple[Crew, ...]
    region: str
    weekdays: tuple[int, ...]
    days_off: tuple[tuple[date, str], ...]
    wording: tuple[Wording, ...]
    assemblies: tuple[Assembly, ...]
    withdrawal: str = ""
    deposit_cap: str = ""
    terms: OfferTerms = NO_TERMS


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
    sign_off: SignOff | None  # none once it was cancelled: nothing holds any more
    declined_at: datetime | None
    decline_reason: str
    counter_sign: CounterSign | None = None
    cancelled: Cancellation | None = None
    was_signed: SignOff | None = None  # also after it was cancelled


@dataclass(frozen=True, slots=True)
class NewCombination:
    """One combination of options, frozen: its codes joined by +, and the text its fingerprint is of."""

    codes: str
    fingerprint: str
    text: str


@dataclass(frozen=True, slots=True)
class NewRevision:
    """All that is frozen when a job is offered."""

    offered_at: datetime
    offered_on: date
    valid_until_on: date
    total: Decimal
    currency: str
    fingerprint: str
    inputs: str
    results: str
    pdf: bytes
    document_sha256: str
    combinations: tuple[NewCombination, ...] = ()


@dataclass(frozen=True, slots=True)
class Frozen:
    """What was frozen with a revision: inputs and results as JSON text."""

    inputs: str
    results: str
    fingerprint: str = ""


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
    phase: str = ""
    kind: str = "note"
    person: str = ""
    task_code: str = ""
    done_pct: int | None = None
    device_key: str | None = None


@dataclass(frozen=True, slots=True)
class Release:
    """A hold point that a named person released."""

    code: str
    name: str
    note: str
    at: datetime
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
    due_on: date | None = None


@dataclass(frozen=True, slots=True)
class OrderPlaced:
    """An item that was ordered."""

    item: str
    reference: str
    at: datetime
    by: str


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper of the handover file that is on file, and where."""

    code: str
    note: str
    at: datetime
    by: str


@dataclass(frozen=True, slots=True)
class RunTicked:
    """One check of one hidden run that somebody ticked off; `ends` is where the run went then."""

    run: str
    ends: str
    what: str
    by: str
    at: datetime
