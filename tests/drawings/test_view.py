"""The view of the whole: lengths keep their measure, nearer things are drawn later, shadows fall away."""

import math
from datetime import UTC, datetime
from xml.etree import ElementTree as Xml

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from app.drawings.blocks import Block, standing_blocks
from app.drawings.isometric import ISOMETRIC_DEG, Eye, in_order, isometric_svg
from app.drawings.shadows import deck_blocks, shadows_on
from app.drawings.sun import Sun, shadow_of, sun_at
from tests import demo

JOB, TAKEOFF = demo.demo_job(), demo.answer().takeoff


def test_in_the_isometric_view_the_three_axes_are_shortened_alike() -> None:
    """Source: isometric projection shortens each axis to sqrt(2/3), about 0.816 (ISO 5456-3, from memory)."""
    eye = Eye()
    for axis in ((1000.0, 0.0, 0.0), (0.0, 1000.0, 0.0), (0.0, 0.0, 1000.0)):
        assert math.hypot(*eye.flat(*axis)) == pytest.approx(1000 * math.sqrt(2 / 3))


def test_seen_from_straight_above_the_view_is_the_plan() -> None:
    assert Eye(0, 90).flat(1200, 3400, 99) == (pytest.approx(1200), pytest.approx(3400))


squares = st.tuples(st.integers(0, 9), st.integers(0, 9), st.integers(1, 8))


@settings(max_examples=50, deadline=None)
@given(st.lists(squares, min_size=2, max_size=9, unique_by=lambda s: s[:2]), st.integers(0, 359))
def test_a_block_is_never_drawn_after_one_that_it_hides(
    placed: list[tuple[int, int, int]], turn: int
) -> None:
    """Source: on a grid of unit squares the nearer one is known by hand, row by row and column by column."""
    eye = Eye(turn, ISOMETRIC_DEG)
    blocks = []
    for column, row, tall in placed:
        x, y = column * 100.0, row * 100.0
        ring = ((x, y), (x + 90, y), (x + 90, y + 90), (x, y + 90))
        blocks.append(Block(f"{column},{row}", "planter", ring, 0.0, tall * 100.0))
    drawn = [tuple(map(int, block.name.split(","))) for block in in_order(blocks, eye)]
    assert sorted(drawn) == sorted((c, r) for c, r, _ in placed)
    away = (math.sin(math.radians(turn)), math.cos(math.radians(turn)))
    for at, (column, row) in enumerate(drawn):
        for later in drawn[at + 1 :]:
            is_nearer_both = (column - later[0]) * away[0] < -1e-9 and (row - later[1]) * away[1] < -1e-9
            assert not is_nearer_both, f"{column},{row} was drawn before {later}, which lies behind it"


def test_every_thing_and_every_board_is_in_the_view() -> None:
    svg = isometric_svg(JOB, TAKEOFF, Eye(30))
    titles = " ".join(e.text or "" for e in Xml.fromstring(svg).iter("{http://www.w3.org/2000/svg}title"))
    for block in standing_blocks(JOB, TAKEOFF):
        assert block.name in titles
    fields = {field.id for field in JOB.plan.deck_fields}
    for piece in TAKEOFF.layout.pieces:
        if piece.place in fields and piece.plane == "plan":
            assert f"board {piece.id}" in titles


def test_a_shadow_is_as_long_as_the_tangent_says_and_falls_away_from_the_sun() -> None:
    post = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    ring = shadow_of(post, 1000, Sun(30, 90), 0)  # sun in the east: the shadow runs west
    xs = [x for x, _ in ring]
    assert min(xs) == pytest.approx(-1000 / math.tan(math.radians(30)))
    assert max(xs) == pytest.approx(100)
    assert shadow_of(post, 1000, Sun(-3, 270), 0) == ()


@given(st.floats(2, 88), st.floats(0, 359), st.floats(0, 359))
@settings(max_examples=50, deadline=None)
def test_turning_north_turns_the_shadow_with_it(high: float, bearing: float, north: float) -> None:
    post = ((-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0))
    one = Polygon(shadow_of(post, 900, Sun(high, bearing), north)).centroid
    other = Polygon(shadow_of(post, 900, Sun(high, (bearing + north) % 360), 0)).centroid
    assert (one.x, one.y) == (pytest.approx(other.x, abs=0.5), pytest.approx(other.y, abs=0.5))


def test_shadows_are_drawn_when_the_sun_is_up_and_not_when_it_is_down() -> None:
    assert "layer-shadows" in isometric_svg(JOB, TAKEOFF, Eye(30), 50, Sun(35, 200))
    assert "ink-shadow" not in isometric_svg(JOB, TAKEOFF, Eye(30), 50, Sun(-5, 200))


def test_the_sun_stands_highest_near_solar_noon_in_the_south() -> None:
    """Source: height at noon = 90° - latitude + declination; declination 23.4° at the June solstice."""
    place = JOB.survey.place
    assert place is not None, "the demo job says where its roof lies"
    hours = [datetime(2026, 6, 21, hour, tzinfo=UTC) for hour in range(24)]
    suns = [sun for hour in hours if (sun := sun_at(JOB, hour)) is not None]
    best = max(suns, key=lambda sun: sun.height_deg)
    assert best.height_deg == pytest.approx(90 - place.latitude_deg + 23.4, abs=2)
    assert best.bearing_deg == pytest.approx(180, abs=25)


POST = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
EAST_45 = Sun(45, 90)  # at 45° a shadow is as long as what casts it is high
GROUND = Polygon([(-5000, -5000), (5000, -5000), (5000, 5000), (-5000, 5000)])


@pytest.mark.parametrize(
    ("level_mm", "spans"),
    [(0.0, (-1500, -400)), (500.0, (-1000, 100)), (900.0, (-600, 100)), (1500.0, ()), (1600.0, ())],
    ids=["lower deck", "the deck it stands on", "a deck it passes through", "at its top", "above it"],
)
def test_a_post_on_an_upper_deck_casts_its_shadow_on_each_level(
    level_mm: float, spans: tuple[float, float]
) -> None:
    """Source: on a plane h below a point its shadow lies h / tan 45° = h away; foot 500 mm, top 1500 mm."""
    post = Block("post", "planter", POST, 500.0, 1500.0)
    fallen = shadows_on(lambda _: level_mm, GROUND, [post], EAST_45, 0.0)
    assert (fallen.bounds[::2] if not fallen.is_empty else ()) == pytest.approx(spans)


def test_a_raised_deck_casts_a_shadow_on_the_roof_and_none_on_itself() -> None:
    decks = deck_blocks(JOB, TAKEOFF)
    top = max(deck.top_mm for deck in decks)
    ground = Polygon(JOB.survey.outline_mm)
    on_roof = shadows_on(lambda spot: TAKEOFF.roof.height_mm(*spot), ground, decks, Sun(30, 200), 0.0)
    drawn = sum(Polygon(deck.footprint_mm).area for deck in decks)
    assert on_roof.area > drawn  # under it, and past its edge
    assert shadows_on(lambda _: top, ground, decks, Sun(30, 200), 0.0).is_empty


def test_a_deck_is_cut_into_blocks_of_its_own_area() -> None:
    drawn = sum(Polygon(field.outline_mm, field.holes_mm).area for field in JOB.plan.deck_fields)
    assert sum(Polygon(block.footprint_mm).area for block in deck_blocks(JOB, TAKEOFF)) == pytest.approx(
        drawn
    )
