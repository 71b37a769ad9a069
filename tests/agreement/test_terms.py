"""The firm's particulars and wording, language by language."""

from dataclasses import replace

import pytest

from app.agreement.checklist import POINT_TEXTS, POINTS
from app.agreement.records import Wording
from app.agreement.terms import NO_TERMS, TEXTS, OfferTerms, read_terms, terms_in, wording_in
from app.measure.errors import InputError

WHOLE = OfferTerms(**dict.fromkeys(TEXTS, "words"))


def test_nothing_typed_in_one_language_is_printed_in_another() -> None:
    other = tuple((f"{name}.fr", f"mots {name}") for name in TEXTS)
    french = terms_in(replace(WHOLE, other=other), "fr")
    assert all(getattr(french, name) == f"mots {name}" for name in TEXTS)
    bare = terms_in(WHOLE, "fr")
    # A person's name is the same in every language.
    assert [name for name in TEXTS if getattr(bare, name)] == ["salesperson"]
    assert terms_in(french, "en").language == "en"


def test_wording_of_another_language_never_slips_in() -> None:
    texts = (Wording("a", "A", "x", ""), Wording("a.fr", "B", "y", ""), Wording("b", "C", "z", ""))
    assert [text.text for text in wording_in(texts, "en")] == ["x", "z"]
    assert [(text.code, text.text) for text in wording_in(texts, "fr")] == [("a", "y")]


def test_a_file_of_terms_reads_and_its_faults_name_their_place() -> None:
    read = read_terms({"terms": {"permits": " The firm. "}, "not_needed": [[8, "no cap here"]]})
    assert (read.permits, read.not_needed) == ("The firm.", ((8, "no cap here"),))
    for document, path in (
        ({}, "terms"),
        ({"terms": {"colour": "red"}}, "terms.colour"),
        ({"terms": {"permits": 1}}, "terms.permits"),
        ({"terms": {}, "not_needed": [["8", "x"]]}, "not_needed"),
    ):
        with pytest.raises(InputError) as fault:
            read_terms(document)
        assert fault.value.path == path


def test_there_are_twenty_five_points() -> None:
    assert len(POINT_TEXTS) == POINTS == 25
    assert NO_TERMS.not_needed == ()
