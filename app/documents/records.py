"""What documents are printed from."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from app.agreement.records import Party, Revision, SignOff, Wording
from app.agreement.terms import NO_TERMS, OfferTerms
from app.agreement.withdrawal import WithdrawalRule
from app.job.job import Job
from app.pricing.job_pricing import Detail
from app.takeoff.chain import Takeoff
from app.whole_job import WholeJob


@dataclass(frozen=True, slots=True)
class OfferedOption:
    """One option as it is offered."""

    code: str
    name: str
    text: str


@dataclass(frozen=True, slots=True)
class OfferedCombination:
    """One combination of options as it is offered, with the fingerprint that a signature binds."""

    names: tuple[str, ...]
    total: Decimal
    more: Decimal
    working_days: int
    dead_kg: float
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Earlier:
    """The revision before this one, as far as the page of changes needs it."""

    number: int
    offered_on: date
    total: Decimal
    phases: tuple[tuple[str, Decimal], ...]
    plan_svg: str


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
    sign_off: SignOff | None = None
    detail: Detail = "phase"
    options: tuple[OfferedOption, ...] = ()
    combinations: tuple[OfferedCombination, ...] = ()
    terms: OfferTerms = NO_TERMS
    withdrawal: WithdrawalRule | None = None
    cancel_by: tuple[tuple[date, date], ...] = ()  # signed on, may cancel until
    earlier: Earlier | None = None
    unsaid: tuple[tuple[int, str, str], ...] = ()  # points of the checklist left out, with the reason


@dataclass(frozen=True)
class DayPlanInputs:
    """All that a day plan is printed from."""

    firm: Party
    client: Party
    job: Job
    job_number: str
    answer: WholeJob
    printed_on: date
    site_address: str = ""


@dataclass(frozen=True)
class CutPlanInputs:
    """All that a cut plan is printed from."""

    firm: Party
    job: Job
    job_number: str
    takeoff: Takeoff
    printed_on: date
