"""What a client is shown of an offer; no cost, wage, markup or hour."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from app.agreement.cautions import Cautions
from app.agreement.records import Cancellation, CounterSign, Party, PaymentStage, Revision, SignOff, Wording
from app.agreement.terms import NO_TERMS, OfferTerms
from app.agreement.withdrawal import WithdrawalClock
from app.job.findings import Assumption, Finding
from app.pricing.job_pricing import Detail
from app.pricing.rule_parts import TaxShare
from app.store.questions import Said
from app.store.records import RevisionState


@dataclass(frozen=True, slots=True)
class OfferPhase:
    """What the client is shown of one phase: its name and its price."""

    phase: str
    price: Decimal


@dataclass(frozen=True, slots=True)
class OfferOption:
    """One option on the client's page; `more` is what ticking or unticking it adds to the price shown."""

    code: str
    name: str
    text: str
    is_ticked: bool
    more: Decimal | None
    needs: tuple[str, ...]
    excludes: tuple[str, ...]


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
    cautions: tuple[Cautions, ...]
    plan_svg: str
    sign_off: SignOff | None
    declined_at: datetime | None
    can_sign: bool
    why_not: str
    expires_at: datetime
    detail: Detail = "phase"
    lines: tuple[OfferPhase, ...] = ()
    options: tuple[OfferOption, ...] = ()
    ticked: tuple[str, ...] = ()
    fingerprint: str = ""
    terms: OfferTerms = NO_TERMS
    taxes: tuple[TaxShare, ...] = ()  # what stands in the prices shown; empty: tax is apart, or none
    working_days: int = 0
    dead_kg: float = 0.0
    wants_records_consent: bool = False
    has_code: bool = False
    cancel_until: date | None = None
    clock: WithdrawalClock | None = None
    counter_sign: CounterSign | None = None
    cancelled: Cancellation | None = None
    parts: tuple[tuple[str, str], ...] = ()
    walls: tuple[tuple[str, str], ...] = ()
    night_svg: str = ""
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    tasks: tuple[tuple[str, date, date], ...] = ()
    typed: frozenset[str] = frozenset()  # names in the plan, which are nobody's words but the office's
    said: tuple[Said, ...] = ()
    needs_code: bool = False
    cancel_by: tuple[tuple[date, date], ...] = ()  # signed on this day, may cancel until that one
