"""The level of the deck between the roof and the thresholds."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import plan as p
from app.job import survey as s
from app.job.job import Job
from app.measure.show import format_length
from app.takeoff.roof.footprints import field_polygon
from app.takeoff.roof.level import highest_point, level_window
from app.takeoff.roof.surface import fit_surface
from tests.builders import a_deck_field, a_job, a_plan, a_survey, roof_height_mm

# The field ends at y = 3900, where the roof under it is highest; pad, sleeper and board come on top.
LEAST_MM = roof_height_mm(3000, 3900) + 10 + 38 + 20


def window_of(job: Job) -> tuple[object, list[str]]:
    window, findings = level_window(job, fit_surface(job.survey.spot_heights))
    return window, [f"{f.grade} {f.code}" for f in findings]


def a_door(**changes: object) -> s.Door:
    fields = {"id": "door", "x_mm": 3000, "y_mm": 4000, "width_mm": 900, "threshold_mm": 0.0}
    return s.Door(**(fields | changes))  # type: ignore[arg-type]


def level_plan(**level: float) -> p.Plan:
    return a_plan(level=p.DeckLevel(**level))


def test_the_window_runs_from_the_highest_roof_and_build_up_to_the_threshold_less_the_step() -> None:
    job = a_job()
    window, _ = level_window(job, fit_surface(job.survey.spot_heights))
    assert window is not None
    assert job.plan.level.least_pad_mm == 10
    assert window.lowest_mm == pytest.approx(LEAST_MM)
    assert window.highest_mm == pytest.approx(0.0 - job.plan.level.step_below_threshold_mm)
    assert window.chosen_mm == window.highest_mm


def test_without_a_door_near_the_lowest_level_is_taken() -> None:
    far = a_survey(doors=(a_door(x_mm=3000, y_mm=4000 + 815),))
    window, _ = level_window(a_job(survey=far), fit_surface(far.spot_heights))
    assert window is not None
    assert window.highest_mm is None
    assert window.chosen_mm == window.lowest_mm


def test_a_door_counts_up_to_the_length_of_a_landing_and_no_farther() -> None:
    for y, counts in ((3900 + 914, True), (3900 + 915, False)):
        survey = a_survey(doors=(a_door(y_mm=y),))
        window, _ = level_window(a_job(survey=survey), fit_surface(survey.spot_heights))
        assert window is not None
        assert (window.highest_mm is not None) is counts


def test_an_empty_window_stops_with_both_numbers() -> None:
    survey = a_survey(doors=(a_door(threshold_mm=-100.0),))
    window, findings = level_window(a_job(survey=survey), fit_surface(survey.spot_heights))
    assert window is not None
    stop = next(f for f in findings if f.code == "roof.no-level-fits")
    assert stop.grade == "stop"
    assert stop.value == pytest.approx(window.lowest_mm)
    assert stop.limit == pytest.approx(-120.0)
    assert format_length(window.lowest_mm, "metric") in stop.text
    assert "−120 mm" in stop.text


def test_the_window_of_exactly_one_level_is_not_empty() -> None:
    survey = a_survey(doors=(a_door(threshold_mm=LEAST_MM + 20.0),))
    _, codes = window_of(a_job(survey=survey))
    assert "stop roof.no-level-fits" not in codes


@pytest.mark.parametrize(
    ("level", "stops"), [(LEAST_MM - 1, True), (LEAST_MM, False), (-20.0, False), (-19.0, True)]
)
def test_a_level_typed_outside_the_window_stops(level: float, stops: bool) -> None:
    window, codes = window_of(a_job(plan=level_plan(level_mm=level)))
    assert getattr(window, "chosen_mm") == level  # noqa: B009
    assert ("stop roof.level-outside-window" in codes) is stops


def test_no_deck_means_no_window() -> None:
    assert window_of(a_job(plan=a_plan(deck_fields=()))) == (None, [])


def test_the_field_that_needs_most_sets_the_least_level() -> None:
    low = a_deck_field(id="low", outline_mm=((200, 200), (2000, 200), (2000, 1000), (200, 1000)))
    both = a_job(
        plan=a_plan(deck_fields=(low, a_deck_field(outline_mm=((2100, 200), (5800, 200), (5800, 3900)))))
    )
    one = a_job(plan=a_plan(deck_fields=(low,)))
    surface = fit_surface(both.survey.spot_heights)
    first, second = level_window(both, surface)[0], level_window(one, surface)[0]
    assert first is not None
    assert second is not None
    assert first.lowest_mm - second.lowest_mm == pytest.approx(0.02 * 2900)


@settings(max_examples=15, deadline=None)
@given(st.lists(st.floats(-60, 60), min_size=16, max_size=16))
def test_no_place_under_a_field_is_higher_than_its_highest_point(heights: list[float]) -> None:
    spots = tuple(
        s.SpotHeight(
            id=f"h{k}", x_mm=(k % 4) * 2000 + 31 * (k // 4), y_mm=(k // 4) * 1333 + 17 * (k % 4), z_mm=z
        )
        for k, z in enumerate(heights)
    )
    surface = fit_surface(spots)
    polygon = field_polygon(a_deck_field())
    highest = highest_point(surface, polygon).z_mm
    for step_x in range(12):
        for step_y in range(9):
            x, y = 200 + 500 * step_x, 200 + 450 * step_y
            if shapely.intersects(polygon, shapely.Point(x, y)):
                assert surface.height_mm(x, y) <= highest + 1e-6
