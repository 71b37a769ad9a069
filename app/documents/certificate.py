"""The certificate of a signature: what was signed, by whom, when, and with which evidence."""

import json
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from app.agreement.records import Cancellation, CounterSign, Party, SignOff
from app.agreement.terms import Language
from app.documents.render import pdf
from app.documents.words import day_of, event_of, instant_of, money_of, words_of


@dataclass(frozen=True, slots=True)
class CertificateInputs:
    """All that a certificate is printed from."""

    firm: Party
    client: Party
    job_number: str
    job_title: str
    number: int
    offered_on: date
    total: Decimal
    currency: str
    sign_off: SignOff
    counter_sign: CounterSign | None
    cancelled: Cancellation | None
    language: Language
    options: tuple[str, ...]


def certificate_pdf(inputs: CertificateInputs) -> bytes:
    """Print a certificate; the same inputs give the same bytes."""
    return pdf("certificate.html", context_of(inputs))


def context_of(inputs: CertificateInputs) -> dict[str, object]:
    """Give what the certificate is filled from."""
    write = money_of(inputs.language)
    return {
        "firm": inputs.firm,
        "job_number": inputs.job_number,
        "job": {"title": inputs.job_title},
        "inputs": inputs,
        "evidence": json.loads(inputs.sign_off.evidence),
        "_": words_of(inputs.language),
        "on": day_of(inputs.language),
        "at": instant_of(inputs.language),
        "done": event_of(inputs.language),
        "moment": lambda kept: instant_of(inputs.language)(datetime.fromisoformat(kept)),
        "money": lambda amount: write(amount, inputs.currency),
        "lang": inputs.language,
    }
