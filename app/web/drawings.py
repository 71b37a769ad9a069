"""The drawings of a job as pages show them: SVG text, with ids of its own for each drawing on the page."""

import re
from functools import lru_cache

from markupsafe import Markup

from app.actions.records import WorkedOut
from app.drawings.loads import loads_svg
from app.drawings.plan import plan_svg
from app.drawings.walls import wall_svgs

_ID = re.compile(r'(\bid="|url\(#|href="#|\baria-(?:labelledby|describedby)=")')


def plan(worked: WorkedOut) -> Markup:
    """The plan with every piece."""
    job = worked.sheet.job
    return on_page(plan_svg(job, worked.answer.takeoff, job.units), "plan")


def walls(worked: WorkedOut) -> tuple[tuple[str, Markup], ...]:
    """Every wall and clad face unfolded, by its id."""
    job = worked.sheet.job
    return tuple(
        (wall, on_page(svg, f"wall{number}"))
        for number, (wall, svg) in enumerate(wall_svgs(job, worked.answer.takeoff, job.units))
    )


def loads(worked: WorkedOut) -> Markup:
    """The loads by place."""
    job = worked.sheet.job
    return on_page(loads_svg(job, worked.answer.takeoff, job.units), "loads")


@lru_cache(maxsize=32)
def on_page(svg: str, prefix: str) -> Markup:
    """An SVG fit to stand in a page: no prolog, and no id that another drawing has too.

    The text comes from our own drawings room, which escapes what people typed.
    """
    bare = svg[svg.index("<svg") :] if "<svg" in svg else ""
    return Markup(_ID.sub(rf"\g<1>{prefix}-", bare))  # noqa: S704 - made by the drawings room
