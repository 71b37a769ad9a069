"""Pedestals in place of pads that would be too tall: chosen, counted, weighed, checked, never approved."""

import math
from typing import Any

import pytest

from app.job.choices import Pedestal
from app.job.errors import InputErrors
from app.job.file import read_job, write_job
from app.job.plan import DeckLevel
from app.job.survey import Membrane
from app.takeoff.chain import Takeoff, take_off
from app.takeoff.framing.pedestals import pedestal_for
from tests.builders import a_deck_field, a_job, a_plan, a_survey, choices


def a_pedestal(**changes: Any) -> Pedestal:
    fields: dict[str, Any] = {"id": "low", "item": "PEDESTAL-LOW", "name": "Low pedestal", "least_mm": 100}
    fields |= {"greatest_mm": 200, "foot_mm": 200, "mass_kg": 0.5, "limit_kn": 8, "limit_source": "its maker"}
    return Pedestal(**(fields | changes))


LOW, HIGH = a_pedestal(), a_pedestal(id="high", item="PEDESTAL-HIGH", least_mm=180, greatest_mm=300)


def deck(tall_pads: str = "pedestal", kinds: tuple[Pedestal, ...] = (LOW, HIGH), **survey: Any) -> Takeoff:
    """The roof falls so that pads are 84 to 158 mm high at this level; 110 mm is all that is allowed."""
    level = DeckLevel(level_mm=20.0, greatest_pad_mm=110.0, tall_pads=tall_pads)  # type: ignore[arg-type]
    plan = a_plan(level=level, deck_fields=(a_deck_field(),))
    survey = {"drains": ()} | survey
    return take_off(a_job(survey=a_survey(**survey), plan=plan, materials=choices(pedestals=kinds)), {})


def codes(takeoff: Takeoff) -> set[str]:
    return {finding.code for finding in takeoff.findings}


def amounts(takeoff: Takeoff) -> dict[tuple[str, str], float]:
    return {(made.basis, made.item): made.amount for made in takeoff.totals.quantities}


def test_the_shortest_that_reaches_is_taken_and_none_that_does_not() -> None:
    assert pedestal_for(190.0, (HIGH, LOW)) is LOW
    assert pedestal_for(200.0, (HIGH, LOW)) is LOW
    assert pedestal_for(200.1, (HIGH, LOW)) is HIGH
    assert pedestal_for(99.0, (HIGH, LOW)) is None
    assert pedestal_for(301.0, (HIGH, LOW)) is None


def test_only_pads_too_tall_stand_on_pedestals_and_the_stop_is_gone() -> None:
    plain, made = deck("stop"), deck()
    tall = {spot.id for spot in plain.framing.pads if spot.height_mm > 110.0}
    assert 0 < len(tall) < len(plain.framing.pads)
    assert {spot.id for spot in made.framing.pads if spot.pedestal} == tall
    assert [(s.id, s.height_mm) for s in made.framing.pads] == [
        (s.id, s.height_mm) for s in plain.framing.pads
    ]
    assert "framing.pad-too-tall" in codes(plain)
    assert "framing.pad-too-tall" not in codes(made)
    assert "framing.on-pedestals" in codes(made)
    assert {one for told in made.framing.tall_pads for one in told.on_pedestals} == tall


def test_pads_packers_and_shims_make_way_for_them_in_count_and_mass() -> None:
    plain, made = deck("stop"), deck()
    before, after = amounts(plain), amounts(made)
    pads = next(key for key in before if key[0] == "frame.pads")
    stood = after[("frame.pedestals", "PEDESTAL-LOW")] + after.get(("frame.pedestals", "PEDESTAL-HIGH"), 0.0)
    assert before[pads] == after[pads] + stood
    shims = next(key for key in before if key[0] == "frame.shims")
    assert after[shims] == sum(spot.shims for spot in made.framing.pads)
    mass = {item: mass_kg for item, mass_kg, _ in made.totals.carry.items}
    assert mass["PEDESTAL-LOW"] == pytest.approx(0.5 * after[("frame.pedestals", "PEDESTAL-LOW")])
    marks = {band.mark for band in made.framing.pad_schedule if band.pedestal}
    assert marks
    assert sum(band.pads for band in made.framing.pad_schedule) == len(made.framing.pads)


def test_why_so_many_names_their_range_and_the_heights() -> None:
    made = next(q for q in deck().totals.quantities if q.basis == "frame.pedestals")
    inputs = dict(made.inputs)
    assert inputs["its range"] == "100 mm to 200 mm"
    assert inputs["pads too tall"] == f"{made.amount:.0f}"


def test_a_height_that_none_reaches_stays_a_stop() -> None:
    short = a_pedestal(greatest_mm=120)
    made = deck(kinds=(short,))
    assert "framing.pad-too-tall" in codes(made)
    assert all(spot.height_mm <= 120.0 for spot in made.framing.pads if spot.pedestal)
    assert "framing.pad-too-tall" in codes(deck(kinds=()))


def test_more_than_its_maker_allows_is_a_stop_and_the_layer_beneath_a_check() -> None:
    weak = a_pedestal(limit_kn=0.5)
    membrane = Membrane(kind="sheet", insulation_limit_kpa=20.0, insulation_source="its maker")
    made = deck(kinds=(weak,), membrane=membrane)
    over = next(finding for finding in made.findings if finding.code == "framing.pedestal-over-limit")
    force_kn = made.framing.span_checks[0].reaction_kn
    assert (over.grade, over.value, over.limit, over.source) == ("stop", force_kn, 0.5, "its maker")
    pressed = next(finding for finding in made.findings if finding.code == "framing.pedestal-on-insulation")
    assert pressed.value == pytest.approx(force_kn * 1e6 / (math.pi * 100.0**2))
    assert pressed.grade == "check"
    assert "engineer" in over.text
    assert "engineer" in pressed.text


def test_a_range_the_wrong_way_round_is_refused() -> None:
    document = write_job(a_job(materials=choices(pedestals=(LOW,))))
    document["choices"]["pedestals"][0] |= {"least": 250}
    with pytest.raises(InputErrors, match="Swap them"):
        read_job(document)
