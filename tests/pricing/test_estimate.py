"""A takeoff and a price book make an estimate."""

from datetime import date
from decimal import Decimal

import pytest

from app.pricing.estimate import estimate_quantities
from app.pricing.records import Estimate, EstimateLine
from tests.shop_builders import (
    SMALL_JOB,
    TODAY,
    a_book,
    a_price,
    a_quantity,
    an_assembly,
    an_estimate,
    labour,
    material,
    money,
    small_shop,
)


def line_of(answer: Estimate, code: str) -> EstimateLine:
    return next(line for line in answer.lines if line.id == code)


def codes(answer: Estimate) -> list[tuple[str, str]]:
    return [(finding.grade, finding.code) for finding in answer.findings]


def test_a_line_shows_net_waste_packs_and_cost() -> None:
    book = a_book((an_assembly("deck.area", "boards", material("SCREW", rate="40", waste="5"), code="deck"),))
    line = line_of(estimate_quantities([a_quantity("deck.area", 5.5, "m2")], book, TODAY), "boards/deck/1")
    assert (line.net, line.with_waste, line.packs) == (220, 231, 3)
    assert (line.unit_price, line.cost, line.unit) == (Decimal("20.00"), Decimal("60.00"), "each")
    assert line.priced_on == date(2026, 4, 1)


def test_an_empty_item_buys_each_item_the_basis_names() -> None:
    book = a_book(
        (an_assembly("stock.boards", "boards", material(), labour("0.1"), code="boards"),),
        (a_price("B-24", pack=Decimal(1)), a_price("B-36", pack=Decimal(1), pack_price=Decimal("31.00"))),
    )
    quantities = [a_quantity("stock.boards", 4, item="B-24"), a_quantity("stock.boards", 6, item="B-36")]
    answer = estimate_quantities(quantities, book, TODAY)
    assert line_of(answer, "boards/boards/1/B-24").cost == Decimal("80.00")
    assert line_of(answer, "boards/boards/1/B-36").cost == Decimal("186.00")
    assert line_of(answer, "boards/boards/2").hours_h == pytest.approx(1.0)


def test_stock_lengths_get_no_waste_since_cutting_has_counted_it() -> None:
    book = a_book((an_assembly("stock.boards", "boards", material(waste="50")),), (a_price(pack=Decimal(1)),))
    answer = estimate_quantities([a_quantity("stock.boards", 10, item="SCREW")], book, TODAY)
    assert answer.lines[0].packs == 10
    assert ("note", "pricing.waste-counted-twice") in codes(answer)


def test_packs_are_rounded_once_over_the_job() -> None:
    book = a_book(
        (
            an_assembly("deck.area", "boards", material("SCREW", rate="30")),
            an_assembly("wall.area", "walls", material("SCREW", rate="30")),
        )
    )
    quantities = [a_quantity("deck.area", 1.5, "m2"), a_quantity("wall.area", 1.5, "m2")]
    answer = estimate_quantities(quantities, book, TODAY)
    assert sum(line.packs for line in answer.lines) == 1
    assert answer.material == Decimal("20.00")


def test_hours_are_rate_times_amount_times_access() -> None:
    book = a_book((an_assembly("deck.area", "boards", labour("0.8")),), access_factor=Decimal("1.25"))
    line = estimate_quantities([a_quantity("deck.area", 10, "m2")], book, TODAY).lines[0]
    assert (line.net, line.with_waste, line.hours_h) == (8, 10, 10.0)
    assert line.cost == Decimal("457.60")


def test_carrying_is_not_multiplied_by_the_way_up_again() -> None:
    book = a_book((an_assembly("carry.hours", "carry-up", labour("1")),), access_factor=Decimal("1.5"))
    assert estimate_quantities([a_quantity("carry.hours", 12)], book, TODAY).hours_h == 12


