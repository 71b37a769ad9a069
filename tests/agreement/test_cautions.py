"""What a client must know: grouped, plain, equal notes in one line; nothing that must be settled is lost."""

import re

import pytest

from app.agreement.cautions import FOR_THE_CREW, PLAIN, SUBJECTS, client_cautions, listed, subject_of
from app.documents.words import is_said
from app.job.findings import Finding, Grade
from app.settings import ROOT
from tests import demo


def a_finding(
    code: str, place: str = "main", grade: Grade = "check", text: str = "As found, 3.2 kPa."
) -> Finding:
    return Finding(code, grade, place, text)


def test_six_lamps_that_glare_are_one_line() -> None:
    found = client_cautions([a_finding("roughin.glare", f"step-{n}", "note") for n in range(1, 7)], {})
    assert [part.subject for part in found] == ["Electricity and light"]
    assert len(found[0].lines) == 1
    assert "step-1 … step-6" in found[0].lines[0]


def test_a_stop_keeps_its_words_and_comes_first_even_where_there_are_plain_ones() -> None:
    found = client_cautions(
        [a_finding("framing.uplift"), a_finding("roughin.glare", grade="stop", text="Too bright.")], {}
    )
    assert found[0].subject == SUBJECTS[0]
    assert found[0].lines == ("Too bright.",)


@pytest.mark.parametrize("code", sorted(FOR_THE_CREW))
def test_what_only_the_crew_needs_is_left_to_the_appendix_unless_it_stops_the_job(code: str) -> None:
    assert client_cautions([a_finding(code)], {}) == ()
    assert client_cautions([a_finding(code, grade="stop")], {})[0].subject == SUBJECTS[0]


def test_what_has_no_plain_words_is_told_in_its_own_and_only_once() -> None:
    found = client_cautions([a_finding("roof.guard-low", "a"), a_finding("roof.guard-low", "b")], {})
    assert [(part.subject, part.lines) for part in found] == [
        ("Guards, steps and openings", ("As found, 3.2 kPa.",))
    ]


def test_things_are_called_by_the_names_they_were_given() -> None:
    assert listed(["main", "main", "s-2", "s-3", "x"], {"main": "Main deck"}) == "Main deck, s-2, s-3, x"
    assert listed(["s-3", "s-2", "s-1"], {}) == "s-3, s-2, s-1"


def test_every_code_named_here_is_one_the_engine_gives() -> None:
    engine = "".join(file.read_text(encoding="utf-8") for file in (ROOT / "app/takeoff").rglob("*.py"))
    for code in (*PLAIN, *FOR_THE_CREW):
        assert f'"{code}"' in engine, code
    assert not set(PLAIN) & FOR_THE_CREW


def test_plain_words_hold_no_figure_and_are_said_in_french() -> None:
    for subject, text in PLAIN.values():
        assert subject_of(next(code for code, pair in PLAIN.items() if pair[1] == text)) == subject
        assert not re.search(r"\d", text)
        assert is_said("fr", text.replace("{}", "here"))
        assert not re.search(r"\b(safe|compliant|certified)\b", text)
    assert all(is_said("fr", subject) for subject in SUBJECTS)


@pytest.mark.parametrize("name", ["harbour-workshop", "quay-loft", "net-store"])
def test_no_check_of_a_demo_job_is_lost_between_client_and_crew(name: str) -> None:
    findings = demo.answer(name).takeoff.findings
    found = client_cautions(findings, {})
    assert sum(len(part.lines) for part in found) <= len(findings)
    told = {part.subject for part in found}
    for finding in findings:
        assert finding.code in FOR_THE_CREW or subject_of(finding.code) in told
