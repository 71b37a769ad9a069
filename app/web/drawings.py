"""The drawings of a job as pages show them: SVG text, with ids of its own for each drawing on the page."""

import re
from collections import OrderedDict
from collections.abc import Callable
from functools import lru_cache
from threading import Lock
from typing import Any

from markupsafe import Markup

from app.actions.records import WorkedOut
from app.drawings.loads import loads_svg
from app.drawings.plan import plan_svg
from app.drawings.walls import wall_svgs

_ID = re.compile(r'(\bid="|url\(#|href="#|\baria-(?:labelledby|describedby)=")')
# The last drawings, each with the job and takeoff that it was drawn from: while those are kept beside it no
# other can have their place in memory. A large one is some hundred kilobytes.
_KEPT = 32
_drawings: OrderedDict[tuple[Any, int, int], tuple[object, object, str]] = OrderedDict()
_lock = Lock()


def drawn(draw: Callable[..., str], worked: WorkedOut) -> str:
    """A drawing of a job and its takeoff in its own units, from memory while both are the very same."""
    job, takeoff = worked.sheet.job, worked.answer.takeoff
    key = draw, id(job), id(takeoff)
    with _lock:
        if key in _drawings:
            _drawings.move_to_end(key)
            return _drawings[key][2]
    svg = draw(job, takeoff, job.units)
    with _lock:
        _drawings[key] = job, takeoff, svg
        while len(_drawings) > _KEPT:
            _drawings.popitem(last=False)
    return svg


def plan(worked: WorkedOut) -> Markup:
    """The plan with every piece."""
    return on_page(drawn(plan_svg, worked), "plan")


def walls(worked: WorkedOut) -> tuple[tuple[str, Markup], ...]:
    """Every wall and clad face unfolded, by its id."""
    job = worked.sheet.job
    return tuple(
        (wall, on_page(svg, f"wall{number}"))
        for number, (wall, svg) in enumerate(wall_svgs(job, worked.answer.takeoff, job.units))
    )


def loads(worked: WorkedOut) -> Markup:
    """The loads by place."""
    return on_page(drawn(loads_svg, worked), "loads")


@lru_cache(maxsize=32)
def on_page(svg: str, prefix: str) -> Markup:
    """An SVG fit to stand in a page: no prolog, and no id that another drawing has too.

    The text comes from our own drawings room, which escapes what people typed.
    """
    bare = svg[svg.index("<svg") :] if "<svg" in svg else ""
    return Markup(_ID.sub(rf"\g<1>{prefix}-", bare))  # noqa: S704 - made by the drawings room