def test_every_kind_of_part_lands_in_its_own_sum() -> None:
    parts = (money("equipment", "10"), money("subcontract", "20.005"), money("allowance", "30"))
    book = a_book((an_assembly("job.once", "preparation", *parts),))
    answer = estimate_quantities([a_quantity("job.once", 1)], book, TODAY)
    assert (answer.equipment, answer.subcontract, answer.allowance) == (10, Decimal("20.01"), 30)


def test_an_item_without_a_price_is_a_stop_that_names_it() -> None:
    book = a_book((an_assembly("frame.pads", "frame", material()),))
    answer = estimate_quantities([a_quantity("frame.pads", 12, item="PAD-9")], book, TODAY)
    assert answer.findings[0].grade == "stop"
    assert "PAD-9 is needed (12" in answer.findings[0].text


def test_a_basis_without_an_assembly_is_never_passed_over() -> None:
    book = a_book((an_assembly("job.once", "preparation", labour("1")),))
    answer = estimate_quantities([a_quantity("job.once", 1), a_quantity("bed.area", 3.5, "m2")], book, TODAY)
    assert ("check", "pricing.no-assembly") in codes(answer)
    assert "3.5 m2 of bed.area" in answer.findings[0].text


def test_an_assembly_without_parts_says_that_a_basis_costs_nothing() -> None:
    book = a_book((an_assembly("job.once", "preparation", labour("1")), an_assembly("deck.pieces", "boards")))
    answer = estimate_quantities(
        [a_quantity("job.once", 1), a_quantity("deck.pieces", 30, item="SCREW")], book, TODAY
    )
    assert not answer.findings


def test_an_item_named_that_nothing_buys_is_a_check() -> None:
    book = a_book((an_assembly("frame.pads", "frame", labour("0.1")),))
    answer = estimate_quantities([a_quantity("frame.pads", 12, item="SCREW")], book, TODAY)
    assert codes(answer) == [("check", "pricing.item-not-bought")]


def test_an_item_sold_in_another_unit_is_a_stop() -> None:
    book = a_book((an_assembly("bed.stone", "beds", material()),), (a_price("STONE", unit="m3"),))
    answer = estimate_quantities([a_quantity("bed.stone", 500, "kg", "STONE")], book, TODAY)
    assert codes(answer) == [("stop", "pricing.unit-mismatch")]


def test_old_prices_are_noted_in_one_finding_from_the_day_after_the_limit() -> None:
    quantities = SMALL_JOB
    on_the_limit = estimate_quantities(quantities, small_shop(), date(2026, 6, 30))
    after = estimate_quantities(quantities, small_shop(), date(2026, 7, 1))
    assert not on_the_limit.findings
    assert codes(after) == [("note", "pricing.stale-price")]
    assert (after.findings[0].value, after.findings[0].limit) == (91.0, 90.0)


def test_a_price_of_the_future_is_a_check() -> None:
    answer = estimate_quantities(SMALL_JOB, small_shop(), date(2026, 3, 1))
    assert codes(answer) == [("check", "pricing.future-price")]


def test_nothing_to_price_is_a_stop() -> None:
    answer = estimate_quantities([], small_shop(), TODAY)
    assert codes(answer) == [("stop", "pricing.nothing-to-price")]
    assert answer.total == 0
    assert answer.phases == ()


def test_two_prices_for_one_item_are_refused() -> None:
    book = a_book((), (a_price(), a_price()))
    with pytest.raises(ValueError, match="two prices for SCREW"):
        estimate_quantities([], book, TODAY)


def test_line_ids_are_unique_and_stand_in_the_order_of_the_work() -> None:
    answer = an_estimate()
    ids = [line.id for line in answer.lines]
    assert len(set(ids)) == len(ids)
    assert ids[0] == "preparation/job.once/1"
    assert ids[-1] == "clean-down/clean/1"


def test_an_amount_of_zero_leaves_no_line() -> None:
    answer = an_estimate((*SMALL_JOB, a_quantity("bed.edge", 0, "m")))
    assert answer == an_estimate()
