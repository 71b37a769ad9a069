"""The roof in zones, and folds along which it bends."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import survey as s
from app.takeoff.roof.footprints import field_polygon
from app.takeoff.roof.level import highest_point
from app.takeoff.roof.read_roof import read_roof
from app.takeoff.roof.surface import fit_surface
from app.takeoff.roof.zone_steps import read_zones
from app.takeoff.roof.zones import fit_roof, heights_mm, slopes_of
from tests.builders import a_deck_field, a_job, a_plan, a_survey, roof_height_mm

STEP_MM = 300.0
ZONE = s.Zone(id="upper", outline_mm=((4000, 0), (6000, 0), (6000, 4000), (4000, 4000)))


def spot(name: str, x: float, y: float, up_mm: float = 0.0, zone: str | None = None) -> s.SpotHeight:
    return s.SpotHeight(id=name, x_mm=x, y_mm=y, z_mm=roof_height_mm(x, y) + up_mm, zone=zone)


def two_levels(step_mm: float = STEP_MM) -> s.Survey:
    """The builders' roof, its right third higher by a step; both sides of the step are measured."""
    low = [
        spot(f"l{n}", x, y, zone=None)
        for n, (x, y) in enumerate(((0, 0), (0, 4000), (3900, 0), (3900, 4000), (2000, 2000)))
    ]
    high = [
        spot(f"u{n}", x, y, step_mm, "upper")
        for n, (x, y) in enumerate(((4000, 0), (4000, 4000), (6000, 0), (6000, 4000)))
    ]
    return a_survey(spot_heights=(*low, *high), zones=(ZONE,))


def test_each_zone_keeps_the_plane_of_its_own_heights() -> None:
    surface = fit_roof(two_levels())
    for x, y in ((100, 100), (3000, 3900), (3990, 2000)):
        assert surface.height_mm(x, y) == pytest.approx(roof_height_mm(x, y), abs=1e-6)
    for x, y in ((4010, 2000), (5900, 100)):
        assert surface.height_mm(x, y) == pytest.approx(roof_height_mm(x, y) + STEP_MM, abs=1e-6)
    # As one surface the step would bend the whole roof.
    assert fit_surface(two_levels().spot_heights).method == "triangulated"
    assert [zone.method for zone in read_zones(surface)] == ["plane", "plane"]


def test_a_step_between_zones_is_told_with_its_height() -> None:
    reading = read_roof(a_job(two_levels(), a_plan()))
    step = next(f for f in reading.findings if f.code == "roof.zone-step")
    assert step.value == pytest.approx(STEP_MM, abs=1.0)
    assert step.grade == "check"  # the deck lies over it
    assert "deck lies over that step" in step.text
    assert reading.zones[1].step_mm == pytest.approx(STEP_MM, abs=1.0)
    beside = a_deck_field(outline_mm=((200, 200), (3500, 200), (3500, 3900), (200, 3900)))
    reading = read_roof(a_job(two_levels(), a_plan(deck_fields=(beside,))))
    assert next(f.grade for f in reading.findings if f.code == "roof.zone-step") == "note"
    deep = read_roof(a_job(two_levels(900.0), a_plan(deck_fields=(beside,))))
    drop = next(f for f in deep.findings if f.code == "roof.zone-step")
    assert drop.grade == "check"
    assert "guard" in drop.text


def test_the_highest_point_under_a_deck_over_a_step_is_on_the_upper_side() -> None:
    highest = highest_point(fit_roof(two_levels()), field_polygon(a_deck_field()))
    assert highest.z_mm == pytest.approx(roof_height_mm(5800, 3900) + STEP_MM)
    assert highest.x_mm > 4000


def test_a_ridge_is_kept_to_between_the_heights_that_were_measured() -> None:
    corners = tuple(
        s.SpotHeight(id=f"h{n}", x_mm=x, y_mm=y, z_mm=0.0)
        for n, (x, y) in enumerate(((0, 0), (6000, 0), (6000, 4000), (0, 4000)))
    )
    ridge = s.Fold(
        id="ridge", kind="ridge", start_mm=(0, 2000), start_z_mm=80, end_mm=(6000, 2000), end_z_mm=80
    )
    surface = fit_roof(a_survey(spot_heights=corners, folds=(ridge,)))
    assert surface.method == "triangulated"
    for x in (100.0, 1375.0, 3000.0, 5111.0):
        assert surface.height_mm(x, 2000.0) == pytest.approx(80.0, abs=0.01)
        assert surface.height_mm(x, 1000.0) == pytest.approx(40.0, abs=4.0)
    steepness = [
        (rise_x**2 + rise_y**2) ** 0.5 for _, _, area, rise_x, rise_y in slopes_of(surface) if area > 5e5
    ]
    assert steepness == pytest.approx([0.04] * len(steepness), abs=0.005)
    # The best plane is level, but the roof is not flat.
    reading = read_roof(a_job(a_survey(spot_heights=corners, folds=(ridge,)), a_plan()))
    assert reading.fall_pct == pytest.approx(0.0, abs=0.01)
    assert reading.mean_fall_pct > 2.0
    assert "roof.low-fall" not in {f.code for f in reading.findings}


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(-90, 90), min_size=12, max_size=12), st.integers(0, 10**6))
def test_heights_read_all_at_once_are_those_read_one_by_one(heights: list[float], seed: int) -> None:
    spots = tuple(
        s.SpotHeight(
            id=f"h{k}", x_mm=(k % 4) * 1900 + 37 * (k // 4), y_mm=(k // 4) * 1900 + 13 * (k % 4), z_mm=z
        )
        for k, z in enumerate(heights)
    )
    surface = fit_roof(a_survey(spot_heights=spots))
    places = np.random.default_rng(seed).uniform((-500, -500), (6500, 4500), (40, 2))
    one_by_one = [surface.height_mm(x, y) for x, y in places.tolist()]
    assert heights_mm(surface, places).tolist() == pytest.approx(one_by_one, abs=1e-6)


def test_heights_read_all_at_once_know_the_zones() -> None:
    surface = fit_roof(two_levels())
    places = np.array([(x, y) for x in (50.0, 3950.0, 4050.0, 5950.0) for y in (50.0, 3950.0)])
    assert heights_mm(surface, places).tolist() == pytest.approx(
        [surface.height_mm(x, y) for x, y in places.tolist()]
    )


def test_turning_a_zone_round_changes_nothing() -> None:
    back = two_levels().model_copy(
        update={"zones": (s.Zone(id="upper", outline_mm=tuple(reversed(ZONE.outline_mm))),)}
    )
    assert fit_roof(back).height_mm(5000, 1000) == pytest.approx(fit_roof(two_levels()).height_mm(5000, 1000))
    assert shapely.Polygon(back.zones[0].outline_mm).area == 8e6
