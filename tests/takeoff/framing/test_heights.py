import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point

from app.job.choices import Packer
from app.job.plan import DeckLevel
from app.takeoff.chain import take_off
from app.takeoff.framing.heights import pad_schedule
from app.takeoff.framing.stacks import MANY_SHIMS, stack_for
from tests.builders import a_deck_field, a_job, a_pad, a_plan, a_survey, choices
from tests.takeoff.framing.framed import framed


def at_level(
    level_mm: float,
    least_mm: float = 10.0,
    greatest_mm: float = 150.0,
    pad=None,
    tall_pads="stop",
    angle_deg=0.0,
):
    level = DeckLevel(
        level_mm=level_mm, least_pad_mm=least_mm, greatest_pad_mm=greatest_mm, tall_pads=tall_pads
    )
    materials = choices() if pad is None else choices(pads=(pad,))
    plan = a_plan(level=level, deck_fields=(a_deck_field(angle_deg=angle_deg),))
    return framed(a_job(survey=a_survey(drains=()), plan=plan, materials=materials))


# The roof rises from −196 at y = 200 to −122 at y = 3900; boards and sleepers take 58 mm.
def test_a_deck_at_a_good_level_has_no_pad_finding() -> None:
    deck = at_level(-20.0)
    assert not {code for code in deck.codes("stop") if code.startswith("framing.pad")}


def test_pads_too_low_are_a_stop_that_says_by_how_much_to_raise() -> None:
    deck = at_level(-60.0)
    found = next(finding for finding in deck.framing.findings if finding.code == "framing.pad-too-low")
    lowest = min(pad.height_mm for pad in deck.framing.pads)
    assert found.grade == "stop"
    assert found.value == lowest < found.limit == 10.0
    assert f"Raise the deck by {10 - lowest:.1f} mm" in found.text
    assert found.at_mm is not None


def test_a_pad_thicker_than_the_room_is_a_stop_even_above_the_least_height() -> None:
    deck = at_level(-20.0, least_mm=5.0, pad=a_pad(thickness_mm=60))
    found = next(finding for finding in deck.framing.findings if finding.code == "framing.pad-too-low")
    assert found.limit == 60.0
    assert all(pad.shims >= 0 for pad in deck.framing.pads)


def test_pads_too_tall_are_a_stop_that_offers_a_doubled_sleeper() -> None:
    deck = at_level(40.0)
    found = next(finding for finding in deck.framing.findings if finding.code == "framing.pad-too-tall")
    tallest = max(pad.height_mm for pad in deck.framing.pads)
    assert found.grade == "stop"
    assert found.value == tallest > found.limit == 150.0
    assert "doubled sleeper" in found.text
    (tall,) = deck.framing.tall_pads
    assert len(tall.pads) == len(tall.doubled) == sum(pad.height_mm > 150 for pad in deck.framing.pads)
    assert not tall.is_doubled
    assert not tall.pedestals
    assert not [stick for stick in deck.framing.sticks if stick.role == "doubling"]


def test_a_plan_that_asks_for_doubled_sleepers_gets_them_and_lower_pads() -> None:
    single, double = at_level(40.0), at_level(40.0, tall_pads="doubled sleeper")
    second = [stick for stick in double.framing.sticks if stick.role == "doubling"]
    (tall,) = double.framing.tall_pads
    assert second
    assert tall.is_doubled
    assert sum(stick.length_mm for stick in second) == pytest.approx(tall.doubling_mm)
    assert "framing.pad-too-tall" not in double.codes()
    assert "framing.sleepers-doubled" in double.codes("note")
    for before, after in zip(single.framing.pads, double.framing.pads, strict=True):
        assert after.is_doubled is (before.height_mm > 150)
        assert before.height_mm - after.height_mm == pytest.approx(38 if after.is_doubled else 0)
        assert after.shims == stack_for(after.height_mm, a_pad()).shims
        if after.is_doubled:
            place = Point(after.x_mm, after.y_mm)
            assert min(LineString([stick.start_mm, stick.end_mm]).distance(place) for stick in second) <= 75
    assert double.framing.crossings == single.framing.crossings
    assert double.framing.tape_mm == single.framing.tape_mm


def test_pads_too_tall_even_for_two_sleepers_ask_for_pedestals_and_name_them() -> None:
    deck = at_level(90.0, tall_pads="doubled sleeper")
    (tall,) = deck.framing.tall_pads
    found = next(finding for finding in deck.framing.findings if finding.code == "framing.pad-too-tall")
    assert len(tall.pedestals) == sum(pad.height_mm > 150 for pad in deck.framing.pads) > 0
    assert tall.least_pedestal_mm > 150 + 38
    assert tall.greatest_pedestal_mm == tall.tallest_mm == max(pad.height_mm for pad in deck.framing.pads)
    assert f"{len(tall.pedestals)} need a pedestal" in found.text
    assert tall.pedestals[0] in found.text


