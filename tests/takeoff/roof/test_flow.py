"""Where water runs and stands."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import survey as s
from app.takeoff.roof.flow import Flow, read_flow
from app.takeoff.roof.read_roof import read_roof
from app.takeoff.roof.zones import fit_roof
from tests.builders import a_job, a_plan, a_survey

ROOF_M2 = 24.0  # the builders' roof


def flow_of(survey: s.Survey) -> Flow:
    return read_flow(survey, fit_roof(survey))


def grid(height: list[tuple[float, float, float]]) -> tuple[s.SpotHeight, ...]:
    return tuple(s.SpotHeight(id=f"h{n}", x_mm=x, y_mm=y, z_mm=z) for n, (x, y, z) in enumerate(height))


def drains(*places: tuple[float, float]) -> tuple[s.Drain, ...]:
    return tuple(s.Drain(id=f"d{n}", kind="drain", x_mm=x, y_mm=y) for n, (x, y) in enumerate(places))


def test_one_drain_takes_the_whole_roof() -> None:
    flow = flow_of(a_survey())
    assert [catchment.outlet for catchment in flow.catchments] == ["drain"]
    assert flow.catchments[0].area_m2 == pytest.approx(ROOF_M2, rel=0.05)
    assert flow.ponds == ()
    assert flow.arrows == ()  # one plane: its fall says all


def test_a_ridge_between_two_drains_shares_the_roof_between_them() -> None:
    ridge = s.Fold(id="r", kind="ridge", start_mm=(2000, 0), start_z_mm=40, end_mm=(2000, 4000), end_z_mm=40)
    corners = grid([(0, 0, 0), (6000, 0, -40), (6000, 4000, -40), (0, 4000, 0)])
    flow = flow_of(a_survey(spot_heights=corners, folds=(ridge,), drains=drains((10, 2000), (5990, 2000))))
    shares = {catchment.outlet: catchment.area_m2 for catchment in flow.catchments}
    assert shares["d0"] == pytest.approx(8.0, abs=1.0)
    assert shares["d1"] == pytest.approx(16.0, abs=1.0)
    left = [arrow for arrow in flow.arrows if arrow.x_mm < 1500]
    right = [arrow for arrow in flow.arrows if arrow.x_mm > 2500]
    assert all(90 < arrow.direction_deg < 270 for arrow in left)
    assert all(arrow.direction_deg < 90 or arrow.direction_deg > 270 for arrow in right)


def test_a_drain_on_a_slope_takes_what_comes_to_it_and_lets_the_rest_pass_to_the_open_edge() -> None:
    edges = tuple(
        edge.model_copy(update={"kind": "open"}) if edge.id == "south" else edge for edge in a_survey().edges
    )
    flow = flow_of(a_survey(edges=edges, drains=drains((3000, 1500))))
    shares = {catchment.outlet: catchment.area_m2 for catchment in flow.catchments}
    assert set(shares) == {"d0", "south"}
    assert 0.2 < shares["d0"] < 5.0  # the strip above it
    assert sum(shares.values()) == pytest.approx(ROOF_M2, rel=0.05)


def test_a_cricket_keeps_water_from_standing_behind_a_kerb_between_drains() -> None:
    # Level along the low side between two drains: water stands there unless a cricket turns it aside.
    flat = grid([(0, 0, 0), (3000, 0, -20), (6000, 0, 0), (6000, 4000, 80), (0, 4000, 80), (3000, 4000, 80)])
    outlets = drains((100, 50), (5900, 50))
    without = flow_of(a_survey(spot_heights=flat, drains=outlets))
    assert without.ponds
    assert without.ponds[0].depth_mm == pytest.approx(20, abs=4)
    cricket = s.Fold(
        id="c", kind="cricket", start_mm=(3000, 0), start_z_mm=40, end_mm=(3000, 1500), end_z_mm=40
    )
    raised = (*flat[:1], *flat[2:])
    assert flow_of(a_survey(spot_heights=raised, folds=(cricket,), drains=outlets)).ponds == ()


def test_a_bowl_holds_the_water_up_to_where_it_spills() -> None:
    # A cone 60 mm deep in a level roof, the drain outside it: volume of a cone, less what is too shallow.
    rim = [
        (3000 + 1500 * math.cos(turn), 2000 + 1500 * math.sin(turn), 0.0)
        for turn in [k * math.pi / 8 for k in range(16)]
    ]
    corners = [(0.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 4000.0, 0.0), (0.0, 4000.0, 0.0)]
    survey = a_survey(spot_heights=grid([*corners, *rim, (3000, 2000, -60)]), drains=drains((100, 100)))
    ponds = flow_of(survey).ponds
    assert len(ponds) == 1
    assert ponds[0].depth_mm == pytest.approx(60, abs=8)
    whole = math.pi * 1.5**2 * 0.060 / 3
    assert ponds[0].volume_m3 == pytest.approx(whole, rel=0.1)
    assert ponds[0].outlet == "d0"


def test_a_puddle_no_low_spot_tells_of_is_a_check_with_its_mass() -> None:
    # A ridge along x dams the fall; the low spot behind it lies on the fold, not at a measured height.
    ridge = s.Fold(
        id="r", kind="ridge", start_mm=(0, 1000), start_z_mm=-120, end_mm=(6000, 1000), end_z_mm=-120
    )
    valley = s.Fold(
        id="v", kind="valley", start_mm=(0, 2000), start_z_mm=-170, end_mm=(6000, 2000), end_z_mm=-170
    )
    reading = read_roof(a_job(a_survey(folds=(ridge, valley)), a_plan()))
    found = next(f for f in reading.findings if f.code == "roof.ponding")
    assert found.grade == "check"
    assert found.value == pytest.approx(50, abs=15)
    assert "kg" in found.text


def test_water_runs_off_an_open_edge() -> None:
    edges = (s.Edge(id="south", from_corner=0, kind="open", drop_mm=3000),)
    flow = flow_of(a_survey(drains=(), edges=edges))
    assert [catchment.outlet for catchment in flow.catchments] == ["south"]
    assert flow.catchments[0].area_m2 == pytest.approx(ROOF_M2, rel=0.05)


def test_without_a_way_out_nothing_is_said_of_catchments() -> None:
    flow = flow_of(a_survey(drains=(), edges=()))
    assert flow.catchments == flow.ponds == ()


@settings(max_examples=20, deadline=None)
@given(
    st.lists(st.floats(-60, 60), min_size=12, max_size=12),
    st.lists(st.tuples(st.floats(50, 5950), st.floats(50, 3950)), min_size=1, max_size=4),
)
def test_every_cell_sheds_to_one_outlet_and_more_outlets_never_make_a_deeper_puddle(
    heights: list[float], places: list[tuple[float, float]]
) -> None:
    spots = grid([((k % 4) * 2000, (k // 4) * 2000, z) for k, z in enumerate(heights)])
    surveys = [
        a_survey(spot_heights=spots, drains=drains(*places[:count])) for count in range(1, len(places) + 1)
    ]
    flows = [flow_of(survey) for survey in surveys]
    for flow in flows:
        assert sum(catchment.area_m2 for catchment in flow.catchments) == pytest.approx(ROOF_M2, rel=0.05)
        assert all(
            pond.depth_mm > 6 and pond.volume_m3 <= pond.depth_mm * pond.area_m2 / 1e3 for pond in flow.ponds
        )
    deepest = [max((pond.depth_mm for pond in flow.ponds), default=0.0) for flow in flows]
    assert deepest == sorted(deepest, reverse=True)
