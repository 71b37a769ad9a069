"""What is frozen with a revision, and how it becomes text and back."""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from pydantic import TypeAdapter

from app.agreement.fingerprint import canonical_json, fingerprint_of_text
from app.agreement.records import Party, PaymentStage, Wording
from app.agreement.terms import NO_TERMS, OfferTerms
from app.agreement.withdrawal import WithdrawalRule
from app.job.findings import Assumption, Finding
from app.pricing.job_pricing import NOTHING_SET, JobPricing
from app.pricing.records import Estimate, PriceBook
from app.schedule.records import Calendar, Crew, DayPlan
from app.takeoff.totals.records import Quantity


@dataclass(frozen=True)
class FrozenInputs:
    """All that went in; with the same program it gives the same answer again.

    Three numbers say by what rules: the package's version, the job file's schema, and the prices' day.
    """

    package_version: str
    job_number: str
    job: dict[str, Any]
    prices: PriceBook
    crew: Crew
    calendar: Calendar
    start_on: date
    today: date
    firm: Party
    client: Party
    site_address: str
    wording: tuple[Wording, ...]
    time_zone: str = ""  # of the site; empty: the server's own
    pricing: JobPricing = NOTHING_SET
    ticked: tuple[str, ...] = ()  # options in
    withdrawal: str = ""  # code of the law's clock, as it was when offered
    terms: OfferTerms = NO_TERMS
    clock: WithdrawalRule | None = None  # the law's clock itself, whatever the presets say later
    unsaid: tuple[tuple[int, str, str], ...] = ()  # points that the offer does not say: number, point, reason


@dataclass(frozen=True)
class FrozenResults:
    """All that came out, so that an old offer never has to be computed again."""

    stages: tuple[PaymentStage, ...]
    estimate: Estimate
    days: DayPlan
    quantities: tuple[Quantity, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
    plan_svg: str
    dead_kg: float = 0.0
    parts: tuple[tuple[str, str], ...] = ()  # what the client gets: where, what
    walls: tuple[tuple[str, str], ...] = ()  # elevations: wall, drawing
    night_svg: str = ""  # the light after dark, where there are lights


# Frozen texts never change, and a client reads the same one many times: the last few are kept as read.
_KEPT = 24
_INPUTS = TypeAdapter(FrozenInputs)
_RESULTS = TypeAdapter(FrozenResults)


def as_text(frozen: FrozenInputs | FrozenResults) -> str:
    """Write inputs or results as canonical JSON."""
    return canonical_json(frozen)


def fingerprint_of(inputs: str, results: str) -> str:
    """Give the fingerprint of a revision from the two texts as stored, whatever program reads them."""
    return fingerprint_of_text(both(inputs, results))


def both(inputs: str, results: str) -> str:
    """Give inputs and results as the one text that a fingerprint is of."""
    return f'{{"inputs":{inputs},"results":{results}}}'


@lru_cache(maxsize=_KEPT)
def read_inputs(text: str) -> FrozenInputs:
    """Read the inputs back."""
    return _INPUTS.validate_json(text)


@lru_cache(maxsize=_KEPT)
def read_results(text: str) -> FrozenResults:
    """Read the results back."""
    return _RESULTS.validate_json(text)
