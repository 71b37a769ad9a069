"""Steps up to a deck, and fascia under its open edges."""

import math
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import plan as p
from app.job import survey as s
from app.job.job import Job
from app.takeoff.chain import take_off
from app.takeoff.framing.frame import frame
from app.takeoff.layout.lay_out import lay_out
from app.takeoff.layout.records import Layout, Piece
from app.takeoff.layout.steps import divide_rise
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_deck_field, a_job, a_plan, a_survey, roof_height_mm
from tests.takeoff.layout.shapes import polygons

LEFT = ((200.0, 200.0), (2900.0, 200.0), (2900.0, 3900.0), (200.0, 3900.0))
RIGHT = ((2910.0, 200.0), (5800.0, 200.0), (5800.0, 3900.0), (2910.0, 3900.0))


def flight(**changes: Any) -> p.Steps:
    fields: dict[str, Any] = {"id": "steps", "x_mm": 2910, "y_mm": 2000, "angle_deg": 180, "width_mm": 1000}
    fields |= {"upper": "high", "lower": "low", "board": "pine", "frame": "frame"}
    return p.Steps(**(fields | changes))


def job_with(offset_mm: float = 400.0, *steps: p.Steps, **high: Any) -> Job:
    low = a_deck_field(id="low", outline_mm=LEFT)
    upper = a_deck_field(**({"id": "high", "outline_mm": RIGHT, "level_offset_mm": offset_mm} | high))
    return a_job(plan=a_plan(deck_fields=(low, upper), steps=steps))


def laid(job: Job) -> Layout:
    return lay_out(job, read_roof(job))


def role(layout: Layout, name: str) -> list[Piece]:
    return [piece for piece in layout.pieces if piece.role == name]


@given(st.floats(1, 5000), st.floats(200, 400))
@settings(max_examples=50, deadline=None)
def test_risers_are_alike_and_the_fewest_that_are_not_too_high(rise: float, going: float) -> None:
    divided = divide_rise(rise, going, 196.85)
    assert divided.risers * divided.riser_mm == pytest.approx(rise)
    assert divided.riser_mm <= 196.85 + 0.06
    assert divided.risers == 1 or rise / (divided.risers - 1) > 196.85
    assert divided.run_mm == pytest.approx((divided.risers - 1) * going)


def test_three_risers_have_two_treads_and_their_boards() -> None:
    layout = laid(job_with(400.0, flight()))
    box = next(box for box in layout.boxes if box.kind == "steps")
    assert box.risers == 3
    treads, risers = role(layout, "tread"), role(layout, "riser")
    assert len({piece.plane for piece in risers}) == 3
    assert sum(piece.width_mm for piece in risers) == pytest.approx(
        400.0 - 3 * 20.0
    )  # less the treads on top
    assert {piece.length_mm for piece in treads} == {1000.0}
    area = shapely.union_all(polygons(tuple(treads))).area
    assert area == pytest.approx(2 * 1000.0 * (280.0 - 5.0), rel=0.01)  # one gap of 5 mm a tread
    assert box.top_m2 == pytest.approx(2 * 0.28)


def test_treads_lie_in_front_of_the_edge_within_the_run() -> None:
    layout = laid(job_with(400.0, flight()))
    places = shapely.union_all(polygons(tuple(role(layout, "tread")))).bounds
    assert places == pytest.approx((2910 - 560, 1500, 2910, 2500), abs=0.01)
    outline = shapely.Polygon(next(b for b in layout.boxes if b.kind == "steps").outline_mm)
    assert outline.bounds == pytest.approx((2350, 1500, 2910, 2500))


@settings(max_examples=15, deadline=None)
@given(st.floats(-180, 180))
def test_steps_turn_with_their_angle(angle: float) -> None:
    steps = flight(angle_deg=angle, x_mm=3000, y_mm=2000)
    pieces = role(laid(job_with(400.0, steps)), "tread")
    middle = shapely.union_all(polygons(tuple(pieces))).centroid
    way = math.radians(angle)
    assert (middle.x, middle.y) == pytest.approx(
        (3000 + 280 * math.cos(way), 2000 + 280 * math.sin(way)), abs=0.5
    )


def test_steps_from_the_roof_climb_from_where_they_come_down() -> None:
    steps = flight(id="up", lower=None, upper="low", x_mm=1500, y_mm=200, angle_deg=270)
    job = job_with(0.0, steps)
    roof = read_roof(job)
    box = next(box for box in lay_out(job, roof).boxes if box.kind == "steps")
    rise = roof.level_of("low") - roof_height_mm(1500, 200)
    assert box.risers == math.ceil(rise / 196.85)


def test_steps_with_nothing_to_climb_stop() -> None:
    layout = laid(job_with(0.0, flight()))
    found = {finding.code: finding.grade for finding in layout.findings}
    assert found["layout.steps-level"] == "stop"
    assert not role(layout, "riser")


@pytest.mark.parametrize(
    ("offset", "going", "grade"), [(400.0, 280.0, "note"), (400.0, 240.0, "check"), (700.0, 280.0, "check")]
)
def test_steps_out_of_the_usual_measures_are_checks(offset: float, going: float, grade: str) -> None:
    layout = laid(job_with(offset, flight(going_mm=going)))
    assert next(f.grade for f in layout.findings if f.code == "layout.steps") == grade


