"""Stone beds: area, stone, edging and the fabric beneath."""

import shapely

from app.job.plan import StoneBed
from app.takeoff.layout.outlines import open_ring
from app.takeoff.layout.records import BedLayout

# Fabric is turned up all round, 6 in. Common practice, no source.
TURN_UP_MM = 150.0


def bed_polygon(bed: StoneBed) -> shapely.Polygon:
    """Give a stone bed as drawn.

    Parameters
    ----------
    bed : StoneBed
        Its outline.

    Returns
    -------
    polygon : shapely.Polygon
        On plan. [mm]

    References
    ----------
    Definition.
    """
    return shapely.Polygon(bed.outline_mm)


def lay_bed(bed: StoneBed) -> BedLayout:
    """Measure a stone bed.

    Parameters
    ----------
    bed : StoneBed
        Outline, depth, and whether it has an edge.

    Returns
    -------
    layout : BedLayout
        Fabric is the area and a turn-up of 150 mm all round.

    Examples
    --------
    >>> square = ((0, 0), (2000, 0), (2000, 1000), (0, 1000))
    >>> lay_bed(StoneBed(id="S1", outline_mm=square, depth_mm=60, stone="gravel")).fabric_m2
    2.9

    References
    ----------
    Definition; the turn-up is common practice, no source.
    """
    polygon = bed_polygon(bed)
    area_m2, round_mm = float(polygon.area) / 1e6, float(polygon.exterior.length)
    return BedLayout(
        bed=bed.id,
        outline_mm=open_ring(shapely.get_coordinates(polygon.exterior)),
        area_m2=area_m2,
        volume_m3=area_m2 * bed.depth_mm / 1e3,
        edge_mm=round_mm if bed.has_edge else 0.0,
        fabric_m2=area_m2 + round_mm * TURN_UP_MM / 1e6,
    )
