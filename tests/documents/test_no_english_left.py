"""In French nothing of ours stays English: every text of the English document is gone but what was typed.

The same inputs are printed in both languages; a text that both show is either typed by somebody, a figure,
a unit or a name, or a word that both languages share.
"""

import html
import re
from dataclasses import asdict, replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from app.agreement.records import Wording
from app.agreement.terms import OfferTerms
from app.agreement.withdrawal import preset
from app.documents import proposal
from app.documents.certificate import context_of
from app.documents.change_order import ChangeOrderInputs
from app.documents.change_order import context_of as change_context
from app.documents.records import Earlier, OfferedCombination, OfferedOption
from app.documents.render import html_of
from app.documents.words import FOLDER, figures_in, is_said, words_of
from tests import demo
from tests.documents.test_accessible import a_certificate

# Words that are the same in both languages.
SHARED = {
    "Date",
    "Total",
    "Options",
    "Questions",
    "Signature",
    "Signatures",
    "note",
    "Note",
    "total",
    "Client",
}
SHARED |= {"UTC", "Source", "source", "page", "Plan", "plan", "Prix", "options", "questions", "signature"}
_HASH = re.compile(r"[0-9a-f]{16,}")
JOBS = ("harbour-workshop", "quay-loft", "net-store")


def texts(page: str) -> set[str]:
    """Every text between tags, without what is inside parentheses of a drawing's own numbers."""
    body = re.sub(r"<(style|script).*?</\1>", " ", page, flags=re.DOTALL)
    labels = re.findall(r'aria-label="([^"]*)"', body)
    found = {" ".join(html.unescape(part).split()) for part in (*re.split(r"<[^>]*>", body), *labels)}
    return {text for text in found if re.search(r"[A-Za-z]{3}", text) and not _HASH.fullmatch(text)}


def typed(*given: Any) -> str:
    """All that people typed: job file, names, wording, prices."""
    return " ".join(map(str, given))


def in_both(name: str) -> tuple[set[str], str]:
    """Give the texts that English and French show alike, and all that was typed."""
    whole = demo.proposal_inputs(name)
    before = Earlier(1, date(2026, 4, 1), Decimal(5000), (("frame", Decimal(4000)),), "<svg></svg>")
    shown = []
    for language in ("en", "fr"):
        inputs = replace(
            whole,
            terms=OfferTerms(language=language, warranty="Chose tapée."),  # type: ignore[arg-type]
            wording=(Wording("terms", "Titre tapé", "Texte tapé.", "source tapée"),),
            withdrawal=preset("us-federal"),
            cancel_by=((date(2026, 7, 3), date(2026, 7, 8)),),
            earlier=before,
            options=(OfferedOption("o", "Option tapée", "Sorte tapée"),),
            combinations=(OfferedCombination(("Option tapée",), Decimal(9), Decimal(1), 7, 8.0, "ab" * 32),),
            unsaid=((8, "The deposit, and the cap on it", "Raison tapée"),),
        )
        kept: list[str] = []

        def write(template: str, context: Any, kept: list[str] = kept) -> bytes:
            kept.append(html_of(template, context))
            return b""

        original, proposal.pdf = proposal.pdf, write  # type: ignore[attr-defined]
        try:
            proposal.proposal_pdf(inputs)
        finally:
            proposal.pdf = original  # type: ignore[attr-defined]
        shown.append(texts(kept[0]))
    job = demo.document(name)
    given = typed(
        job, asdict(whole.firm), asdict(whole.client), whole.site_address, demo.shop_file("crews.json")
    )
    return shown[0] & shown[1], given


@pytest.mark.parametrize("name", JOBS)
def test_a_proposal_in_french_keeps_no_english_of_ours(name: str) -> None:
    alike, given = in_both(name)
    left = {
        text
        for text in alike
        if text not in SHARED and text not in given and "tapé" not in text and not _is_name(text, given)
    }
    assert not left


@pytest.mark.parametrize("name", JOBS)
def test_every_sentence_of_the_engine_on_the_demo_jobs_is_said_in_french(name: str) -> None:
    answer = demo.answer(name)
    said = [(f.text, f.source) for f in answer.takeoff.findings]
    said += [(a.text, a.source) for a in answer.takeoff.assumptions + answer.days.assumptions]
    english = sorted({text for pair in said for text in pair if not is_said("fr", text)})
    assert not english, "add what they say in French to templates/documents/words/fr.po"


def test_a_certificate_in_french_keeps_no_english_of_ours() -> None:
    shown = [texts(html_of("certificate.html", context_of(a_certificate(one)))) for one in ("en", "fr")]
    given = typed(asdict(demo.firm()), asdict(demo.CLIENT), "Ada Quill Maren Holt Lights J’accepte.")
    left = {t for t in shown[0] & shown[1] if t not in SHARED and not _is_name(t, given)}
    assert left <= {"0001 · Harbour workshop"}


def a_change_order(language: Any) -> ChangeOrderInputs:
    return ChangeOrderInputs(
        firm=demo.firm(),
        client=demo.CLIENT,
        job_number="0001",
        job_title="Harbour workshop",
        number=2,
        title="Banc tapé",
        reason="Raison tapée",
        rows=(("Planches tapées", "1", "2", "1"),),
        price_change=Decimal("812.50"),
        days_change=-1,
        sum_before=Decimal(9000),
        sum_after=Decimal("9812.50"),
        end_before_on=date(2026, 7, 3),
        end_after_on=date(2026, 7, 2),
        currency="CAD",
        said_by="Ada Quill",
        said_on=date(2026, 6, 30),
        made_on=date(2026, 7, 1),
        language=language,
    )


def test_a_change_order_in_french_keeps_no_english_of_ours() -> None:
    shown = [texts(html_of("change_order.html", change_context(a_change_order(one)))) for one in ("en", "fr")]
    given = typed(asdict(demo.firm()), asdict(demo.CLIENT), "Harbour workshop Ada Quill")
    left = {t for t in shown[0] & shown[1] if "tapé" not in t and t not in SHARED and not _is_name(t, given)}
    assert not left
    assert "−1" in html_of("change_order.html", change_context(a_change_order("fr")))


def test_figures_follow_the_language_and_clauses_stay() -> None:
    assert figures_in("1,234.5 kg of 0.25", "fr") == "1\xa0234,5 kg of 0,25"
    for kept in ("IRC R312.1.2", "IEC 60364-4-41 411.3.3", "2026-11-25", "5/4 × 6", "NFPA 70 310.15(B)(2)"):
        assert figures_in(kept, "fr") == kept


def test_every_translation_keeps_the_places_of_its_text() -> None:
    from babel.messages.pofile import read_po

    for file in FOLDER.glob("*.po"):
        with file.open("rb") as opened:
            for entry in read_po(opened, locale=file.stem):
                if entry.id:
                    places = str(entry.string).count("{}")
                    assert str(entry.id).count("{}") == places, entry.id
                    assert str(entry.string).strip(), entry.id


def test_a_sentence_nobody_translated_stays_and_is_told_as_english() -> None:
    assert (
        words_of("fr")("A sentence that no catalogue holds 1.5") == "A sentence that no catalogue holds 1.5"
    )
    assert not is_said("fr", "A sentence that no catalogue holds 1.5")


def _is_name(text: str, given: str) -> bool:
    """Whether a text holds nothing but typed words, figures and signs."""
    words = re.findall(r"[A-Za-zÀ-ÿ’']{3,}", text)
    return all(word in given or word in SHARED or word in ("psf", "kPa", "kpa") for word in words)
