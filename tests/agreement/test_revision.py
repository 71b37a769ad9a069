"""A revision, frozen."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from app.agreement.fingerprint import fingerprint
from app.agreement.revision import has_run_out, is_superseded, make_revision
from app.agreement.stages import DEPOSIT_CAPS
from app.job.findings import Finding
from tests.shop_builders import an_estimate, price_rules

OFFERED = date(2026, 5, 4)


def test_a_revision_holds_total_payments_last_day_and_fingerprint() -> None:
    answer = an_estimate()
    revision = make_revision(2, OFFERED, answer, price_rules(), {"estimate": answer})
    assert (revision.number, revision.total, revision.currency) == (2, answer.total, "USD")
    assert revision.valid_until_on == date(2026, 6, 3)
    assert sum(stage.amount for stage in revision.stages) == answer.total
    assert revision.fingerprint == fingerprint({"estimate": answer})


def test_a_cap_holds_in_the_stages() -> None:
    revision = make_revision(1, OFFERED, an_estimate(), price_rules(), {}, DEPOSIT_CAPS[0])
    assert revision.stages[0].amount <= min(Decimal(1000), revision.total / 10)


def test_an_offer_holds_on_its_last_day_and_not_on_the_next() -> None:
    revision = make_revision(1, OFFERED, an_estimate(), price_rules(validity_days=1), {})
    assert not has_run_out(revision, date(2026, 5, 5))
    assert has_run_out(revision, date(2026, 5, 6))


def test_a_newer_number_supersedes() -> None:
    revision = make_revision(1, OFFERED, an_estimate(), price_rules(), {})
    assert not is_superseded(revision, [1])
    assert is_superseded(revision, [1, 2])


def test_an_estimate_with_a_stop_is_not_frozen() -> None:
    stop = Finding("pricing.no-price", "stop", "job", "PAD has no price.")
    with pytest.raises(ValueError, match="PAD has no price"):
        make_revision(1, OFFERED, replace(an_estimate(), findings=(stop,)), price_rules(), {})


def test_an_empty_total_is_not_frozen() -> None:
    with pytest.raises(ValueError, match="is not offered"):
        make_revision(1, OFFERED, replace(an_estimate(), total=Decimal(0)), price_rules(), {})
