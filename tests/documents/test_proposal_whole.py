"""The proposal's options, particulars, last day to cancel, changes, detail and language."""

import io
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from pypdf import PdfReader

from app.agreement.revision import make_revision
from app.agreement.terms import TEXTS, OfferTerms
from app.agreement.withdrawal import preset
from app.documents.proposal import particulars_of, priced_parts, proposal_pdf
from app.documents.records import Earlier, OfferedCombination, OfferedOption, ProposalInputs
from app.documents.words import FOLDER, day_of, money_of, words_of
from app.pricing.estimate import estimate
from app.settings import TEMPLATES
from tests import demo


def inputs(**changes: Any) -> ProposalInputs:
    return replace(demo.proposal_inputs("net-store"), **changes)


def text_of(printed: bytes) -> str:
    pages = PdfReader(io.BytesIO(printed)).pages
    return " ".join("\n".join(page.extract_text() for page in pages).split())


FULL = {
    "options": (OfferedOption("lights", "Lights", "Six lights along the edge"),),
    "combinations": (
        OfferedCombination(("Lights",), Decimal("9999.00"), Decimal("812.50"), 7, 812.0, "ab" * 32),
    ),
    "withdrawal": preset("us-federal"),
    "cancel_by": ((date(2026, 7, 3), date(2026, 7, 8)),),
    "earlier": Earlier(
        1, date(2026, 4, 1), Decimal("5000.00"), (("frame", Decimal("4000.00")),), "<svg></svg>"
    ),
}


@pytest.fixture(scope="module")
def french() -> bytes:
    terms = OfferTerms(
        language="fr", heading="Contrat de rénovation", **dict.fromkeys(TEXTS[1:], "Comme convenu.")
    )
    return proposal_pdf(inputs(terms=terms, **FULL))


def test_the_fixed_words_are_french_and_the_figures_written_so(french: bytes) -> None:
    text = text_of(french)
    for words in (
        "Proposition pour",
        "Ce que vous recevez",
        "Paiements",
        "Valable jusqu’au",
        "Contrat de rénovation",
    ):
        assert words in text
    assert "Payment stages" not in text
    assert "What you get" not in text
    assert "mer. 8 juill. 2026" in text


def test_options_changes_cancellation_and_particulars_are_printed(french: bytes) -> None:
    text = text_of(french)
    assert "Six lights along the edge" in text
    assert "abababab" in text
    assert "Ce qui a changé depuis la révision 1" in text
    assert text.count("Comme convenu.") >= 11
    assert "vous pouvez vous rétracter jusqu’à minuit" in text


def test_it_is_small_and_the_same_each_time(french: bytes) -> None:
    assert len(french) < 2_000_000
    plain = inputs(**FULL)
    assert proposal_pdf(plain) == proposal_pdf(plain)


def test_every_fixed_text_of_the_proposal_has_its_translation() -> None:
    templates = (TEMPLATES / "documents").glob("proposal*.html")
    fixed = set(re.findall(r'_\("([^"]+)"\)', "".join(one.read_text(encoding="utf-8") for one in templates)))
    assert len(fixed) > 50
    for file in FOLDER.glob("*.po"):
        say = words_of(file.stem)  # type: ignore[arg-type]
        same = {text for text in fixed if say(text) == text}
        assert same <= {"Date", "Total", "Options", "Signature", "Signatures", "total"}, file.name


def test_phases_and_stages_are_spoken_too() -> None:
    say = words_of("fr")
    whole = demo.proposal_inputs()
    for name, _ in priced_parts(whole):
        assert say(name) != name or name == "Beds"
    for stage in whole.revision.stages:
        assert say(stage.text) != stage.text
    for label, _ in particulars_of(OfferTerms(**dict.fromkeys(TEXTS, "x"))):
        assert say(label) != label


def test_money_and_days_follow_the_language() -> None:
    assert day_of("en")(date(2026, 8, 4)) == "Tue 4 Aug 2026"
    assert "1 234,50" in money_of("fr")(Decimal("1234.5"), "CAD").replace("\xa0", " ").replace("\u202f", " ")


@pytest.mark.parametrize("detail", ["total", "phase", "line"])
def test_the_price_sums_at_every_detail_and_tells_no_cost(detail: Any) -> None:
    whole = inputs(detail=detail)
    parts = priced_parts(whole)
    estimate = whole.answer.estimate
    assert sum(amount for _, amount in parts) == estimate.price
    costs = {line.cost for line in estimate.lines if line.cost}
    assert detail != "line" or not {amount for _, amount in parts} & costs


def test_what_the_office_set_by_hand_stays_in_the_office() -> None:
    text = text_of(proposal_pdf(inputs()))
    for secret in ("set by hand", "stale", "markup", "contingency", "burden"):
        assert secret not in text.lower()


@pytest.mark.parametrize("detail", ["total", "phase", "line"])
def test_prices_with_tax_in_them_lead_with_the_whole_and_sum_to_it(detail: Any) -> None:
    rules = replace(demo.prices().rules, tax_on="contract", tax_shown="inside", tax_pct=Decimal(20))
    answer = demo.answer("net-store")
    whole = estimate(answer.takeoff, replace(demo.prices(), rules=rules), demo.TODAY)
    revision = make_revision(1, demo.TODAY, whole, rules, {})
    shown = inputs(answer=replace(answer, estimate=whole), revision=revision, detail=detail)
    assert sum(amount for _, amount in priced_parts(shown)) == whole.total
    assert sum(stage.amount for stage in revision.stages) == whole.total
    text = text_of(proposal_pdf(replace(shown, terms=OfferTerms(language="fr"))))
    write = money_of("fr")
    total, tax, price = (
        " ".join(write(amount, "USD").split()) for amount in (whole.total, whole.contract_tax, whole.price)
    )
    assert f"Total, taxes comprises {total} dont taxe, 20 % de {price} {tax} Prix hors taxe {price}" in text
    assert "Taxe sur le contrat" not in text
