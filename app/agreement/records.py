"""Records of the offer: a frozen revision, its payment stages, the sign-off."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class PaymentStage:
    """One payment.

    Attributes
    ----------
    code, text : str
        What must be done before it falls due.
    amount : Decimal
        The stages sum to the total.
    """

    code: str
    text: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Wording:
    """The shop's wording for documents; each is marked "check local law" when printed.

    Attributes
    ----------
    code : str
        ``inclusions``, ``exclusions``, ``terms``, ``cautions``, ``cancellation``, ``consent`` …
    title : str
    text : str
        Paragraphs parted by blank lines; lines starting with "- " are a list.
    source : str
        Where it comes from and of what date.
    """

    code: str
    title: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Party:
    """A firm or a client, as printed.

    Attributes
    ----------
    name, address, phone, email, registration : str
    """

    name: str
    address: str
    phone: str = ""
    email: str = ""
    registration: str = ""


@dataclass(frozen=True, slots=True)
class Revision:
    """One offer, frozen.

    Attributes
    ----------
    number : int
        1, 2, 3 …
    offered_on, valid_until_on : date
    fingerprint : str
        SHA-256 of the frozen inputs and results, in hex.
    total : Decimal
    currency : str
    stages : tuple of PaymentStage
    """

    number: int
    offered_on: date
    valid_until_on: date
    fingerprint: str
    total: Decimal
    currency: str
    stages: tuple[PaymentStage, ...]


@dataclass(frozen=True, slots=True)
class CounterSign:
    """The firm's own signature below the client's.

    Attributes
    ----------
    name : str
        As typed.
    who : str
        Whose account it was.
    fingerprint : str
        Of what the client signed.
    signed_at : datetime
        Aware, UTC.
    """

    name: str
    who: str
    fingerprint: str
    signed_at: datetime


@dataclass(frozen=True, slots=True)
class Cancellation:
    """A client's notice that it cancels what it signed.

    Attributes
    ----------
    name : str
        As typed.
    words : str
        What it said beside that; it owes no reason.
    cancelled_at : datetime
        When it came in: aware, UTC.
    address, browser : str
        Where it came from; empty when the office noted a letter.
    """

    name: str
    words: str
    cancelled_at: datetime
    address: str = ""
    browser: str = ""


@dataclass(frozen=True, slots=True)
class SignOff:
    """Consent given to one revision.

    Attributes
    ----------
    name : str
        As typed.
    consent : str
        The words agreed to.
    signed_at : datetime
        Aware, UTC.
    address, browser : str
        Where it came from.
    document_sha256 : str
        Of the exact PDF bytes.
    options : tuple of str
        Codes of the options taken.
    fingerprint : str
        Of exactly what was agreed to, options in; empty on sign-offs from before there were options.
    evidence : str
        What else is kept, as JSON.
    """

    name: str
    consent: str
    signed_at: datetime
    address: str
    browser: str
    document_sha256: str
    options: tuple[str, ...] = ()
    fingerprint: str = ""
    evidence: str = "{}"
