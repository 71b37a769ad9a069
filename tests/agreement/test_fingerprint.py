"""One text for one meaning, and its fingerprint."""

import json
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from math import nextafter
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.agreement.fingerprint import canonical_json, fingerprint, fingerprint_of_text
from tests.builders import a_job
from tests.shop_builders import an_estimate

PLAIN = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.text(max_size=8)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.decimals(allow_nan=False, allow_infinity=False, places=4, min_value=-(10**9), max_value=10**9)
    | st.dates(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4),
    max_leaves=12,
)


@settings(max_examples=50, deadline=None)
@given(PLAIN)
def test_what_is_read_back_has_the_same_fingerprint(value: Any) -> None:
    text = canonical_json(value)
    assert canonical_json(json.loads(text)) == text
    assert fingerprint(value) == fingerprint_of_text(text)


@settings(max_examples=50, deadline=None)
@given(st.dictionaries(st.text(max_size=5), st.integers(), min_size=2, max_size=6))
def test_the_order_of_keys_does_not_count(value: dict[str, int]) -> None:
    assert fingerprint(value) == fingerprint(dict(reversed(value.items())))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (Decimal("12.50"), Decimal("12.5")),
        (Decimal("1E+2"), Decimal(100)),
        (Decimal("-0.00"), Decimal(0)),
        (0.0, -0.0),
        ((1, 2), [1, 2]),
        (
            datetime(2026, 5, 1, 12, tzinfo=UTC),
            datetime(2026, 5, 1, 14, tzinfo=timezone(timedelta(hours=2))),
        ),
    ],
)
def test_the_same_meaning_has_one_text(one: Any, other: Any) -> None:
    assert canonical_json(one) == canonical_json(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [(1, 1.0), (0.1, nextafter(0.1, 1)), (True, 1), (Decimal("0.1"), Decimal("0.10001")), ("", None)],
)
def test_another_meaning_has_another_text(one: Any, other: Any) -> None:
    assert canonical_json(one) != canonical_json(other)


@pytest.mark.parametrize(
    ("value", "kind", "said"),
    [
        ({"a": [1, float("nan")]}, ValueError, r"\.a\[1\] is nan"),
        ({"a": Decimal("Infinity")}, ValueError, r"\.a is Infinity"),
        ({"at": datetime(2026, 5, 1)}, ValueError, r"\.at is an instant without"),  # noqa: DTZ001
        ({"f": len}, TypeError, r"\.f is of builtin_function"),
        ({1: "a"}, TypeError, "key 1"),
        ({"s": {1, 2}}, TypeError, r"\.s is of set"),
    ],
)
def test_what_has_no_settled_form_is_refused_with_its_place(value: Any, kind: Any, said: str) -> None:
    with pytest.raises(kind, match=said):
        canonical_json(value)


def test_a_change_of_one_cent_changes_the_fingerprint() -> None:
    answer = an_estimate()
    assert fingerprint(answer) == fingerprint(an_estimate())
    assert fingerprint(answer) != fingerprint(replace(answer, total=answer.total + Decimal("0.01")))


def test_a_job_file_and_an_estimate_can_be_frozen_together() -> None:
    frozen = {"job": a_job(), "estimate": an_estimate(), "on": date(2026, 5, 4)}
    assert len(fingerprint(frozen)) == 64
    assert fingerprint(frozen) != fingerprint(frozen | {"job": a_job(title="Another title")})


def test_the_name_of_a_record_does_not_count() -> None:
    @dataclass(frozen=True)
    class One:
        a: int

    assert canonical_json(One(1)) == canonical_json({"a": 1})