@given(level=st.floats(0, 120), greatest=st.integers(60, 200), angle=st.sampled_from([0, 90, 31]))
@settings(max_examples=20, deadline=None)
def test_doubling_settles_every_pad_it_can_and_leaves_the_rest_as_they_were(level, greatest, angle) -> None:
    single = at_level(level, greatest_mm=greatest, angle_deg=angle)
    double = at_level(level, greatest_mm=greatest, angle_deg=angle, tall_pads="doubled sleeper")
    for before, after in zip(single.framing.pads, double.framing.pads, strict=True):
        can = greatest < before.height_mm and 10 <= before.height_mm - 38 <= greatest
        assert after.is_doubled is can
        assert after.height_mm == (before.height_mm - 38 if can else before.height_mm)


def test_raising_the_deck_raises_every_pad_by_as_much() -> None:
    low, high = at_level(-30.0), at_level(-17.5)
    for one, other in zip(low.framing.pads, high.framing.pads, strict=True):
        assert other.height_mm - one.height_mm == pytest.approx(12.5)


def test_shims_make_up_the_height_to_half_a_step() -> None:
    pad = a_pad(thickness_mm=10, shim_step_mm=3)
    for tenths in range(100, 900):
        height = tenths / 10
        assert abs(10 + 3 * stack_for(height, pad).shims - height) <= 1.5
    assert stack_for(4.0, pad).shims == 0


def test_packers_take_the_place_of_tall_packs_of_shims() -> None:
    sold = (
        Packer(item="P10", height_mm=10),
        Packer(item="P20", height_mm=20),
        Packer(item="P50", height_mm=50),
    )
    bare, packed = at_level(-20.0), at_level(-20.0, pad=a_pad(packers=sold))
    assert "framing.many-shims" in bare.codes("check")
    assert "framing.many-shims" not in packed.codes()
    for spot in packed.framing.pads:
        packers_mm = sum(next(one.height_mm for one in sold if one.item == item) for item in spot.packers)
        assert abs(10 + packers_mm + 3 * spot.shims - spot.height_mm) <= 1.5
        assert spot.shims <= MANY_SHIMS


def test_the_pad_schedule_counts_every_pad_once() -> None:
    deck = at_level(-20.0)
    bands = pad_schedule(deck.framing.pads)
    assert sum(band.pads for band in bands) == len(deck.framing.pads)
    assert [band.shims for band in bands] == sorted({pad.shims for pad in deck.framing.pads})
    assert all(band.greatest_mm - band.least_mm <= 3.0 for band in bands)


def test_a_level_deck_over_a_falling_roof_needs_the_fall_more_at_the_low_end() -> None:
    deck = framed(a_job(survey=a_survey(drains=()), plan=a_plan(deck_fields=(a_deck_field(),))))
    high = max(deck.framing.pads, key=lambda pad: pad.y_mm)
    low = min(deck.framing.pads, key=lambda pad: pad.y_mm)
    assert low.height_mm - high.height_mm == pytest.approx(0.02 * (high.y_mm - low.y_mm), abs=1e-6)


def test_a_field_above_the_rest_stands_on_pads_taller_by_as_much() -> None:
    flush, raised = (
        framed(
            a_job(
                survey=a_survey(drains=()),
                plan=a_plan(
                    level=DeckLevel(level_mm=-20.0), deck_fields=(a_deck_field(level_offset_mm=offset),)
                ),
            )
        )
        for offset in (0.0, 40.0)
    )
    for one, other in zip(flush.framing.pads, raised.framing.pads, strict=True):
        assert other.height_mm - one.height_mm == pytest.approx(40.0)


def test_second_sleepers_are_bought_cut_and_weighed() -> None:
    def taken_off(tall_pads: str):
        level = DeckLevel(level_mm=40.0, tall_pads=tall_pads)
        return take_off(a_job(survey=a_survey(drains=()), plan=a_plan(level=level)), {})

    single, double = taken_off("stop"), taken_off("doubled sleeper")

    def metres(takeoff) -> float:
        return sum(one.amount for one in takeoff.totals.quantities if one.basis == "frame.sticks")

    (tall,) = double.framing.tall_pads
    assert metres(double) - metres(single) == pytest.approx(tall.doubling_mm / 1000, abs=1e-3)
    cut = {piece for plan in double.totals.cut_plans for stick in plan.sticks for piece, _ in stick.pieces}
    assert {stick.id for stick in double.framing.sticks if stick.role == "doubling"} <= cut
    assert double.totals.dead_kg > single.totals.dead_kg
