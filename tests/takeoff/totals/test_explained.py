"""Why this many: every quantity carries its rule and what went into it."""

import re

import pytest

from app.actions.answer_json import takeoff_json
from app.takeoff.layout.records import Piece
from app.takeoff.totals.bases import BASES
from app.takeoff.totals.formulas import FORMULAS
from app.takeoff.totals.mitres import end_words, mitred_ends
from app.takeoff.totals.records import Quantity
from tests import demo
from tests.takeoff.totals.by_hand import a_piece

QUANTITIES = demo.answer().takeoff.totals.quantities


def test_every_basis_has_its_rule_and_no_rule_is_of_another() -> None:
    assert set(FORMULAS) == {basis.code for basis in BASES}


@pytest.mark.parametrize("made", QUANTITIES, ids=lambda made: f"{made.basis} {made.item}".strip())
def test_every_quantity_says_why(made: Quantity) -> None:
    assert made.formula == FORMULAS[made.basis]
    assert made.why
    assert sum(share.amount for share in made.places) == pytest.approx(made.amount)


@pytest.mark.parametrize("name", ["harbour-workshop", "net-store", "quay-loft"])
def test_no_quantity_of_a_demo_job_is_without_inputs(name: str) -> None:
    made = demo.answer(name).takeoff.totals.quantities
    assert [(each.basis, each.item) for each in made if not each.inputs] == []
    assert all(words and value for each in made for words, value in each.inputs)


@pytest.mark.parametrize("name", ["net-store", "quay-loft"])
def test_rules_and_inputs_are_written_in_the_jobs_own_units(name: str) -> None:
    units = demo.demo_job(name).units
    foreign = r"\d (mm|m|m²|m³|kg|kg/m³)\b" if units == "imperial" else r"\d (ft²|ft³|lb|pcf)\b|\d['\"]"
    for made in demo.answer(name).takeoff.totals.quantities:
        assert not re.search(foreign, made.why), made.why
        assert not [pair for pair in made.inputs if re.search(foreign, pair[1])]


def test_the_inputs_of_the_screws_give_their_count() -> None:
    made = next(made for made in QUANTITIES if made.basis == "frame.screws")
    inputs = dict(made.inputs)
    along = made.amount - int(inputs["sticks"]) * 2 * int(inputs["screws at an end"])
    assert along >= int(inputs["furring strips"])


def test_the_machine_readable_answer_carries_rule_and_inputs() -> None:
    printed = takeoff_json(demo.demo_job(), demo.answer().takeoff)
    shims = next(made for made in printed["quantities"] if made["basis"] == "frame.shims")
    assert shims["formula"] == FORMULAS["frame.shims"]
    assert ["pads", str(len(demo.answer().takeoff.framing.pads))] in shims["inputs"]
    assert printed["load_map"]["worst"]["dead_kpa"] > 0
    assert {"bought", "offcuts", "ends"} <= set(printed["cut_plans"][0])


def test_the_cut_plans_of_a_whole_job_hold_every_piece_and_stick_exactly_once() -> None:
    takeoff = demo.answer().takeoff
    boards = {board.id for board in demo.demo_job().choices.boards}
    wanted = [piece.id for piece in takeoff.layout.pieces if piece.profile in boards]
    wanted += [stick.id for stick in takeoff.framing.sticks]
    cut = [name for plan in takeoff.totals.cut_plans for stick in plan.sticks for name, _ in stick.pieces]
    cut += [name for plan in takeoff.totals.cut_plans for stick in plan.sticks for name, _, _ in stick.beside]
    assert sorted(cut) == sorted(wanted)


def border(outline: tuple[tuple[float, float], ...]) -> Piece:
    return a_piece("b", 1000, is_mitred=True, outline_mm=outline)


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        (
            ((0, 0), (1000, 0), (860, 140), (140, 140)),
            "left 45° long at the bottom, right 45° long at the bottom",
        ),
        (((0, 0), (860, 0), (1000, 140), (0, 140)), "left square, right 45° long at the top"),
        (((0, 0), (0, 1000), (140, 860), (140, 0)), "left square, right 45° long at the top"),
        (((0, 0), (1000, 0), (1000, 140), (51, 140)), "left 20° long at the bottom, right square"),
    ],
)
def test_a_mitre_is_told_with_its_hand(outline: tuple[tuple[float, float], ...], words: str) -> None:
    assert end_words(border(outline)) == words


def test_a_piece_turned_end_for_end_changes_ends_and_sides_but_one_turned_over_is_another() -> None:
    left_low = border(((0, 0), (1000, 0), (1000, 140), (140, 140)))
    turned_round = border(((1000, 140), (0, 140), (0, 0), (860, 0)))
    turned_over = border(((0, 140), (1000, 140), (1000, 0), (140, 0)))
    assert end_words(left_low) == "left 45° long at the bottom, right square"
    assert end_words(turned_round) == "left square, right 45° long at the top"
    assert end_words(turned_over) == "left 45° long at the top, right square"


def test_square_pieces_are_not_listed() -> None:
    assert mitred_ends([a_piece("a", 1000)]) == ()