def test_treads_risers_and_fascia_are_fixed_to_something() -> None:
    job = job_with(400.0, flight(), has_fascia=True)
    roof = read_roof(job)
    layout = lay_out(job, roof)
    fixed = {crossing.piece for crossing in frame(job, roof, layout).crossings}
    wanted = {piece.id for piece in layout.pieces if piece.role in ("tread", "riser", "fascia")}
    assert wanted
    assert wanted <= fixed


def open_roof(**field: Any) -> Job:
    """A deck in the middle of a roof without walls."""
    edges = tuple(s.Edge(id=f"e{n}", from_corner=n, kind="open", height_mm=0, drop_mm=500) for n in range(4))
    deck = a_deck_field(**({"outline_mm": ((1000, 1000), (4000, 1000), (4000, 3000), (1000, 3000))} | field))
    return a_job(a_survey(edges=edges), a_plan(deck_fields=(deck,)))


def test_a_fascia_goes_round_all_open_edges_down_to_the_free_height() -> None:
    job = open_roof(has_fascia=True)
    roof = read_roof(job)
    layout = lay_out(job, roof)
    assert layout.fields[0].fascia_mm == pytest.approx(2 * (3000 + 2000))
    under = roof.level_of("deck") - 20.0 - job.choices.limits.least_free_height_mm
    assert layout.fields[0].fascia_high_mm == pytest.approx(under - roof_height_mm(0, 1000))
    sides = {piece.plane for piece in role(layout, "fascia")}
    assert sides == {f"deck-fascia-{n}" for n in (1, 2, 3, 4)}
    assert len({piece.id for piece in layout.pieces}) == len(layout.pieces)


def test_no_fascia_stands_where_a_wall_or_another_deck_hides_the_edge() -> None:
    assert laid(open_roof()).fields[0].fascia_mm == 0.0
    # The builders' parapets and wall are within 200 mm of every edge but that to the lower deck.
    layout = laid(job_with(400.0, has_fascia=True))
    high = next(field for field in layout.fields if field.field == "high")
    assert high.fascia_mm == pytest.approx(3700.0 - 2 * 0, abs=250.0)
    assert high.fascia_high_mm == pytest.approx(400.0 - 20.0)  # down to the lower boards
    assert laid(job_with(0.0, has_fascia=True)).fields[1].fascia_mm == 0.0


def test_what_carries_the_treads_is_counted_with_its_length_and_mass() -> None:
    job = job_with(400.0, flight())
    made = next(q for q in take_off(job, {}).totals.quantities if q.basis == "steps.stringers")
    # 1000 mm at 400 mm at most: three bays, four lines; two treads, each with bearers, posts and a ledger.
    assert made.amount == 4
    inputs = dict(made.inputs)
    box = next(box for box in laid(job).boxes if box.kind == "steps")
    sticks_m = [length_mm / 1000 for _, length_mm in box.frame_mm]
    kg_m = next(section.mass_kg_m for section in job.choices.sections if section.id == "frame")
    assert inputs["sticks in steps"] == f"{len(sticks_m)}" == f"{2 * (4 + 4 + 1)}"
    assert inputs["their length in steps"] == f"{sum(sticks_m):.2f}".rstrip("0").rstrip(".") + " m"
    assert float(inputs["their mass in steps"].split()[0]) == pytest.approx(sum(sticks_m) * kg_m, abs=0.01)


@pytest.mark.parametrize(("rise_mm", "has_guard"), [(762.0, False), (763.0, True)])
def test_the_open_sides_of_high_steps_ask_for_a_guard(rise_mm: float, has_guard: bool) -> None:
    layout = laid(job_with(rise_mm, flight()))
    said = next(finding for finding in layout.findings if finding.code == "layout.steps")
    assert ("guard" in said.text) == has_guard
    assert said.grade == "check"
    assert "handrail" in said.text
    assert "local code decides" in said.text


def test_from_how_many_risers_on_a_handrail_is_asked_for_is_the_jobs_own() -> None:
    job = job_with(400.0, flight(going_mm=285))  # three risers
    for first, is_asked in ((3, True), (4, False)):
        limits = job.choices.limits.model_copy(update={"handrail_risers": first})
        one = job.model_copy(update={"choices": job.choices.model_copy(update={"limits": limits})})
        (said,) = [finding for finding in laid(one).findings if finding.code == "layout.steps"]
        assert (f"From {first} risers on a handrail" in said.text) is is_asked


def test_the_local_codes_own_riser_and_tread_are_what_counts_and_are_named() -> None:
    job = job_with(400.0, flight(going_mm=285))
    limits = job.choices.limits.model_copy(
        update={"greatest_riser_mm": 130.0, "least_tread_mm": 300.0, "steps_source": "letter of 3 May"}
    )
    strict = job.model_copy(update={"choices": job.choices.model_copy(update={"limits": limits})})
    for one, risers, is_asked in ((job, 3, False), (strict, 4, True)):
        layout = laid(one)
        said = next(finding for finding in layout.findings if finding.code == "layout.steps")
        assert next(box for box in layout.boxes if box.kind == "steps").risers == risers
        assert said.limit == one.choices.limits.greatest_riser_mm
        assert said.source == one.choices.limits.steps_source
        assert ("less than 300 mm" in said.text) is is_asked
