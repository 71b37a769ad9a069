import pytest

from app.job.job import Job
from app.job.plan import StoneBed
from app.takeoff.totals.from_memory import memory_findings
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
