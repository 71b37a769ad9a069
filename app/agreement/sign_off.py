"""Signing: when a revision may be signed, and the evidence that is kept."""

from dataclasses import dataclass
from datetime import date, datetime

from app.agreement.records import Revision, SignOff
from app.agreement.revision import has_run_out

LONGEST_NAME = 200


@dataclass(frozen=True, slots=True)
class SignRequest:
    """What the client sends.

    Attributes
    ----------
    name : str
        As typed.
    has_consented : bool
        Whether the box was ticked.
    consent : str
        The words beside the box.
    fingerprint : str
        Of the offer shown.
    signed_at : datetime
        Aware.
    address, browser : str
        Where it comes from.
    document_sha256 : str
        Of the exact PDF bytes that were offered.
    """

    name: str
    has_consented: bool
    consent: str
    fingerprint: str
    signed_at: datetime
    address: str
    browser: str
    document_sha256: str


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why something may not be done.

    Attributes
    ----------
    code : str
        ``run-out``, ``superseded``, ``changed``, ``no-consent``, ``no-name``.
    text : str
        A sentence for the person, with what would do.
    """

    code: str
    text: str


def why_not_sign(revision: Revision, newest_number: int, today: date) -> Refusal | None:
    """Say why an offer cannot be signed any more.

    Parameters
    ----------
    revision : Revision
        The offer.
    newest_number : int
        Of the job's newest revision.
    today : date
        In the site's time zone.

    Returns
    -------
    refusal : Refusal or None
        None when it may be signed.

    References
    ----------
    Definition.
    """
    if newest_number > revision.number:
        return Refusal(
            "superseded", f"There is a newer proposal, revision {newest_number}. Ask the firm for its link."
        )
    if has_run_out(revision, today):
        return Refusal(
            "run-out", f"This proposal held until {revision.valid_until_on}. Ask the firm for a new one."
        )
    return None


def sign(
    revision: Revision, newest_number: int, request: SignRequest, today: date, earlier: SignOff | None
) -> SignOff | Refusal:
    """Sign an offer.

    Parameters
    ----------
    revision : Revision
        The offer.
    newest_number : int
        Of the job's newest revision.
    request : SignRequest
        What the client sends.
    today : date
        In the site's time zone.
    earlier : SignOff or None
        The sign-off that this revision has already.

    Returns
    -------
    answer : SignOff or Refusal
        Signing again changes nothing: it gives the evidence there is.

    Raises
    ------
    ValueError
        If the instant has no time zone.

    References
    ----------
    15 USC 7006(5): a process logically associated with a record and executed with the intent to sign.
    """
    if earlier is not None:
        return earlier
    if request.signed_at.tzinfo is None:
        raise ValueError("The instant of a signature needs a time zone.")
    refusal = why_not_sign(revision, newest_number, today) or _faults(revision, request)
    if refusal is not None:
        return refusal
    return SignOff(
        name=request.name.strip(),
        consent=request.consent.strip(),
        signed_at=request.signed_at,
        address=request.address,
        browser=request.browser,
        document_sha256=request.document_sha256,
    )


def _faults(revision: Revision, request: SignRequest) -> Refusal | None:
    """Say what is missing in a request."""
    if request.fingerprint != revision.fingerprint:
        return Refusal(
            "changed",
            "What you have read is not what is offered now. Open the link again and read it once more.",
        )
    if not request.has_consented or not request.consent.strip():
        return Refusal("no-consent", "Tick the box to agree, or ask the firm for the proposal on paper.")
    name = request.name.strip()
    if not name or not any(letter.isalpha() for letter in name):
        return Refusal("no-name", "Type your full name as your signature.")
    if len(name) > LONGEST_NAME:
        return Refusal("no-name", f"Type your name in at most {LONGEST_NAME} characters.")
    return None
