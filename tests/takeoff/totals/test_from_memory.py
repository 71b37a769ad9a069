import pytest

from app.job.choices import Limits, Masses
from app.job.job import Job
from app.job.plan import Steps, StoneBed
from app.job.survey import Wind
from app.takeoff.chain import take_off
from app.takeoff.totals.from_memory import memory_findings
from app.takeoff.totals.weather import wind_pressure
from tests.builders import a_job, a_planter, a_survey, choices


def with_limits(**changes) -> Job:
    base = choices()
    return a_job(
        survey=a_survey(drains=()),
        materials=base.model_copy(update={"limits": base.limits.model_copy(update=changes)}),
    )


def told(job: Job, *, has_guards: bool = True) -> str:
    return " ".join(finding.text for finding in memory_findings(job, has_guards=has_guards))


def test_the_guard_height_is_a_check_until_somebody_names_where_it_comes_from() -> None:
    assert "guard height 1067 mm" in told(with_limits())
    assert "guard height" not in told(with_limits(guard_height_source="building office, letter of 3 May"))
    assert "guard height" not in told(with_limits(), has_guards=False)


@pytest.mark.parametrize("source", ["", "from memory"])
def test_a_board_whose_mass_nobody_weighed_is_named(source) -> None:
    job = with_limits()
    boards = tuple(board.model_copy(update={"mass_source": source}) for board in job.choices.boards)
    assert "kg/m (boards)" in told(
        job.model_copy(update={"choices": job.choices.model_copy(update={"boards": boards})})
    )


def test_once_every_source_is_written_down_nothing_is_said() -> None:
    job = with_limits(guard_height_source="letter", guard_drop_source="letter")
    boards = tuple(
        board.model_copy(update={"mass_source": "weighed", "expansion_source": "maker's sheet"})
        for board in job.choices.boards
    )
    masses = job.choices.masses.model_copy(update={"source": "weighed"})
    job = job.model_copy(
        update={"choices": job.choices.model_copy(update={"boards": boards, "masses": masses})}
    )
    assert memory_findings(job, has_guards=True) == ()


@pytest.mark.parametrize("source", ["", "from memory"])
def test_media_stones_and_pads_in_use_are_named_too(source: str) -> None:
    job = with_limits()
    bed = StoneBed(id="bed", outline_mm=((0, 0), (1000, 0), (1000, 1000)), depth_mm=50, stone="gravel")
    plan = job.plan.model_copy(update={"planters": (a_planter(),), "stone_beds": (bed,)})
    unread = {
        "media": tuple(one.model_copy(update={"source": source}) for one in job.choices.media),
        "stones": tuple(one.model_copy(update={"source": source}) for one in job.choices.stones),
        "pads": tuple(one.model_copy(update={"limit_source": source}) for one in job.choices.pads),
    }
    materials = job.choices.model_copy(update=unread)
    said = told(job.model_copy(update={"plan": plan, "choices": materials}))
    for words in ("density of Light (media)", "density of Gravel (stones)", "(pads)"):
        assert words in said
    assert "(media)" not in told(job.model_copy(update={"choices": materials}))


def test_what_is_from_memory_is_written_in_the_jobs_own_units() -> None:
    job = with_limits().model_copy(update={"units": "imperial"})
    assert "guard height 3' 6\"" in told(job)
    assert "mm" not in told(job)


def test_the_measures_of_steps_are_a_check_until_somebody_names_where_they_come_from() -> None:
    flight = Steps(id="up", x_mm=3000, y_mm=200, width_mm=900, upper="deck", board="pine", frame="frame")
    for limits, is_told in (({}, True), ({"steps_source": "building office, letter of 3 May"}, False)):
        job = with_limits(**limits)
        with_steps = job.model_copy(update={"plan": job.plan.model_copy(update={"steps": (flight,)})})
        words = "greatest riser 197 mm and least tread 254 mm of steps, handrail from 4 risers on"
        assert (words in told(with_steps)) is is_told
        assert "riser" not in told(job)  # nothing to step up


@pytest.mark.parametrize(
    ("edition", "given", "is_told"),
    [("ASCE 7-16", None, False), ("ASCE 7-22", None, True), ("ASCE 7-22", 0.85, False)],
)
def test_the_height_factor_of_the_newest_edition_is_a_check_until_it_is_given(
    edition: str, given: float | None, is_told: bool
) -> None:
    wind = Wind(
        wind_speed_m_s=50,
        exposure="C",
        roof_height_mm=9000,
        source="letter",
        edition=edition,
        height_factor=given,  # type: ignore[arg-type]
    )
    job = with_limits()
    windy = job.model_copy(update={"survey": job.survey.model_copy(update={"wind": wind})})
    assert ("height factor of the wind" in told(windy)) is is_told
    assert ("from memory" in wind_pressure(wind).source) is is_told


def test_a_job_as_it_starts_names_every_value_from_memory_that_it_uses() -> None:
    flight = Steps(id="up", x_mm=3000, y_mm=200, width_mm=900, upper="deck", board="pine", frame="frame")
    job = a_job(plan=a_job().plan.model_copy(update={"steps": (flight,)}))
    (said,) = [found for found in take_off(job, {}).totals.findings if found.code == "totals.from-memory"]
    assert said.grade == "check"
    defaults = (Limits(), Masses())
    unread = {
        name.removesuffix("_source")
        for record in defaults
        for name in type(record).model_fields
        if name.endswith("source") and "from memory" in getattr(record, name)
    }
    # Every default that is from memory, by its record: a new one must be told of too.
    assert unread == {"guard_height", "guard_drop", "steps", "source"}
    for words in ("guard height", "asks for a guard", "of steps", "masses of small goods"):
        assert words in said.text


@pytest.mark.parametrize(("source", "is_told"), [("", True), ("from memory", True), ("maker's sheet", False)])
def test_how_far_a_board_reaches_is_a_check_until_somebody_names_where_it_comes_from(
    source: str, is_told: bool
) -> None:
    job = with_limits()
    boards = tuple(
        board.model_copy(update={"greatest_span_mm": 350.0, "span_source": source})
        for board in job.choices.boards
    )
    job = job.model_copy(update={"choices": job.choices.model_copy(update={"boards": boards})})
    assert ("reach of Thermally modified pine 20 × 140 between sleepers (boards)" in told(job)) is is_told
