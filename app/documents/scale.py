"""Which scale a drawing is printed at, so that it fits the frame."""

import re

from app.job.job import Job

# ISO 5455 reduction scales and the two in-between steps that rooftop sheets need.
SCALES = (20.0, 25.0, 50.0, 75.0, 100.0, 150.0, 200.0, 500.0, 1000.0)
_SIZE = re.compile(r'width="([\d.]+)mm" height="([\d.]+)mm"')


def scale_that_fits(job: Job, wide_mm: float, high_mm: float, margin_mm: float) -> float:
    """Give the largest drawing scale at which the roof and its margins fit the frame."""
    xs = [x for x, _ in job.survey.outline_mm]
    ys = [y for _, y in job.survey.outline_mm]
    return largest_scale(
        max(xs) - min(xs), max(ys) - min(ys), wide_mm - 2 * margin_mm, high_mm - 2 * margin_mm
    )


def largest_scale(width_mm: float, height_mm: float, wide_mm: float, high_mm: float) -> float:
    """Give the first scale of the list at which a size fits a room on paper; the last when none does."""
    fits = (s for s in SCALES if width_mm / s <= wide_mm and height_mm / s <= high_mm)
    return next(fits, SCALES[-1])


def size_mm(svg: str) -> tuple[float, float]:
    """Give the printed width and height that a drawing states. [mm]"""
    found = _SIZE.search(svg)
    assert found is not None, "every drawing states its size in mm"
    return float(found.group(1)), float(found.group(2))
