"""What documents are printed from."""

from dataclasses import dataclass
from datetime import date

from app.agreement.records import Party, Revision, SignOff, Wording
from app.job.job import Job
from app.takeoff.chain import Takeoff
from app.whole_job import WholeJob


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
