"""Terms: what the firm says on every offer beside price and wording."""

from dataclasses import dataclass
from http import HTTPStatus

from fastapi import APIRouter, Response

from app.actions.errors import StaleSave
from app.actions.price import shop
from app.actions.records import Shop
from app.actions.shop import save_terms
from app.agreement.terms import LANGUAGES, TEXTS, OfferTerms
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number

router = APIRouter()
_LABELS = {
    "heading": (
        "Heading that names the kind of contract",
        "Where the region asks: Home improvement contract.",
    ),
    "salesperson": ("Salesperson", "Name, and registration number where the region asks."),
    "start_means": ("What counts as the start", "And what the dates hang on: permit, weather, access."),
    "change_rule": ("How changes are agreed", "Before the work, in writing, signed by both."),
    "permits": ("Who obtains permits", "An owner who pulls the permit may lose protection; check local law."),
    "lien_notice": ("Notice about liens", "As the region words it."),
    "insurance": ("Insurance", "Liability and workers."),
    "escrow": ("Escrow or bond", "Where the client’s money lies, where the region asks; else say none."),
    "warranty": ("Warranty", "How long, on what, and whom to call."),
    "subcontractors": ("Subcontractors", "None, or who for what."),
    "complaints": ("Where the client can turn", "Regulator, mediation."),
    "payment_methods": ("How to pay, and late payment", "Never ask for card numbers here."),
    "conditions": ("What must be there before work starts", "Engineer’s letter, permit, consents."),
}
_TERMS = (
    Entry(
        "language",
        "Language of the proposal’s fixed words",
        "choice",
        options=(("en", "English"), ("fr", "français")),
    ),
    *(Entry(name, *_label[:1], "words", _label[1], is_needed=False) for name, _label in _LABELS.items()),
    Entry(
        "asks_records_consent",
        "Consent to electronic records",
        "choice",
        options=(("", "not asked for"), ("yes", "asked for first, before the signature")),
        is_needed=False,
    ),
)


@dataclass(frozen=True, slots=True)
class TermsSheet:
    """What the firm says on every offer.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    shop : Shop
        Its version.
    fields : tuple of Field
        The form.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    shop: Shop
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]


@router.get("/shop/terms")
def show_terms(desk: AtDesk) -> Response:
    """The firm's terms."""
    terms = shop(desk.db).terms
    values = {name: getattr(terms, name) for name in TEXTS}
    values |= {
        "language": terms.language,
        "asks_records_consent": "yes" if terms.asks_records_consent else "",
    }
    return _page(desk, values, {})


@router.post("/shop/terms")
def save_shop_terms(desk: AtDesk, form: Posted) -> Response:
    """Save the firm's terms."""
    values = typed(_TERMS, form)
    language = next((known for known in LANGUAGES if known == values["language"]), None)
    if language is None:
        return _page(desk, values, {"language": "Choose a language"})
    terms = OfferTerms(
        language=language,
        asks_records_consent=values["asks_records_consent"] == "yes",
        **{name: values[name] for name in TEXTS},
    )
    try:
        save_terms(desk.db, desk.staff, number(form, "version"), terms, desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back="/shop/terms")
    return go("/shop/terms?said=saved")


def _page(desk: Desk, values: dict[str, str], faults: dict[str, str]) -> Response:
    sheet = TermsSheet(
        frame=desk_frame(desk, "Terms", at="/shop", is_wrong=bool(faults)),
        shop=shop(desk.db),
        fields=draw(_TERMS, values, faults),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    status = HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK
    return render(desk.request, "pages/terms.html", sheet, status)
