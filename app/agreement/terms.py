"""What a firm says on every offer beside price and wording: who it is, by which law, in which language."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Literal

from app.agreement.records import Wording
from app.agreement.withdrawal import WithdrawalRule
from app.measure.errors import InputError

Language = Literal["en", "fr"]
LANGUAGES: tuple[Language, ...] = ("en", "fr")


@dataclass(frozen=True, slots=True)
class OfferTerms:
    """The firm's own particulars of every offer; all are printed, and none is advice on law.

    Attributes
    ----------
    language : str
        Of the proposal's fixed words: ``en`` or ``fr``.
    heading : str
        Name of the kind of contract, where the region asks for one.
    salesperson : str
        Name, and registration number where the region asks.
    start_means : str
        What counts as the start, and what the dates hang on.
    change_rule : str
        How changes are agreed.
    permits : str
        Who obtains permits.
    lien_notice, insurance, escrow : str
    warranty : str
        How long, on what, and whom to call.
    subcontractors : str
        Whether any are used, and for what.
    complaints : str
        Where the client can turn.
    payment_methods : str
        And what late payment costs.
    conditions : str
        What must be there before work starts: engineer's letter, permit, consents.
    asks_records_consent : bool
        Consent to electronic records is asked for first.
    other : tuple of (str, str)
        The same particulars in other languages: ``warranty.fr`` and the words.
    not_needed : tuple of (int, str)
        Points of the checklist that no offer of the firm says, each with the reason.
    law : str
        Code of the preset of local law that was taken over; empty when none was.
    law_checked_on : date or None
        When the firm last had wording, clock and cap checked against local law.
    law_checked_by : str
        By whom.
    law_months : int
        How long that holds before the office is told to look again.
    own_clock : WithdrawalRule or None
        The firm's own clock of the right to cancel, where no preset fits.
    """

    language: Language = "en"
    heading: str = ""
    salesperson: str = ""
    start_means: str = ""
    change_rule: str = ""
    permits: str = ""
    lien_notice: str = ""
    insurance: str = ""
    escrow: str = ""
    warranty: str = ""
    subcontractors: str = ""
    complaints: str = ""
    payment_methods: str = ""
    conditions: str = ""
    asks_records_consent: bool = False
    other: tuple[tuple[str, str], ...] = ()
    not_needed: tuple[tuple[int, str], ...] = ()
    law: str = ""
    law_checked_on: date | None = None
    law_checked_by: str = ""
    law_months: int = 12
    own_clock: WithdrawalRule | None = None


NO_TERMS = OfferTerms()
# The particulars that are printed, each a text of the firm's own.
TEXTS: tuple[str, ...] = tuple(
    field.name
    for field in fields(OfferTerms)
    if field.type is str and field.name not in ("law", "law_checked_by")
)


def read_terms(document: object) -> OfferTerms:
    """Give the firm's particulars from their file.

    Parameters
    ----------
    document : object
        The file as read: an object with the keys ``terms`` and, if wanted, ``not_needed``.

    Returns
    -------
    terms : OfferTerms
        As printed.

    Raises
    ------
    InputError
        If a key is not known, or a text is none.

    References
    ----------
    Definition of the file, in the demo shop's read-me.
    """
    said = document.get("terms") if isinstance(document, Mapping) else None
    if not isinstance(said, Mapping) or not isinstance(document, Mapping):
        raise InputError("terms", said, f"Give an object with the keys {', '.join(TEXTS)}.")
    for key, value in said.items():
        if key not in TEXTS:
            raise InputError(f"terms.{key}", value, f"There is no such key; known are {', '.join(TEXTS)}.")
        if not isinstance(value, str):
            raise InputError(f"terms.{key}", value, "Give a text.")
    reasons = document.get("not_needed", [])
    if not all(isinstance(pair, list) and len(pair) == 2 and isinstance(pair[0], int) for pair in reasons):
        raise InputError("not_needed", reasons, "Give pairs of a point's number and a reason.")
    found = OfferTerms(**{str(key): value.strip() for key, value in said.items()})
    return replace(found, not_needed=tuple((number, str(reason)) for number, reason in reasons))


def terms_in(terms: OfferTerms, language: Language) -> OfferTerms:
    """Give the particulars in the language of one offer.

    Parameters
    ----------
    terms : OfferTerms
        The firm's.
    language : str
        ``en`` or ``fr``.

    Returns
    -------
    terms : OfferTerms
        A particular without words in that language is empty, so that none is printed in the wrong one.

    References
    ----------
    Definition.
    """
    if language == "en":
        return replace(terms, language=language)
    said = dict(terms.other)
    return replace(
        terms,
        language=language,
        heading=said.get(f"heading.{language}", ""),
        salesperson=said.get(f"salesperson.{language}", "") or terms.salesperson,
        start_means=said.get(f"start_means.{language}", ""),
        change_rule=said.get(f"change_rule.{language}", ""),
        permits=said.get(f"permits.{language}", ""),
        lien_notice=said.get(f"lien_notice.{language}", ""),
        insurance=said.get(f"insurance.{language}", ""),
        escrow=said.get(f"escrow.{language}", ""),
        warranty=said.get(f"warranty.{language}", ""),
        subcontractors=said.get(f"subcontractors.{language}", ""),
        complaints=said.get(f"complaints.{language}", ""),
        payment_methods=said.get(f"payment_methods.{language}", ""),
        conditions=said.get(f"conditions.{language}", ""),
    )


def wording_in(wording: Iterable[Wording], language: Language) -> tuple[Wording, ...]:
    """Give the shop's wording in the language of one offer, under its plain codes.

    Parameters
    ----------
    wording : iterable of Wording
        The shop's; a text in another language has its code with the language behind it: ``terms.fr``.
    language : str
        ``en`` or ``fr``.

    Returns
    -------
    wording : tuple of Wording
        Texts of that language alone, in the shop's order.

    Examples
    --------
    >>> texts = (Wording("terms", "Terms", "Pay.", ""), Wording("terms.fr", "Conditions", "Payez.", ""))
    >>> [(one.code, one.title) for one in wording_in(texts, "fr")]
    [('terms', 'Conditions')]

    References
    ----------
    Definition.
    """
    if language == "en":
        return tuple(text for text in wording if "." not in text.code)
    ending = f".{language}"
    return tuple(
        replace(text, code=text.code.removesuffix(ending)) for text in wording if text.code.endswith(ending)
    )
