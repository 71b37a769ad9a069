"""Guards measured again from the top of the boards."""

import pytest

from app.job import survey as s
from app.job.findings import Finding
from app.job.job import Job
from app.takeoff.roof.guards import guards_beside_decks
from app.takeoff.roof.records import GuardReading
from app.takeoff.roof.surface import fit_surface
from tests.builders import a_deck_field, a_job, a_plan, a_planter, a_survey, choices, roof_height_mm

LEVEL_MM = -20.0
BUILD_UP_MM = LEVEL_MM - roof_height_mm(3000, 0)  # at the south edge, the lowest


def read(job: Job, level_mm: float = LEVEL_MM) -> tuple[dict[str, GuardReading], tuple[Finding, ...]]:
    guards, findings = guards_beside_decks(job, fit_surface(job.survey.spot_heights), level_mm)
    return {guard.edge: guard for guard in guards}, findings


def with_south(**changes: object) -> Job:
    fields = {"id": "south", "from_corner": 0, "kind": "parapet", "height_mm": 1400.0, "drop_mm": 6000.0}
    return a_job(survey=a_survey(edges=(s.Edge(**(fields | changes)),)))  # type: ignore[arg-type]


def test_what_remains_is_least_where_the_roof_is_lowest() -> None:
    guards, _ = read(a_job())
    # West edge: the field ends at y = 200, so 914 mm round it reaches y = 0, where the roof is lowest.
    assert guards["west"].remaining_mm == pytest.approx(1400 - BUILD_UP_MM)
    assert guards["south"].remaining_mm == pytest.approx(1400 - BUILD_UP_MM)


def test_a_wall_is_no_guard_and_an_edge_far_from_the_deck_is_not_read() -> None:
    near_west = a_deck_field(outline_mm=((200, 1500), (2000, 1500), (2000, 2500), (200, 2500)))
    guards, _ = read(a_job(plan=a_plan(deck_fields=(near_west,))))
    assert set(guards) == {"west"}


@pytest.mark.parametrize(("over", "is_low"), [(-1.0, True), (0.0, False), (1.0, False)])
def test_a_guard_is_low_below_the_limit_and_not_at_it(over: float, is_low: bool) -> None:
    _, findings = read(with_south(height_mm=1067.0 + BUILD_UP_MM + over))
    low = [f for f in findings if f.code == "roof.guard-low"]
    assert bool(low) is is_low
    for finding in low:
        assert finding.grade == "check"
        assert "IRC R312" in finding.source
        assert "IBC" in finding.source
        assert "safe" not in finding.text.lower()
        assert finding.value == pytest.approx(1067.0 + over)


def test_the_raised_floor_deepens_the_drop() -> None:
    # Drop and build-up together make 762 mm; a millimetre less asks for none.
    assert read(with_south(drop_mm=762.0 - BUILD_UP_MM))[0]["south"].needed_mm == 1067.0
    assert read(with_south(drop_mm=761.0 - BUILD_UP_MM))[0]["south"].needed_mm == 0.0


def test_an_unknown_drop_is_a_check_and_held_against_the_full_height() -> None:
    guards, findings = read(with_south(drop_mm=None, height_mm=300.0))
    assert guards["south"].needed_mm == 1067.0
    assert {"roof.guard-drop-unknown", "roof.guard-low"} <= {f.code for f in findings}


def test_an_open_edge_says_that_there_is_no_guard() -> None:
    guards, findings = read(with_south(kind="open", height_mm=0.0))
    assert guards["south"].remaining_mm == pytest.approx(-BUILD_UP_MM)
    assert any("open" in f.text and f.code == "roof.guard-low" for f in findings)


def test_the_limit_can_be_changed_for_a_job() -> None:
    limits = choices().limits.model_copy(update={"guard_height_mm": 914.0})
    job = with_south(height_mm=1000.0 + BUILD_UP_MM)
    job = job.model_copy(update={"choices": choices(limits=limits)})
    _, findings = read(job)
    assert "roof.guard-low" not in {f.code for f in findings}


def test_a_planter_by_the_edge_is_put_to_a_person() -> None:
    job = a_job(plan=a_plan(planters=(a_planter(y_mm=500),)))
    found = [f for f in read(job)[1] if f.code == "roof.guard-climb"]
    assert [f.place for f in found] == ["planter"]  # once, though two edges are near
    assert found[0].value == pytest.approx(1400 - BUILD_UP_MM - 450)
    away = a_job(plan=a_plan(planters=(a_planter(x_mm=3000, y_mm=2000),)))
    assert not [f for f in read(away)[1] if f.code == "roof.guard-climb"]


def test_raising_the_deck_never_leaves_more_guard() -> None:
    lefts = [read(a_job(), level)[0]["south"].remaining_mm for level in (-100.0, -50.0, 0.0, 50.0)]
    assert lefts == sorted(lefts, reverse=True)
    assert lefts[0] - lefts[-1] == pytest.approx(150.0)
