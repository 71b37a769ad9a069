"""The proposal, read back by PDF libraries."""

import io
from dataclasses import replace

import pikepdf
import pytest
from pypdf import PdfReader

from app.agreement.records import Wording
from app.documents.parts import parts_of
from app.documents.proposal import proposal_pdf
from app.documents.render import OutsideAsset, html_of
from app.measure.show import format_money
from tests import demo


@pytest.fixture(scope="module")
def printed() -> bytes:
    return proposal_pdf(demo.proposal_inputs())


@pytest.fixture(scope="module")
def text(printed: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(printed)).pages)


def squeezed(words: str) -> str:
    return "".join(words.split())


def test_price_fingerprint_and_every_phase_are_in_it(text: str) -> None:
    inputs = demo.proposal_inputs()
    estimate = inputs.answer.estimate
    assert format_money(estimate.total, estimate.currency) in text
    assert inputs.revision.fingerprint in squeezed(text)
    for phase in estimate.phases:
        assert phase.phase.capitalize() in text
        assert format_money(phase.price, estimate.currency) in text


def test_it_runs_in_the_order_a_client_reads_it_and_the_figures_come_after_the_signature(text: str) -> None:
    heads = (
        "Proposal for",
        "What you get",
        "The walls",
        "By night",
        "Payment stages",
        "The days",
        "What the price includes",
        "What the price does not include",
        "Please note before you sign",
        "Care through the year",
        "Terms",
        "Sign-off",
        "Appendix: figures and assumptions",
        "Tasks and their days",
        "What we took as given",
    )
    places = [text.index(f"{head}\n" if head != "Proposal for" else head) for head in heads]
    assert places == sorted(places)
    assert text.index("Name, signature, date") < places[-3]


def test_what_is_equal_is_told_once_and_every_figure_stays_in_the_appendix(text: str) -> None:
    before, _, after = text.partition("Appendix: figures and assumptions")
    whole = demo.answer()
    assert "step-1 … step-6" in " ".join(before.split())
    assert "MPa" not in before
    said = (*whole.takeoff.findings, *whole.takeoff.assumptions, *whole.days.assumptions)
    for one in said:
        assert squeezed(one.text) in squeezed(after), one.code
    for planned in whole.days.tasks:
        assert squeezed(planned.task.name) in squeezed(after)


def test_payment_stages_parties_and_sign_off_are_in_it(text: str) -> None:
    inputs = demo.proposal_inputs()
    for stage in inputs.revision.stages:
        assert format_money(stage.amount, inputs.revision.currency) in text
    assert inputs.client.name in text
    assert inputs.firm.name in text
    assert "Sign-off" in text


def test_every_check_is_printed_with_its_words_and_source(text: str) -> None:
    checks = [f for f in demo.answer().takeoff.findings if f.grade == "check"]
    assert checks
    for finding in checks:
        assert squeezed(finding.text) in squeezed(text)
        assert squeezed(finding.source) in squeezed(text)


def test_every_wording_says_check_local_law(text: str) -> None:
    assert text.count("check local law") >= 3


def test_pages_are_numbered_and_named(printed: bytes) -> None:
    pages = PdfReader(io.BytesIO(printed)).pages
    for number, page in enumerate(pages, start=1):
        words = page.extract_text()
        assert f"page {number} of {len(pages)}" in words
        assert demo.firm().name in words


def test_it_is_tagged_names_its_language_and_embeds_only_our_own_type(printed: bytes) -> None:
    with pikepdf.open(io.BytesIO(printed)) as document:
        assert "/StructTreeRoot" in document.Root
        assert str(document.Root.Lang) == "en"
        fonts = {
            str(o.BaseFont)
            for o in document.objects
            if isinstance(o, pikepdf.Dictionary) and "/BaseFont" in o
        }
    families = {name.partition("+")[2].replace("-", "").replace(" ", "") for name in fonts}
    assert families
    assert all(name.startswith(("ArchivoNarrow", "SplineSansMono")) for name in families)


def test_the_same_inputs_print_the_same_bytes(printed: bytes) -> None:
    assert proposal_pdf(demo.proposal_inputs()) == printed


def test_it_stays_under_two_megabytes(printed: bytes) -> None:
    assert len(printed) < 2_000_000


def test_wording_typed_by_the_shop_never_becomes_markup() -> None:
    nasty = Wording("terms", "Terms", "<script>alert(1)</script>\n- <b>x</b>", "invented")
    inputs = replace(demo.proposal_inputs(), wording=(nasty,))
    words = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(proposal_pdf(inputs))).pages)
    assert "<script>alert(1)</script>" in words
    assert "<b>x</b>" in words


@pytest.mark.parametrize(
    "address", ["https://outside.example/x.png", "file:///etc/hostname", "../../app/settings.py"]
)
def test_a_document_can_load_nothing_but_our_own_assets(address: str) -> None:
    from app.documents.render import _fetcher

    with pytest.raises(OutsideAsset):
        _fetcher().fetch(address if "://" in address else f"file:///{address}")


def test_what_you_get_names_every_thing_drawn() -> None:
    inputs = demo.proposal_inputs()
    names = [part.name for part in parts_of(inputs.job, inputs.answer.takeoff.layout)]
    plan = inputs.job.plan
    for thing in (*plan.deck_fields, *plan.feature_walls, *plan.planters, *plan.benches, *plan.counters):
        assert thing.name in names


@pytest.mark.parametrize("name", ["quay-loft", "net-store"])
def test_the_other_demo_jobs_print_too(name: str) -> None:
    assert proposal_pdf(demo.proposal_inputs(name)).startswith(b"%PDF")


def test_a_missing_value_in_a_template_is_an_error_not_a_blank() -> None:
    with pytest.raises(Exception, match="undefined"):
        html_of("proposal.html", {})
