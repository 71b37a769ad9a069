"""Hidden runs as they were laid: what the site log says, and the ways measured by tape."""

from collections.abc import Mapping

from app.actions.database import Database
from app.actions.records import WorkedOut
from app.build.by_tape import BuiltWay, built_ways
from app.build.deviations import Deviation, deviations
from app.store import site


def deviations_of(db: Database, worked: WorkedOut) -> dict[str, Deviation]:
    """By run, what the site log says of one that lies elsewhere than drawn."""
    with db.read() as session:
        lines = sorted(site.entries(session, worked.sheet.id), key=lambda line: line.id)
    runs = [run.id for run in worked.answer.takeoff.rough_in.runs]
    return deviations(((line.on, line.text, line.who) for line in lines), runs)


def ways_of(worked: WorkedOut, noted: Mapping[str, Deviation]) -> dict[str, BuiltWay]:
    """By run, the way that was measured on site."""
    roughin, outline = worked.answer.takeoff.rough_in, worked.sheet.job.survey.outline_mm
    return built_ways(roughin.runs, noted, roughin.fixed_points_mm, outline)


def drawn_ways(ways: Mapping[str, BuiltWay]) -> dict[str, tuple[tuple[float, float], ...]]:
    """The ways that can be drawn, by run."""
    return {run: way.way_mm for run, way in ways.items() if not way.fault}
