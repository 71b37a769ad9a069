"""Signing."""

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from app.agreement.records import SignOff
from app.agreement.revision import make_revision
from app.agreement.sign_off import Refusal, SignRequest, sign, why_not_sign
from tests.shop_builders import an_estimate, price_rules

REVISION = make_revision(1, date(2026, 5, 4), an_estimate(), price_rules(), {"a": 1})
TODAY = date(2026, 5, 10)


def a_request(**changes: Any) -> SignRequest:
    request = SignRequest(
        name=" Maren Holt ",
        has_consented=True,
        consent="I agree.",
        fingerprint=REVISION.fingerprint,
        signed_at=datetime(2026, 5, 10, 12, tzinfo=UTC),
        address="192.0.2.7",
        browser="a browser",
        document_sha256="ab" * 32,
    )
    return replace(request, **changes)


def test_a_good_request_gives_the_evidence() -> None:
    answer = sign(REVISION, 1, a_request(), TODAY, None)
    assert isinstance(answer, SignOff)
    assert (answer.name, answer.consent) == ("Maren Holt", "I agree.")
    assert answer.signed_at == datetime(2026, 5, 10, 12, tzinfo=UTC)
    assert answer.document_sha256 == "ab" * 32


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"fingerprint": "0" * 64}, "changed"),
        ({"has_consented": False}, "no-consent"),
        ({"consent": " "}, "no-consent"),
        ({"name": "   "}, "no-name"),
        ({"name": "..."}, "no-name"),
        ({"name": "x" * 201}, "no-name"),
    ],
)
def test_what_is_missing_is_refused_with_its_reason(change: dict[str, Any], code: str) -> None:
    answer = sign(REVISION, 1, a_request(**change), TODAY, None)
    assert isinstance(answer, Refusal)
    assert answer.code == code
    assert answer.text


@pytest.mark.parametrize("name", ["Li", "Ọla Ñuñez", "李明", "O'Neil-Smith"])
def test_one_word_and_any_alphabet_is_a_name(name: str) -> None:
    assert isinstance(sign(REVISION, 1, a_request(name=name), TODAY, None), SignOff)


def test_an_offer_that_has_run_out_or_was_superseded_is_not_signed() -> None:
    late = sign(REVISION, 1, a_request(), date(2026, 6, 4), None)
    assert isinstance(late, Refusal)
    assert late.code == "run-out"
    old = sign(REVISION, 2, a_request(), TODAY, None)
    assert isinstance(old, Refusal)
    assert old.code == "superseded"
    assert why_not_sign(REVISION, 1, date(2026, 6, 3)) is None


def test_signing_twice_gives_the_first_evidence_even_when_the_offer_has_run_out() -> None:
    first = sign(REVISION, 1, a_request(), TODAY, None)
    assert isinstance(first, SignOff)
    again = sign(REVISION, 1, a_request(name="Somebody Else"), date(2027, 1, 1), first)
    assert again is first


def test_an_instant_without_a_time_zone_is_a_fault_of_the_program() -> None:
    naive = datetime(2026, 5, 10)  # noqa: DTZ001
    with pytest.raises(ValueError, match="time zone"):
        sign(REVISION, 1, a_request(signed_at=naive), TODAY, None)
