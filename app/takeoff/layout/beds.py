"""Stone beds: area, stone, edging and the fabric beneath."""

import math

import shapely

from app.job.choices import Stone
from app.job.plan import Amplifier, Fixture, GasStub, Outlet, Plan, Speaker, StoneBed, Transformer
from app.takeoff.layout.box_mass import KPA_PER_KG_M2
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


def lay_bed(bed: StoneBed, stone: Stone | None = None, boxes_inside: tuple[str, ...] = ()) -> BedLayout:
    """Measure a stone bed.

    Parameters
    ----------
    bed : StoneBed
        Outline, depth, and whether it has an edge.
    stone : Stone or None
        Its densities and the bag it comes in; without it nothing is weighed.
    boxes_inside : tuple of str
        Devices that stand in it.

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
    volume_m3 = area_m2 * bed.depth_mm / 1e3
    dry_kg = volume_m3 * stone.dry_kg_m3 if stone else 0.0
    wet_kg = volume_m3 * stone.wet_kg_m3 if stone else 0.0
    return BedLayout(
        bed=bed.id,
        outline_mm=open_ring(shapely.get_coordinates(polygon.exterior)),
        area_m2=area_m2,
        volume_m3=volume_m3,
        edge_mm=round_mm if bed.has_edge else 0.0,
        fabric_m2=area_m2 + round_mm * TURN_UP_MM / 1e6,
        dry_kg=dry_kg,
        wet_kg=wet_kg,
        bags=math.ceil(dry_kg / stone.bag_kg - 1e-9) if stone and stone.bag_kg else 0,
        wet_kpa=wet_kg / area_m2 * KPA_PER_KG_M2,
        boxes_inside=boxes_inside,
    )


def devices_in(bed: StoneBed, plan: Plan) -> tuple[str, ...]:
    """Give the devices whose boxes lie in a stone bed.

    Parameters
    ----------
    bed : StoneBed
        Its outline.
    plan : Plan
        Lights, outlets, speakers, transformers, amplifiers and gas stubs.

    Returns
    -------
    devices : tuple of str
        Their ids, in that order.

    References
    ----------
    Definition.
    """
    shape = bed_polygon(bed)
    things: tuple[Fixture | Outlet | Speaker | Transformer | Amplifier | GasStub, ...] = (
        *plan.fixtures,
        *plan.outlets,
        *plan.speakers,
        *plan.transformers,
        *plan.amplifiers,
        *plan.gas_stubs,
    )
    return tuple(thing.id for thing in things if shapely.intersects_xy(shape, thing.x_mm, thing.y_mm))
