"""What stands on the roof, as shapes on plan."""

import math

import shapely

from app.job.plan import Box, DeckField


def field_polygon(field: DeckField) -> shapely.Polygon:
    """Give a deck field as drawn.

    Parameters
    ----------
    field : DeckField
        Outline and holes.

    Returns
    -------
    polygon : shapely.Polygon
        In job coordinates. [mm]

    References
    ----------
    Definition.
    """
    return shapely.Polygon(field.outline_mm, field.holes_mm)


def box_ring(box: Box) -> tuple[tuple[float, float], ...]:
    """Give the footprint of a box on plan.

    Parameters
    ----------
    box : Box
        Placed by its centre, turned by its angle.

    Returns
    -------
    ring : tuple of corner
        Four corners, anticlockwise, from its own lower left. [mm]

    Examples
    --------
    >>> box_ring(Box(id="b", x_mm=0, y_mm=0, length_mm=2000, width_mm=1000, height_mm=450))
    ((-1000.0, -500.0), (1000.0, -500.0), (1000.0, 500.0), (-1000.0, 500.0))

    References
    ----------
    Definition.
    """
    half_l, half_w = box.length_mm / 2.0, box.width_mm / 2.0
    cos, sin = math.cos(math.radians(box.angle_deg)), math.sin(math.radians(box.angle_deg))
    own = ((-half_l, -half_w), (half_l, -half_w), (half_l, half_w), (-half_l, half_w))
    return tuple((box.x_mm + x * cos - y * sin, box.y_mm + x * sin + y * cos) for x, y in own)
