"""The job file as one record: survey, plan and choices, whole."""

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from app.job.choices import Choices
from app.job.fields import Id, Text
from app.job.plan import Plan
from app.job.record import Record
from app.job.survey import Survey

SCHEMA_VERSION = 1


class Job(Record):
    """One commission, as the job file holds it."""

    schema_version: Literal[1]
    id: Id
    title: Annotated[str, StringConstraints(min_length=1, max_length=120)]
    units: Literal["imperial", "metric"] = "metric"
    currency: Annotated[str, StringConstraints(pattern=r"^[A-Z]{3}$")] = "USD"
    notes: Text = ""
    survey: Survey
    plan: Plan = Field(default_factory=Plan)
    choices: Choices = Field(default_factory=Choices)
