"""Small sites for rough-in tests: a free area without a job, ends, legs and empty rooms."""

from collections.abc import Sequence
from typing import Any

from app.job import choices as c
from app.job import plan as p
from app.job import survey as s
from app.job.job import Job
from app.takeoff.framing.records import Framing, PadSpot, Stick
from app.takeoff.layout.records import FieldLayout, Layout
from app.takeoff.roughin.cables import Hidden
from app.takeoff.roughin.ends import End
from app.takeoff.roughin.legs import Leg
from app.takeoff.roughin.obstacles import FreeArea, free_area
from app.takeoff.roughin.trench import stick_lines
from tests import builders as b


def free(outline: tuple[tuple[float, float], ...], angle_deg: float = 0.0, **survey: Any) -> FreeArea:
    """The free area of a roof with nothing on it but what is given."""
    return free_area(b.a_survey(outline_mm=outline, edges=(), **({"drains": ()} | survey)), angle_deg)


def square(size: float) -> tuple[tuple[float, float], ...]:
    """A square roof from the origin."""
    return ((0, 0), (size, 0), (size, size), (0, size))


def end(name: str, x: float, y: float, rise: float = 0.0) -> End:
    """An end in turned axes."""
    return End(id=name, turned_mm=(x, y), rise_mm=rise, plan_mm=(x, y))


def leg(start: str, stop: str, length: float) -> Leg:
    """A straight leg of some length."""
    path = ((0.0, 0.0), (length, 0.0))
    return Leg(start, stop, path, path, level_mm=length, drop_mm=0.0)


def site(*cables: c.Cable, slack: float = 0.0, sticks: tuple[Stick, ...] = ()) -> Hidden:
    """What circuits know of a site."""
    return Hidden(slack_mm=slack, stick_lines_mm=stick_lines(sticks), cables=cables)


def cable(size: Any, use: Any = "lighting", **changes: Any) -> c.Cable:
    """A cable named by its size."""
    name = size.replace(" ", "-")
    return c.Cable(**({"id": name, "item": name, "name": size, "use": use, "size": size} | changes))


def layout_of(*angles: float) -> Layout:
    """A layout of bare fields, each smaller than the one before."""
    fields = tuple(
        FieldLayout(f"D{n}", angle, (), (), (), 0, 0, 0, 10.0 - n, 0, 0) for n, angle in enumerate(angles)
    )
    return Layout((), fields, (), (), (), (), ())


def framing_of(*sticks: Stick, pads: tuple[PadSpot, ...] = ()) -> Framing:
    """A framing of sticks, and of pads when they are given."""
    return Framing(sticks, pads, (), (), (), (), (), (), ())


def pads_under(sticks: Sequence[Stick], every_mm: float) -> tuple[PadSpot, ...]:
    """Pads of the builders' choices under sticks that run up the plan."""
    (pad, *_) = b.choices().pads
    return tuple(
        PadSpot(
            f"{s.id}-P{n}",
            "deck",
            s.id,
            pad.id,
            s.start_mm[0],
            s.start_mm[1] + (n + 0.5) * every_mm,
            0,
            50,
            0,
        )
        for s in sticks
        for n in range(int(s.length_mm // every_mm))
    )


def a_fixture(name: str, x: float = 0, y: float = 0, **changes: Any) -> p.Fixture:
    """A 5 W step light on circuit L1."""
    fields: dict[str, Any] = {"id": name, "kind": "step", "circuit": "L1", "x_mm": x, "y_mm": y, "power_w": 5}
    return p.Fixture(**(fields | {"least_v": 10.8, "greatest_v": 15} | changes))


def a_lit_job(
    *fixtures: p.Fixture,
    survey: dict[str, Any] | None = None,
    circuit: dict[str, Any] | None = None,
    **plan: Any,
) -> Job:
    """A job with one transformer near the panel and one lighting circuit."""
    parts: dict[str, Any] = {
        "transformers": (p.Transformer(id="T1", x_mm=5000, y_mm=3900, output_v=12, fed_from="panel"),),
        "circuits": (p.Circuit(**({"id": "L1", "kind": "lighting", "source": "T1"} | (circuit or {}))),),
        "fixtures": fixtures,
    }
    ways = (s.PowerPoint(id="panel", x_mm=5500, y_mm=4000, z_mm=1200, supply_v=120, spare_ways=4),)
    return b.a_job(
        survey=b.a_survey(**({"power_points": ways} | (survey or {}))), plan=b.a_plan(**(parts | plan))
    )
