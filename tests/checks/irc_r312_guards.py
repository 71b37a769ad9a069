"""IRC R312.1.2 (guards at least 36 in above the walking surface) and IBC §1015.3 (42 in, from memory)."""

import pytest

from app.job import survey as s
from app.takeoff.roof.guards import guards_beside_decks, remaining_mm
from app.takeoff.roof.surface import fit_surface
from tests.builders import a_job, a_plan, a_survey, choices

INCH = 25.4
IRC_MM, IBC_MM = 36 * INCH, 42 * INCH
# Guard above the membrane, build-up, what is left [in]; whether it is low by IRC and by IBC.
ROWS = ((42.0, 8.0, 34.0, True, True), (42.0, 5.5, 36.5, False, True), (36.0, 5.5, 30.5, True, True))


def is_low(guard_in: float, build_up_in: float, limit_mm: float) -> bool:
    # A level roof at −build-up under a deck at zero.
    flat = tuple(
        s.SpotHeight(id=f"h{n}", x_mm=x, y_mm=y, z_mm=-build_up_in * INCH)
        for n, (x, y) in enumerate(((0, 0), (6000, 0), (6000, 4000), (0, 4000)))
    )
    edge = s.Edge(id="e", from_corner=0, kind="parapet", height_mm=guard_in * INCH, drop_mm=6000)
    limits = choices().limits.model_copy(update={"guard_height_mm": limit_mm})
    job = a_job(a_survey(spot_heights=flat, edges=(edge,)), a_plan(), choices(limits=limits))
    readings, findings = guards_beside_decks(job, fit_surface(flat), 0.0)
    assert readings[0].remaining_mm == pytest.approx((guard_in - build_up_in) * INCH)
    return any(finding.code == "roof.guard-low" and finding.grade == "check" for finding in findings)


@pytest.mark.parametrize(("guard", "build_up", "left", "by_irc", "by_ibc"), ROWS)
def test_a_raised_floor_lowers_the_guard(
    guard: float, build_up: float, left: float, by_irc: bool, by_ibc: bool
) -> None:
    assert remaining_mm(guard * INCH, build_up * INCH) / INCH == pytest.approx(left)
    assert is_low(guard, build_up, IRC_MM) is by_irc
    assert is_low(guard, build_up, IBC_MM) is by_ibc


def test_the_limits_a_job_starts_with_are_the_stricter_height_and_the_30_inch_drop() -> None:
    limits = choices().limits
    assert limits.guard_height_mm == pytest.approx(IBC_MM, abs=0.5)
    assert limits.guard_drop_mm == pytest.approx(30 * INCH)  # IRC R312.1.1
