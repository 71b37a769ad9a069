"""What an hour costs and how many there are, against the handbook's sources."""

from decimal import Decimal

import pytest

from app.job.survey import WayUp
from app.pricing.conditions import PlaceFacts, in_words
from app.pricing.estimate import estimate_quantities
from app.pricing.labour import access_factor_of, delay_factor, labour_rate, rules_on_site
from app.pricing.records import Assembly, Condition
from app.pricing.rule_parts import Worker
from app.takeoff.totals.records import PlaceAmount, Quantity
from tests.shop_builders import TODAY, a_book, a_quantity, labour, price_rules

STAIR = WayUp(kind="stair", longest_piece_mm=3600, trip_mass_kg=20, minutes_per_trip_min=6)


@pytest.mark.parametrize(("score", "factor"), [(50, "1.34"), (67, "1"), (80, "0.8375"), (100, "0.67")])
def test_the_delay_factor_is_67_over_the_average_score(score: int, factor: str) -> None:
    """NAVEDTRA 14045 after NAVFAC P-405: average 67; 50 gives 1.34, 80 gives 0.84."""
    assert delay_factor((score,) * 8) == Decimal(factor)


@pytest.mark.parametrize("scores", [(50,) * 7, (24,) * 8, (101,) * 8])
def test_scores_are_eight_of_25_to_100(scores: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="scores"):
        delay_factor(scores)


def test_a_mix_of_one_lead_and_two_hands_is_weighed_by_shares() -> None:
    """By hand: (40 × 1.5 + 2 × 25 × 1.4) / 3 = 130 / 3."""
    mix = (
        Worker("lead", Decimal(40), Decimal(50), Decimal(1)),
        Worker("hand", Decimal(25), Decimal(40), Decimal(2)),
    )
    assert labour_rate(price_rules(mix=mix)) == Decimal(130) / 3


def test_the_way_up_takes_its_part_of_the_day() -> None:
    """By hand: 8 h less 1 h of setting up less 3 × 6 min is 6.7 h; 8 / 6.7 = 1.194."""
    assert access_factor_of(STAIR, 8.0, Decimal(1)) == Decimal("1.194")
    assert rules_on_site(price_rules(), STAIR, 8.0).access_factor == 1
    rules = rules_on_site(price_rules(access_by="way up", set_up_h=Decimal(1)), STAIR, 8.0)
    assert rules.access_factor == Decimal("1.194")
    with pytest.raises(ValueError, match="left to work"):
        access_factor_of(STAIR, 8.0, Decimal(7))


def test_efficiency_multiplies_work_and_not_carrying() -> None:
    assemblies = (
        Assembly("a", "a", "job.once", "preparation", (labour("10"),)),
        Assembly("b", "b", "carry.hours", "carry-up", (labour("1"),)),
    )
    quantities = [a_quantity("job.once", 1), a_quantity("carry.hours", 10)]
    answer = estimate_quantities(quantities, a_book(assemblies, efficiency=(50,) * 8), TODAY)
    assert [line.hours_h for line in answer.lines] == pytest.approx([13.4, 10.0])


WALLS = Quantity(
    "wall.area",
    "",
    14.0,
    "m2",
    (PlaceAmount("low", 4.0), PlaceAmount("high", 10.0)),
    "by hand",
)
FACTS = (PlaceFacts("low", height_mm=1200.0, fastening="face"), PlaceFacts("high", height_mm=1200.1))


def walls(*when: Condition, code: str = "w") -> Assembly:
    return Assembly(code, code, "wall.area", "walls", (labour("1"),), when=when)


def test_an_assembly_counts_only_where_its_conditions_hold() -> None:
    low = walls(Condition("wall height", high_mm=1200.0), code="low")
    high = walls(Condition("wall height", low_mm=1200.0), code="high")
    answer = estimate_quantities([WALLS], a_book((low, high)), TODAY, facts=FACTS)
    assert {line.assembly: line.hours_h for line in answer.lines} == {"low": 4.0, "high": 10.0}
    assert not [finding for finding in answer.findings if finding.code == "pricing.place-not-priced"]


def test_a_place_that_every_condition_leaves_out_is_told() -> None:
    faced = walls(Condition("fastening", "face"), Condition("wall height", high_mm=2000.0))
    answer = estimate_quantities([WALLS], a_book((faced,)), TODAY, facts=FACTS)
    assert [(f.grade, f.place) for f in answer.findings if f.code == "pricing.place-not-priced"] == [
        ("check", "high")
    ]
    assert [line.hours_h for line in answer.lines] == [4.0]


@pytest.mark.parametrize(
    ("condition", "words"),
    [
        (Condition("edge", "bordered"), "decks with a bordered edge"),
        (Condition("fastening", "clip"), "boards fastened by clip"),
        (Condition("edge", "steps"), "decks with steps"),
        (Condition("edge", "by a parapet"), "what lies by a parapet"),
        (Condition("wall height", low_mm=900.0, high_mm=1800.0), "walls over 900 mm and up to 1800 mm"),
    ],
)
def test_a_condition_is_said_in_words(condition: Condition, words: str) -> None:
    assert in_words(condition) == words
