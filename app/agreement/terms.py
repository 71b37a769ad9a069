"""What a firm says on every offer beside price and wording: who it is, by which law, in which language."""

from dataclasses import dataclass, fields
from typing import Literal

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


NO_TERMS = OfferTerms()
TEXTS: tuple[str, ...] = tuple(
    field.name for field in fields(OfferTerms) if field.name not in ("language", "asks_records_consent")
)
