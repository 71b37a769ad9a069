"""From an instant to the day it is for the people of the firm, or at the site."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from app.job.job import Job


def day_of(now: datetime) -> date:
    """Give the day in the server's own time zone."""
    return now.astimezone().date()


def day_at(now: datetime, time_zone: str) -> date:
    """Give the day in a time zone; in the server's own when none is named."""
    return now.astimezone(ZoneInfo(time_zone)).date() if time_zone else day_of(now)


def zone_of(job: Job) -> str:
    """Give the time zone of a job's site, when the survey says where it lies."""
    return job.survey.place.time_zone if job.survey.place else ""
