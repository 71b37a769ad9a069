"""What is to be said about wind that lifts and snow that gathers; for a licensed engineer, without a mark."""

from app.job.findings import Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.totals.records import WeatherLoad

ENGINEER_DECIDES = "A licensed engineer decides; nothing here is a mark."


def weather_findings(job: Job, weather: tuple[WeatherLoad, ...]) -> tuple[Finding, ...]:
    """Give what the wind and snow given for the site come to, as checks.

    Parameters
    ----------
    job : Job
        What is drawn.
    weather : tuple of WeatherLoad
        What the given snow and wind come to.

    Returns
    -------
    findings : tuple of Finding
        Nothing for what is not given; the cautions on uplift and walls stand elsewhere.

    References
    ----------
    ASCE 7 chapters 7, 26 and 30, as the loads name them.
    """
    return tuple(_wind(job, load) if load.kind == "wind" else _snow(job, load) for load in weather)


def _wind(job: Job, wind: WeatherLoad) -> Finding:
    """Say the pressure of the wind."""
    return Finding(
        code="totals.wind-pressure",
        grade="check",
        place="job",
        text=(
            f"The wind at roof height presses with {Spoken(job.units).load(wind.kpa)} ({wind.why}). Suction "
            f"on a flat roof is up to several times that at edges and corners, and no deck's weight answers "
            f"it by itself. {ENGINEER_DECIDES}"
        ),
        value=wind.kpa,
        unit="kPa",
        source=wind.source,
    )


def _snow(job: Job, snow: WeatherLoad) -> Finding:
    """Say the balanced snow load, and name what gathers snow beside it."""
    things = [wall.name or wall.id for wall in job.plan.feature_walls]
    things += [planter.name or planter.id for planter in job.plan.planters]
    beside = (
        f" Beside what is new here ({', '.join(things)}) snow gathers in drifts that can weigh more than "
        f"that again; they are in no figure."
        if things
        else ""
    )
    return Finding(
        code="totals.snow-load",
        grade="check",
        place="job",
        text=(
            f"The balanced roof snow load is {Spoken(job.units).load(snow.kpa)} ({snow.why}).{beside} "
            f"{ENGINEER_DECIDES}"
        ),
        value=snow.kpa,
        unit="kPa",
        source=snow.source,
    )
