"""Hold points as they stand."""

from datetime import UTC, date, datetime

import pytest

from app.build.hold_points import held_back, hold_points
from app.build.records import HoldSignature
from app.schedule.plan_days import plan_quantities
from tests.shop_builders import MONDAY, PLAIN_WEEK, SMALL_JOB, TODAY, TWO_PEOPLE, an_estimate, small_shop

PLAN = plan_quantities(SMALL_JOB, an_estimate(), small_shop(), TWO_PEOPLE, PLAIN_WEEK, MONDAY, TODAY)


def signature(code: str, name: str = "T. Weir") -> HoldSignature:
    return HoldSignature(code, name, datetime(2026, 6, 15, 9, tzinfo=UTC))


def test_a_hold_point_is_open_then_due_then_signed() -> None:
    before = hold_points(PLAN, (), date(2026, 6, 14))[1]
    assert (before.code, before.state, before.planned_on) == ("drainage check", "open", date(2026, 6, 15))
    assert hold_points(PLAN, (), date(2026, 6, 15))[1].state == "due"
    signed = hold_points(PLAN, [signature("drainage check")], date(2026, 6, 15))[1]
    assert signed.state == "signed"
    assert signed.signature is not None
    assert signed.signature.name == "T. Weir"


def test_the_first_signature_counts() -> None:
    both = [signature("drainage check", "first"), signature("drainage check", "second")]
    found = hold_points(PLAN, both, TODAY)[1].signature
    assert found is not None
    assert found.name == "first"


def test_it_says_what_it_holds_back() -> None:
    points = {point.code: point for point in hold_points(PLAN, (), TODAY)}
    assert points["rough-in inspection"].holds_back == ("boards", "walls")
    assert points["walk-through"].holds_back == ()


def test_a_signature_is_kept_when_the_plan_no_longer_holds_the_point() -> None:
    points = hold_points(PLAN, [signature("parapet look")], TODAY)
    assert points[-1].code == "parapet look"
    assert (points[-1].planned_on, points[-1].state) == (None, "signed")


def test_a_task_is_held_back_by_what_lies_before_it_through_others() -> None:
    points = hold_points(PLAN, [signature("drainage check"), signature("membrane look")], TODAY)
    assert [p.code for p in held_back("fit-out", PLAN, points)] == ["rough-in inspection"]
    assert held_back("frame", PLAN, points) == ()
    with pytest.raises(KeyError):
        held_back("painting", PLAN, points)
