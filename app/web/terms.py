"""Terms: what the firm says on every offer beside price and wording."""

from dataclasses import dataclass, replace
from http import HTTPStatus

from fastapi import APIRouter, Response
from starlette.datastructures import FormData

from app.actions.errors import NotFound, Refused, StaleSave
from app.actions.price import shop
from app.actions.records import Shop
from app.actions.shop import save_terms
from app.agreement.checklist import POINT_TEXTS, POINTS
from app.agreement.terms import LANGUAGES, TEXTS, OfferTerms
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number, text

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
    in_words : tuple of (str, tuple of Field)
        Language, and the form of what is said in it.
    not_needed : tuple of (int, str, str)
        Every point of the checklist, and why no offer says it.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    shop: Shop
    fields: tuple[Field, ...]
    in_words: tuple[tuple[str, tuple[Field, ...]], ...]
    not_needed: tuple[tuple[int, str, str], ...]
    faults: tuple[Fault, ...]


@router.get("/shop/terms")
def show_terms(desk: AtDesk) -> Response:
    """The firm's terms."""
    return _page(desk, {}, {})


@router.post("/shop/terms")
def save_shop_terms(desk: AtDesk, form: Posted) -> Response:
    """Save the firm's terms."""
    values = typed(_TERMS, form)
    language = next((known for known in LANGUAGES if known == values["language"]), None)
    if language is None:
        return _page(desk, values, {"language": "Choose a language"})
    terms = replace(
        shop(desk.db).terms,
        language=language,
        asks_records_consent=values["asks_records_consent"] == "yes",
        **{name: values[name] for name in TEXTS},  # type: ignore[arg-type]
    )
    return _save(desk, form, terms, values)


@router.post("/shop/terms/words")
def save_terms_in_words(desk: AtDesk, form: Posted) -> Response:
    """Save the firm's terms in another language."""
    language = next((one for one in LANGUAGES if one == form.get("language") and one != "en"), None)
    if language is None:
        raise NotFound("language", str(form.get("language") or "")[:10])
    values = typed(_in_words(language), form)
    old = shop(desk.db).terms
    kept = [(key, words) for key, words in old.other if not key.endswith(f".{language}")]
    new = [(name, words) for name, words in values.items() if words]
    return _save(desk, form, replace(old, other=tuple(sorted(kept + new))), {})


@router.post("/shop/terms/not-needed")
def save_not_needed(desk: AtDesk, form: Posted) -> Response:
    """Save why no offer of the firm says certain points of the checklist."""
    found = []
    for figure in range(1, POINTS + 1):
        reason = text(form, f"reason-{figure}", 400)
        if reason:
            found.append((figure, reason))
    return _save(desk, form, replace(shop(desk.db).terms, not_needed=tuple(found)), {})


def _save(desk: Desk, form: FormData, terms: OfferTerms, values: dict[str, str]) -> Response:
    """Save the terms, or say why not."""
    try:
        save_terms(desk.db, desk.staff, number(form, "version"), terms, desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back="/shop/terms")
    except Refused as refusal:
        return _page(desk, values, {"heading": refusal.reason})
    return go("/shop/terms?said=saved")


def _in_words(language: str) -> tuple[Entry, ...]:
    """The particulars to be written in another language, each under its own name."""
    return tuple(
        Entry(f"{name}.{language}", label, "words", is_needed=False) for name, (label, _) in _LABELS.items()
    )


def _stored(terms: OfferTerms) -> dict[str, str]:
    values = {name: getattr(terms, name) for name in TEXTS}
    return values | {
        "language": terms.language,
        "asks_records_consent": "yes" if terms.asks_records_consent else "",
    }


def _page(desk: Desk, values: dict[str, str], faults: dict[str, str]) -> Response:
    stored = shop(desk.db).terms
    reasons = dict(stored.not_needed)
    sheet = TermsSheet(
        frame=desk_frame(desk, "Terms", at="/shop", is_wrong=bool(faults)),
        shop=shop(desk.db),
        fields=draw(_TERMS, _stored(stored) | values, faults),
        in_words=tuple(
            (language, draw(_in_words(language), dict(stored.other), {}))
            for language in LANGUAGES
            if language != "en"
        ),
        not_needed=tuple(
            (figure, words, reasons.get(figure, "")) for figure, words in enumerate(POINT_TEXTS, start=1)
        ),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    status = HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK
    return render(desk.request, "pages/terms.html", sheet, status)
