"""The whole seen from above and aside: a measured axonometric view that can be turned."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.drawings.blocks import Block, anticlockwise, edge_blocks, standing_blocks
from app.drawings.canvas import DASHED, HAIR_MM, MIDDLE_MM, NARROW_MM, SMALL_MM, Canvas, Pen, Spot
from app.drawings.hatches import define_hatches
from app.drawings.levels import level_of_fields
from app.drawings.shadows import deck_blocks, shadows_on
from app.drawings.sun import Sun
from app.job.job import Job
from app.job.shapes import area_within
from app.takeoff.chain import Takeoff

# Seen along the diagonal of a cube, its three edges look alike: the isometric view.
ISOMETRIC_DEG = math.degrees(math.atan(1 / math.sqrt(2)))
_MARGIN_MM = 8.0  # on paper


@dataclass(frozen=True, slots=True)
class Eye:
    """From where the roof is seen.

    Attributes
    ----------
    turn_deg : float
        How far the plan is turned anticlockwise before it is looked at from below the sheet. [deg]
    tilt_deg : float
        How far the eye stands above the horizon. [deg]
    """

    turn_deg: float = 45.0
    tilt_deg: float = ISOMETRIC_DEG

    def flat(self, x_mm: float, y_mm: float, z_mm: float) -> Spot:
        """Give where a spot of the roof lies on the drawing."""
        way = math.radians(self.turn_deg)
        across = x_mm * math.cos(way) - y_mm * math.sin(way)
        away = x_mm * math.sin(way) + y_mm * math.cos(way)
        tilt = math.radians(self.tilt_deg)
        return across, away * math.sin(tilt) + z_mm * math.cos(tilt)

    def away(self, spot: Spot) -> float:
        """Give how far a spot on plan lies from the eye, compared with others."""
        way = math.radians(self.turn_deg)
        return spot[0] * math.sin(way) + spot[1] * math.cos(way)


def isometric_svg(
    job: Job,
    takeoff: Takeoff,
    eye: Eye | None = None,
    scale: float = 50.0,
    sun: Sun | None = None,
) -> str:
    """Give the view of the whole as SVG: roof, boards at their level, boxes, walls, shadows.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its pieces are what is drawn.
    eye : Eye or None
        From where; None: the isometric view.
    scale : float
        Millimetres to one millimetre of paper, before the view shortens them.
    sun : Sun or None
        Shadows are drawn when it is up.

    Returns
    -------
    svg : str
        In the isometric view every length along an axis is shown at 0.816 of its own.

    References
    ----------
    Isometric projection, ISO 5456-3; definition.
    """
    eye = eye or Eye()
    blocks = standing_blocks(job, takeoff)
    sheet = _Sheet(job, takeoff, eye, scale, sun)
    sheet.ground()
    back = [block for block in edge_blocks(job, takeoff) if not _is_before_roof(block, job, eye)]
    front = [block for block in edge_blocks(job, takeoff) if _is_before_roof(block, job, eye)]
    for block in sorted(back, key=lambda block: -eye.away(_middle(block))):
        sheet.block(block)
    sheet.decks()
    for block in in_order(blocks, eye):
        sheet.block(block)
    for block in front:  # what stands between the eye and the deck is drawn as if of glass
        sheet.block(block, is_glass=True)
    return sheet.canvas.svg()


def in_order(blocks: Sequence[Block], eye: Eye) -> tuple[Block, ...]:
    """Give blocks from the farthest to the nearest, so that each is drawn over what it hides.

    Parameters
    ----------
    blocks : sequence of Block
        With convex footprints that do not overlap.
    eye : Eye
        From where they are seen.

    Returns
    -------
    blocks : tuple of Block
        The same blocks.

    Notes
    -----
    Two convex footprints apart are parted by a line along a side of one of them; the block on the eye's
    side of that line is the nearer. The order is read off these pairs; where footprints overlap, the
    middles decide.

    References
    ----------
    Painter's algorithm with separating lines; definition.
    """
    left = sorted(blocks, key=lambda block: -eye.away(_middle(block)))
    behind = {
        (at, other)
        for at, one in enumerate(left)
        for other, two in enumerate(left)
        if at != other and _is_behind(one, two, eye)
    }
    order: list[Block] = []
    waiting = list(range(len(left)))
    while waiting:
        free = next(
            (at for at in waiting if not any((other, at) in behind for other in waiting if other != at)),
            waiting[0],
        )
        waiting.remove(free)
        order.append(left[free])
    return tuple(order)


def _is_behind(one: Block, two: Block, eye: Eye) -> bool:
    """Tell whether a line parts the two with the first on the far side."""
    way = math.radians(eye.turn_deg)
    toward = (-math.sin(way), -math.cos(way))  # from the roof to the eye, on plan
    for block, other, is_first in ((one, two, True), (two, one, False)):
        for start, end in zip(
            block.footprint_mm, (*block.footprint_mm[1:], block.footprint_mm[0]), strict=True
        ):
            out = (end[1] - start[1], -(end[0] - start[0]))  # outward of an anticlockwise ring
            off = [(x - start[0]) * out[0] + (y - start[1]) * out[1] for x, y in other.footprint_mm]
            if min(off) < -1e-6:
                continue
            facing = out[0] * toward[0] + out[1] * toward[1]
            if abs(facing) > 1e-9 and (facing > 0) == is_first:
                return True
            if abs(facing) > 1e-9:
                return False
    return False


def _is_before_roof(block: Block, job: Job, eye: Eye) -> bool:
    """Tell whether an edge stands between the eye and the roof: its outer side faces the eye."""
    ring = Polygon(block.footprint_mm)
    roof = Polygon(job.survey.outline_mm)
    middle = ring.centroid
    way = math.radians(eye.turn_deg)
    toward_roof = roof.intersection(ring.buffer(20)).centroid
    inward = (toward_roof.x - middle.x, toward_roof.y - middle.y)
    return bool(inward[0] * math.sin(way) + inward[1] * math.cos(way) > 0)


def _middle(block: Block) -> Spot:
    middle = Polygon(block.footprint_mm).centroid
    return middle.x, middle.y


def _flat(level_mm: float, _spot: Spot) -> float:
    """Give the level of a deck, the same all over."""
    return level_mm


class _Sheet:
    """The drawing in the making: everything put through the eye."""

    def __init__(self, job: Job, takeoff: Takeoff, eye: Eye, scale: float, sun: Sun | None) -> None:
        self.job, self.takeoff, self.eye, self.sun = job, takeoff, eye, sun
        self.decked = deck_blocks(job, takeoff)
        tall = self.tall = [*standing_blocks(job, takeoff), *edge_blocks(job, takeoff)]
        spots = [eye.flat(x, y, takeoff.roof.height_mm(x, y)) for x, y in job.survey.outline_mm]
        spots += [eye.flat(x, y, z) for b in tall for x, y in b.footprint_mm for z in (b.bottom_mm, b.top_mm)]
        margin = _MARGIN_MM * scale
        xs, ys = [x for x, _ in spots], [y for _, y in spots]
        box = (min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin)
        self.canvas = Canvas(box, scale, f"View of {job.title}")
        define_hatches(self.canvas)

    def ground(self) -> None:
        self.canvas.layer("roof")
        height = self.takeoff.roof.height_mm
        survey = self.job.survey
        rings = [
            [self.eye.flat(x, y, height(x, y)) for x, y in ring]
            for ring in (survey.outline_mm, *survey.holes_mm)
        ]
        self.canvas.shape(rings, "roof", Pen(MIDDLE_MM, fill="paper"), "roof")
        roof = area_within(survey.outline_mm, survey.holes_mm)
        self.shadows(lambda spot: height(*spot), roof, (*self.tall, *self.decked))

    def decks(self) -> None:
        canvas, eye = self.canvas, self.eye
        height = self.takeoff.roof.height_mm
        canvas.layer("beds")
        for bed in self.takeoff.layout.beds:
            ring = [eye.flat(x, y, height(x, y)) for x, y in bed.outline_mm]
            canvas.polygon(ring, "bed", Pen(NARROW_MM, fill="stone"), f"stone bed {bed.bed}")
        canvas.layer("boards")
        tops = level_of_fields(self.job, self.takeoff)
        for field in sorted(self.job.plan.deck_fields, key=lambda field: tops.get(field.id, 0.0)):
            top = tops.get(field.id, 0.0)
            for start, end in _sides(anticlockwise(field.outline_mm)):
                if self._faces_eye(start, end):
                    corners = [eye.flat(*start, top), eye.flat(*end, top)]
                    corners += [eye.flat(*end, height(*end)), eye.flat(*start, height(*start))]
                    canvas.polygon(corners, "deck-side", Pen(HAIR_MM, fill="paper"))
            rings = [[eye.flat(x, y, top) for x, y in r] for r in (field.outline_mm, *field.holes_mm)]
            canvas.shape(rings, "deck", Pen(NARROW_MM, fill="paper"), field.name or field.id)
            for piece in self.takeoff.layout.pieces:
                if piece.plane == "plan" and piece.place == field.id:
                    ring = [eye.flat(x, y, top) for x, y in piece.outline_mm]
                    canvas.polygon(ring, piece.role, Pen(HAIR_MM / 2), f"board {piece.id}")
            self.shadows(partial(_flat, top), area_within(field.outline_mm, field.holes_mm), self.higher(top))
            canvas.layer("boards")

    def higher(self, top_mm: float) -> tuple[Block, ...]:
        """Give what reaches above a level: of decks only those whose boards lie higher."""
        return tuple(block for block in (*self.tall, *self.decked) if block.top_mm > top_mm + 1.0)

    def shadows(self, level: Callable[[Spot], float], ground: BaseGeometry, casters: Sequence[Block]) -> None:
        """Shadows on one level, as far as it goes; overlapping ones are one."""
        if self.sun is None:
            return
        canvas, eye = self.canvas, self.eye
        canvas.layer("shadows")
        fallen = shadows_on(level, ground, casters, self.sun, self.job.survey.north_deg)
        for part in getattr(fallen, "geoms", (fallen,)):
            if part.geom_type == "Polygon" and not part.is_empty:
                rings = [part.exterior, *part.interiors]
                spots = [[eye.flat(x, y, level((x, y))) for x, y in ring.coords] for ring in rings]
                canvas.shape(spots, "shadow", Pen(0.0, fill="shade"), "shadow")

    def block(self, block: Block, *, is_glass: bool = False) -> None:
        canvas, eye = self.canvas, self.eye
        canvas.layer(block.kind)
        fill = "none" if is_glass else "paper"
        pen = Pen(HAIR_MM, DASHED) if is_glass else Pen(NARROW_MM, fill=fill)
        for start, end in _sides(block.footprint_mm):
            if self._faces_eye(start, end):
                corners = [eye.flat(*start, block.bottom_mm), eye.flat(*end, block.bottom_mm)]
                corners += [eye.flat(*end, block.top_mm), eye.flat(*start, block.top_mm)]
                through, niches = self._openings(block, start, end)
                canvas.shape([corners, *through], "side", pen)
                if not is_glass and self._is_right(start, end):
                    canvas.shape([corners, *through], "side", Pen(0.0, fill="turned"))
                for ring in niches:
                    canvas.polygon(ring, "niche", Pen(NARROW_MM, fill="shade"))
        top = [eye.flat(x, y, block.top_mm) for x, y in block.footprint_mm]
        label = f"{block.kind} {block.name}, {block.top_mm - block.bottom_mm:.0f} mm high"
        canvas.polygon(
            top, block.kind, pen if is_glass else Pen(MIDDLE_MM, fill=_TOPS.get(block.kind, "paper")), label
        )
        if not is_glass and block.kind != "edge":
            x, y = _middle(block)
            at = eye.flat(x, y, block.top_mm)
            canvas.text((at[0], at[1] + canvas.paper_mm(1.6)), block.name, SMALL_MM * 0.8)

    def _openings(self, block: Block, start: Spot, end: Spot) -> tuple[list[list[Spot]], list[list[Spot]]]:
        """Give what lies open in one side of a block, and its niches: those are seen from the front alone."""
        wall = block.pierced
        way = (end[0] - start[0], end[1] - start[1])
        if wall is None or abs(way[0] * wall.along[1] - way[1] * wall.along[0]) > 1.0:
            return [], []
        is_front = abs(
            (start[0] - wall.start_mm[0]) * wall.back_mm[0] + (start[1] - wall.start_mm[1]) * wall.back_mm[1]
        ) < abs(wall.thick_mm)
        rings: tuple[list[list[Spot]], list[list[Spot]]] = ([], [])
        for hole in wall.holes:
            low, high = max(hole.bottom_mm, block.bottom_mm), min(hole.top_mm, block.top_mm)
            left, right = max(hole.left_mm, 0.0), min(hole.right_mm, wall.length_mm)
            if low >= high or left >= right or (hole.depth_mm is not None and not is_front):
                continue
            deep = 0.0 if is_front else wall.thick_mm
            at = ((left, low), (right, low), (right, high), (left, high))
            rings[hole.depth_mm is not None].append([self.eye.flat(*wall.place(s, deep, z)) for s, z in at])
        return rings

    def _faces_eye(self, start: Spot, end: Spot) -> bool:
        way = math.radians(self.eye.turn_deg)
        out = (end[1] - start[1], -(end[0] - start[0]))
        return out[0] * math.sin(way) + out[1] * math.cos(way) < -1e-9

    def _is_right(self, start: Spot, end: Spot) -> bool:
        """Tell a side that looks to the right of the drawing: it is shaded, so that corners show."""
        way = math.radians(self.eye.turn_deg)
        out = (end[1] - start[1], -(end[0] - start[0]))
        return out[0] * math.cos(way) - out[1] * math.sin(way) > 1e-9


_TOPS = {"planter": "soil", "bench": "paper", "counter": "top"}


def _sides(ring: Sequence[Spot]) -> Iterable[tuple[Spot, Spot]]:
    return zip(ring, (*ring[1:], ring[0]), strict=True)
