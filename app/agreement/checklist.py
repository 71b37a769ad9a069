"""What an offer should say, point by point, and which points are missing before it goes out."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from app.agreement.records import Party, Wording
from app.agreement.terms import OfferTerms

SOURCE = (
    "16 CFR 429; California BPC 7159; New York GBL 771; Massachusetts c. 142A; Ontario CPA 2002; "
    "UK SI 2013/3134; read in 2026, some in copies; check local law"
)


@dataclass(frozen=True, slots=True)
class Point:
    """One point of the list.

    Attributes
    ----------
    number : int
        1 to 25.
    text : str
        What the offer should say.
    is_there : bool
    where : str
        Where it is entered.
    """

    number: int
    text: str
    is_there: bool
    where: str


@dataclass(frozen=True, slots=True)
class OfferFacts:
    """What is known of an offer when it is held against the list.

    Attributes
    ----------
    firm, client : Party
    site_address : str
    terms : OfferTerms
    wording : tuple of Wording
    has_withdrawal, has_deposit_cap : bool
        Whether a preset of local law is chosen.
    has_stages, has_days, names_boards : bool
        Whether payments, days and materials are worked out.
    """

    firm: Party
    client: Party
    site_address: str
    terms: OfferTerms
    wording: tuple[Wording, ...]
    has_withdrawal: bool
    has_deposit_cap: bool
    has_stages: bool
    has_days: bool
    names_boards: bool


POINTS = 25


def checklist(facts: OfferFacts) -> tuple[Point, ...]:
    """Hold an offer against the list of what it should say.

    Parameters
    ----------
    facts : OfferFacts
        What is known of it.

    Returns
    -------
    points : tuple of Point
        All 25, in order.

    References
    ----------
    Gathered from the laws that `SOURCE` names. It is a list to think by, not advice on law.
    """
    firm, client, terms = facts.firm, facts.client, facts.terms
    says = {text.code: bool(text.text.strip()) for text in facts.wording}
    firm_page, terms_page, wording_page = "Shop, Firm", "Shop, Terms", "Shop, Wording"
    parts = (firm.name, firm.address, firm.phone, firm.email, firm.registration, terms.salesperson)
    is_whole_firm = all(parts)
    rows = (
        (
            "The firm’s name, street address, phone, e-mail, registration, and who sells",
            is_whole_firm,
            firm_page,
        ),
        ("The client’s name and address, and the address of the job", _all(client, facts), "Client"),
        ("The date, on the first page", True, "printed by itself"),
        ("A heading that names the kind of contract", bool(terms.heading), terms_page),
        ("The work and the significant materials", facts.names_boards and _has(says, "inclusions"), "Plan"),
        ("The documents that belong to it, with revision and fingerprint", True, "printed by itself"),
        ("The whole price, and whether tax is in it", True, "printed by itself"),
        ("The deposit, and the cap on it", facts.has_deposit_cap, "Shop, Calendar and law"),
        ("What is paid when, by finished work", facts.has_stages, "Shop, Rules"),
        (
            "First and last day, and what counts as the start",
            facts.has_days and bool(terms.start_means),
            terms_page,
        ),
        ("Allowances, options and what is left out", _has(says, "exclusions"), wording_page),
        ("How changes are agreed", bool(terms.change_rule), terms_page),
        ("Who obtains permits", bool(terms.permits), terms_page),
        ("The notice about liens", bool(terms.lien_notice), terms_page),
        ("Insurance: liability and workers", bool(terms.insurance), terms_page),
        ("Warranty, how long, and whom to call", bool(terms.warranty), terms_page),
        ("Whether subcontractors are used", bool(terms.subcontractors), terms_page),
        (
            "The right to cancel, beside the signature",
            facts.has_withdrawal and _has(says, "cancellation"),
            "Shop, Calendar and law",
        ),
        ("A copy for the client before work starts", True, "the link, to download"),
        ("Where to complain", bool(terms.complaints), terms_page),
        ("Escrow or bond, where the region asks", bool(terms.escrow), terms_page),
        ("Consent to electronic records", terms.asks_records_consent and _has(says, "consent"), terms_page),
        ("What must be there before work starts", bool(terms.conditions), terms_page),
        ("How to pay, and what late payment costs", bool(terms.payment_methods), terms_page),
        ("Signatures of all parties, with dates", True, "the link, then the sheet Proposal"),
    )
    return tuple(Point(number, *row) for number, row in enumerate(rows, start=1))


def missing(points: Iterable[Point]) -> tuple[Point, ...]:
    """Give the points that are not there.

    Parameters
    ----------
    points : iterable of Point
        The whole list.

    Returns
    -------
    missing : tuple of Point
        In order.

    References
    ----------
    Definition.
    """
    return tuple(point for point in points if not point.is_there)


def _all(client: Party, facts: OfferFacts) -> bool:
    """Tell whether client and site are named."""
    return bool(client.name and client.address and facts.site_address)


def _has(says: Mapping[str, bool], code: str) -> bool:
    """Tell whether a wording is there."""
    return says.get(code, False)


_NOBODY = Party("", "")
# What the points are, whatever an offer says.
POINT_TEXTS: tuple[str, ...] = tuple(
    point.text
    for point in checklist(
        OfferFacts(_NOBODY, _NOBODY, "", OfferTerms(), (), False, False, False, False, False)
    )
)
