"""Printed documents for people who listen to them: what ISO 14289-1 (PDF/UA-1) asks and a program can check.

Clauses from memory of the standard: 5 identification, 7.1 marked, titled and tagged, 7.2 language, 7.3
figures with words, 7.4 headings in order, 7.5 tables with heads and scopes, 7.21 type embedded.
"""

import io
import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pikepdf
import pytest

from app.agreement.records import CounterSign, SignOff
from app.agreement.terms import TEXTS, OfferTerms
from app.agreement.withdrawal import preset
from app.documents.certificate import CertificateInputs, certificate_pdf
from app.documents.proposal import proposal_pdf
from tests import demo

NOW = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)


def a_certificate(language: Any = "fr") -> CertificateInputs:
    evidence = {"events": [[NOW.isoformat(), "opened"], [NOW.isoformat(), "looked at: price"]]}
    evidence |= {"drawn": "M10,10L20,30"}  # type: ignore[dict-item]
    signed = SignOff("Ada Quill", "J’accepte.", NOW, "192.0.2.7", "x", "ab" * 32, ("lights",), "cd" * 32)
    return CertificateInputs(
        firm=demo.firm(),
        client=demo.CLIENT,
        job_number="0001",
        job_title="Harbour workshop",
        number=1,
        offered_on=date(2026, 5, 4),
        total=Decimal("17284.14"),
        currency="CAD",
        sign_off=replace(signed, evidence=json.dumps(evidence)),
        counter_sign=CounterSign("Maren Holt", "Maren", "cd" * 32, NOW),
        cancelled=None,
        language=language,
        options=("Lights",),
    )


def a_proposal(name: str, language: Any) -> bytes:
    terms = OfferTerms(language=language, **dict.fromkeys(TEXTS, "Comme convenu."))  # type: ignore[arg-type]
    whole = replace(
        demo.proposal_inputs(name),
        terms=terms,
        withdrawal=preset("us-federal"),
        cancel_by=((date(2026, 7, 3), date(2026, 7, 8)),),
    )
    return proposal_pdf(whole)


@pytest.fixture(
    scope="module", params=["harbour-workshop en", "net-store fr", "certificate fr", "certificate en"]
)
def printed(request: pytest.FixtureRequest) -> Iterator[tuple[str, pikepdf.Pdf]]:
    name, _, language = request.param.partition(" ")
    kind = certificate_pdf(a_certificate(language)) if name == "certificate" else a_proposal(name, language)
    with pikepdf.open(io.BytesIO(kind)) as document:
        yield language, document


def elements(document: pikepdf.Pdf) -> Iterator[tuple[str, Any]]:
    """Walk the structure in reading order: kind and element."""

    def walk(node: Any) -> Iterator[tuple[str, Any]]:
        if isinstance(node, pikepdf.Array):
            for one in node:
                yield from walk(one)
        elif isinstance(node, pikepdf.Dictionary):
            if "/S" in node:
                yield str(node.S), node
            if "/K" in node:
                yield from walk(node.K)

    yield from walk(document.Root.StructTreeRoot.K)


def test_it_says_what_it_is_in_which_language_and_under_which_title(
    printed: tuple[str, pikepdf.Pdf],
) -> None:
    language, document = printed
    assert bool(document.Root.MarkInfo.Marked)
    assert str(document.Root.Lang) == language
    assert bool(document.Root.ViewerPreferences.DisplayDocTitle)
    with document.open_metadata() as metadata:
        assert metadata["pdfuaid:part"] == "1"
        assert metadata["dc:title"]


def test_every_type_is_embedded(printed: tuple[str, pikepdf.Pdf]) -> None:
    found = [
        one
        for one in printed[1].objects
        if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/FontDescriptor"
    ]
    assert found
    for one in found:
        assert any(key in one for key in ("/FontFile", "/FontFile2", "/FontFile3")), one.FontName
        family = str(one.FontName).partition("+")[2].replace("-", "")
        assert family.startswith(("ArchivoNarrow", "SplineSansMono")), family


def test_every_drawing_has_its_words(printed: tuple[str, pikepdf.Pdf]) -> None:
    for kind, element in elements(printed[1]):
        if kind == "/Figure":
            assert str(element.get("/Alt", "")).strip()


def test_headings_skip_no_level_and_start_at_the_first(printed: tuple[str, pikepdf.Pdf]) -> None:
    levels = [int(kind[2:]) for kind, _ in elements(printed[1]) if kind[1:2] == "H" and kind[2:].isdecimal()]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_every_table_has_rows_and_heads_that_say_what_they_head(printed: tuple[str, pikepdf.Pdf]) -> None:
    tables = [element for kind, element in elements(printed[1]) if kind == "/Table"]
    assert tables
    for table in tables:
        inside: list[tuple[str, Any]] = []

        def gather(node: Any, inside: list[tuple[str, Any]] = inside) -> None:
            if isinstance(node, pikepdf.Array):
                for one in node:
                    gather(one)
            elif isinstance(node, pikepdf.Dictionary) and "/S" in node:
                inside.append((str(node.S), node))
                if "/K" in node:
                    gather(node.K)

        gather(table.K)
        heads = [node for kind, node in inside if kind == "/TH"]
        assert [kind for kind, _ in inside].count("/TR") >= 1
        assert heads
        assert all(str(head.A.Scope) in ("/Row", "/Column") for head in heads)


def test_all_that_is_drawn_is_marked(printed: tuple[str, pikepdf.Pdf]) -> None:
    """No text or path is painted outside marked content (7.1)."""
    for page in printed[1].pages:
        depth = 0
        for _, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            depth += {"BDC": 1, "BMC": 1, "EMC": -1}.get(name, 0)
            if name in ("Tj", "TJ", "'", '"'):
                assert depth > 0


def test_the_same_certificate_prints_the_same_bytes() -> None:
    assert certificate_pdf(a_certificate()) == certificate_pdf(a_certificate())
