"""A job taken as far as its frame, and ways to look at it."""

import math
from dataclasses import dataclass

from shapely import LineString, Polygon

from app.job.job import Job
from app.takeoff.framing.frame import frame
from app.takeoff.framing.records import Framing, Stick
from app.takeoff.layout.lay_out import lay_out
from app.takeoff.layout.records import Layout
from app.takeoff.roof.read_roof import read_roof
from app.takeoff.roof.records import RoofReading

UNDER_DECK = ("sleeper", "breaker sleeper", "rim", "trimmer", "blocking")


@dataclass(frozen=True)
class Framed:
    job: Job
    roof: RoofReading
    layout: Layout
    framing: Framing

    @property
    def sticks(self) -> tuple[Stick, ...]:
        return tuple(stick for stick in self.framing.sticks if stick.role in UNDER_DECK)

    def body(self, stick: Stick) -> Polygon:
        section = next(one for one in self.job.choices.sections if one.id == stick.section)
        line = LineString([stick.start_mm, stick.end_mm])
        return line.buffer(section.width_mm / 2, cap_style="flat")

    def codes(self, grade: str | None = None) -> set[str]:
        return {found.code for found in self.framing.findings if grade in (None, found.grade)}


def framed(job: Job) -> Framed:
    roof = read_roof(job)
    layout = lay_out(job, roof)
    return Framed(job, roof, layout, frame(job, roof, layout))


def turned(point: tuple[float, float], angle_deg: float) -> tuple[float, float]:
    cosine, sine = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return point[0] * cosine - point[1] * sine, point[0] * sine + point[1] * cosine


def turn_job(job: Job, angle_deg: float) -> Job:
    """The same roof and deck, turned about the origin."""

    def ring(corners):
        return tuple(turned(corner, angle_deg) for corner in corners)

    def place(thing):
        x, y = turned((thing.x_mm, thing.y_mm), angle_deg)
        return thing.model_copy(update={"x_mm": x, "y_mm": y})

    survey = job.survey.model_copy(
        update={
            "outline_mm": ring(job.survey.outline_mm),
            "spot_heights": tuple(place(spot) for spot in job.survey.spot_heights),
            "drains": tuple(place(drain) for drain in job.survey.drains),
            "penetrations": tuple(place(thing) for thing in job.survey.penetrations),
            "doors": tuple(place(door) for door in job.survey.doors),
        }
    )
    fields = tuple(
        field.model_copy(
            update={
                "outline_mm": ring(field.outline_mm),
                "holes_mm": tuple(ring(hole) for hole in field.holes_mm),
                "angle_deg": field.angle_deg + angle_deg,
            }
        )
        for field in job.plan.deck_fields
    )
    return job.model_copy(
        update={"survey": survey, "plan": job.plan.model_copy(update={"deck_fields": fields})}
    )
