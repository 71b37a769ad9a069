"""A drawing that is kept is that of the very job and takeoff it is asked for."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any, cast

from app.actions.records import WorkedOut
from app.drawings.frame import frame_svg
from app.drawings.plan import plan_svg
from app.job.file import read_job
from app.takeoff.chain import take_off
from app.web import drawings
from tests import demo


def worked_out(change_mm: float = 0.0) -> WorkedOut:
    document = demo.document()
    document["plan"]["furniture"][0]["x"] += change_mm
    job = read_job(document)
    answer = SimpleNamespace(takeoff=take_off(job, {}))
    return cast("WorkedOut", SimpleNamespace(sheet=SimpleNamespace(job=job), answer=answer))


def test_each_kind_of_drawing_of_each_job_is_its_own_and_drawn_once() -> None:
    first, second = worked_out(), worked_out(100.0)
    for worked in (first, second, first):
        job: Any = worked.sheet.job
        for draw in (plan_svg, frame_svg):
            assert drawings.drawn(draw, worked) == draw(job, worked.answer.takeoff, job.units)
            assert drawings.drawn(draw, worked) is drawings.drawn(draw, worked)
    assert drawings.drawn(plan_svg, first) != drawings.drawn(plan_svg, second)


def test_a_takeoff_of_its_own_is_drawn_anew() -> None:
    calls = []

    def draw(_job: object, takeoff: object, _units: str) -> str:
        calls.append(takeoff)
        return str(len(calls))

    worked = worked_out()
    other = cast(
        "WorkedOut",
        SimpleNamespace(sheet=worked.sheet, answer=SimpleNamespace(takeoff=replace(worked.answer.takeoff))),
    )
    assert [drawings.drawn(draw, one) for one in (worked, worked, other, worked)] == ["1", "1", "2", "1"]


def test_what_is_kept_does_not_grow_without_end() -> None:
    worked = worked_out()
    for _ in range(100):
        drawings.drawn(lambda *_: "", worked)
    assert len(drawings._drawings) <= 32
