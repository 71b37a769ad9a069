"""From an instant to the day it is for the people of the firm."""

from datetime import date, datetime


def day_of(now: datetime) -> date:
    """Give the day in the server's own time zone."""
    return now.astimezone().date()
