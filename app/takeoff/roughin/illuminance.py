"""Illuminance point by point: what lamps bring to a spot of the deck or of a wall."""

from collections.abc import Sequence

import numpy as np

from app.job.job import Job
from app.takeoff.roughin.beams import Floats, Lamp, intensity_cd
from app.takeoff.roughin.screens import Screens, is_hidden, own_boxes

NEAREST_M = 0.05  # a spot nearer to a lamp counts as this far; closer the point method does not hold
UP = (0.0, 0.0, 1.0)


def illuminance_lx(lamp: Lamp, points_mm: Floats, normal: Sequence[float]) -> Floats:
    """Give what one lamp brings to some points with nothing in the way.

    Parameters
    ----------
    lamp : Lamp
        In its place.
    points_mm : array
        One row (x, y, z) each. [mm]
    normal : sequence of float
        Unit vector out of the lit face.

    Returns
    -------
    illuminance_lx : array
        [lx]

    Notes
    -----
    E = I(θ) cos β / d²: intensity toward the point, β between the ray and the normal of the face. Holds
    from about five times the size of the lamp; nothing is counted of light thrown back by surfaces.

    References
    ----------
    Inverse-square law and cosine law; the same as E = I h / (h² + x²)^1.5 straight down on a deck.
    """
    away = points_mm - np.array(lamp.spot_mm)
    distance = np.linalg.norm(away, axis=1)
    toward = away / np.maximum(distance, 1e-9)[:, None]
    cosine = np.clip(-(toward @ np.array(normal)), 0.0, 1.0)
    metres = np.maximum(distance / 1000, NEAREST_M)
    found: Floats = intensity_cd(lamp, toward) * cosine / metres**2
    return found


def lit_lx(
    job: Job, lamps: Sequence[Lamp], screens: Screens, points_mm: Floats, normal: Sequence[float]
) -> Floats:
    """Give what all lamps bring to some points, shadows taken out.

    Parameters
    ----------
    job : Job
        Tells which box a lamp is built into.
    lamps : sequence of Lamp
        All of the plan.
    screens : Screens
        What stands in the way.
    points_mm : array
        One row (x, y, z) each. [mm]
    normal : sequence of float
        Unit vector out of the lit face.

    Returns
    -------
    lit_lx : array
        [lx]

    References
    ----------
    Sum of `illuminance_lx` over the lamps.
    """
    total = np.zeros(len(points_mm))
    for lamp in lamps:
        alone = illuminance_lx(lamp, points_mm, normal)
        seen = np.flatnonzero(alone > 1e-3)
        if len(seen):
            others = screens.without(own_boxes(job, lamp.spot_mm))
            total[seen] += np.where(is_hidden(others, lamp.spot_mm, points_mm[seen]), 0.0, alone[seen])
    return total
