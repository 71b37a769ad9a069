"""The whole seen from above and aside: a measured axonometric view that can be turned."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shapely import Polygon

from app.drawings.canvas import DASHED, HAIR_MM, MIDDLE_MM, NARROW_MM, SMALL_MM, Canvas, Pen, Spot
from app.drawings.frame import stick_corners
from app.drawings.hatches import define_hatches
from app.drawings.levels import level_of_fields
from app.drawings.sun import Sun, shadow_of
from app.drawings.things import box_corners
from app.job.job import Job
from app.takeoff.chain import Takeoff

# Seen along the diagonal of a cube, its three edges look alike: the isometric view.
ISOMETRIC_DEG = math.degrees(math.atan(1 / math.sqrt(2)))
_MARGIN_MM = 8.0  # on paper
_WALL_MM, _EDGE_MM = 75.0, 150.0


@dataclass(frozen=True, slots=True)
class Block:
    """An upright block: what stands on the roof, as far as the view shows it.

    Attributes
    ----------
    name : str
        What it is.
    kind : str
        ``planter``, ``bench``, ``counter``, ``furniture``, ``wall`` or ``edge``.
    footprint_mm : tuple of (float, float)
        Convex, anticlockwise. [mm]
    bottom_mm, top_mm : float
        Above datum. [mm]
    """

    name: str
    kind: str
    footprint_mm: tuple[Spot, ...]
    bottom_mm: float
    top_mm: float


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
    sheet = _Sheet(job, takeoff, eye, scale)
    sheet.ground()
    back = [block for block in edge_blocks(job, takeoff) if not _is_before_roof(block, job, eye)]
    front = [block for block in edge_blocks(job, takeoff) if _is_before_roof(block, job, eye)]
    for block in sorted(back, key=lambda block: -eye.away(_middle(block))):
        sheet.block(block)
    sheet.decks()
    if sun is not None:
        sheet.shadows((*blocks, *back, *front), sun)
    for block in in_order(blocks, eye):
        sheet.block(block)
    for block in front:  # what stands between the eye and the deck is drawn as if of glass
        sheet.block(block, is_glass=True)
    return sheet.canvas.svg()


def standing_blocks(job: Job, takeoff: Takeoff) -> tuple[Block, ...]:
    """Give every box, wall and piece of furniture as a block.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Holds the level of the decks.

    Returns
    -------
    blocks : tuple of Block
        In the order of the plan.

    References
    ----------
    Definition.
    """
    plan = job.plan
    tops = level_of_fields(job, takeoff)
    fields = [(Polygon(field.outline_mm), tops.get(field.id, 0.0)) for field in plan.deck_fields]

    def stands_at(ring: Sequence[Spot]) -> float:
        middle = Polygon(ring).centroid
        on = [top for field, top in fields if field.covers(middle)]
        return on[0] if on else takeoff.roof.height_mm(middle.x, middle.y)

    found: list[Block] = []
    kinds = (("planter", plan.planters), ("bench", plan.benches), ("counter", plan.counters))
    for kind, boxes in (*kinds, ("furniture", plan.furniture)):
        for box in boxes:
            ring = box_corners(box)
            base = stands_at(ring)
            found.append(Block(box.name or box.id, kind, ring, base, base + box.height_mm))
    for wall in plan.feature_walls:
        ring = _anticlockwise(stick_corners(wall.start_mm, wall.end_mm, _WALL_MM))
        base = stands_at(ring)
        found.append(Block(wall.name or wall.id, "wall", ring, base, base + wall.height_mm))
    return tuple(found)


def edge_blocks(job: Job, takeoff: Takeoff) -> tuple[Block, ...]:
    """Give the parapets, walls and guards round the roof as blocks outside its outline.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Holds the surface.

    Returns
    -------
    blocks : tuple of Block
        In the order of the edges; open edges have none.

    References
    ----------
    Definition.
    """
    ring = job.survey.outline_mm
    out = -1.0 if Polygon(ring).exterior.is_ccw else 1.0
    found: list[Block] = []
    for edge in job.survey.edges:
        if edge.height_mm <= 0:
            continue
        start, end = ring[edge.from_corner], ring[(edge.from_corner + 1) % len(ring)]
        long = math.dist(start, end) or 1.0
        thick = _EDGE_MM if edge.kind in ("parapet", "wall") else _EDGE_MM / 3
        nx, ny = (
            -(end[1] - start[1]) / long * out * thick,
            (end[0] - start[0]) / long * out * thick,
        )
        corners = (start, end, (end[0] + nx, end[1] + ny), (start[0] + nx, start[1] + ny))
        base = min(takeoff.roof.height_mm(*start), takeoff.roof.height_mm(*end))
        found.append(Block(edge.id, "edge", _anticlockwise(corners), base, base + edge.height_mm))
    return tuple(found)


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


def _anticlockwise(ring: Sequence[Spot]) -> tuple[Spot, ...]:
    return tuple(ring) if Polygon(ring).exterior.is_ccw else tuple(reversed(ring))


class _Sheet:
    """The drawing in the making: everything put through the eye."""

    def __init__(self, job: Job, takeoff: Takeoff, eye: Eye, scale: float) -> None:
        self.job, self.takeoff, self.eye = job, takeoff, eye
        tall = [*standing_blocks(job, takeoff), *edge_blocks(job, takeoff)]
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
            for start, end in _sides(_anticlockwise(field.outline_mm)):
                if self._faces_eye(start, end):
                    corners = [eye.flat(*start, top), eye.flat(*end, top)]
                    corners += [eye.flat(*end, height(*end)), eye.flat(*start, height(*start))]
                    canvas.polygon(corners, "deck-side", Pen(HAIR_MM, fill="paper"))
            canvas.polygon(
                [eye.flat(x, y, top) for x, y in field.outline_mm],
                "deck",
                Pen(NARROW_MM, fill="paper"),
                field.name or field.id,
            )
            for piece in self.takeoff.layout.pieces:
                if piece.plane == "plan" and piece.place == field.id:
                    ring = [eye.flat(x, y, top) for x, y in piece.outline_mm]
                    canvas.polygon(ring, piece.role, Pen(HAIR_MM / 2), f"board {piece.id}")

    def shadows(self, blocks: Iterable[Block], sun: Sun) -> None:
        """Shadows on the level a block stands on, as far as the roof goes."""
        canvas, eye = self.canvas, self.eye
        canvas.layer("shadows")
        roof = Polygon(self.job.survey.outline_mm)
        north = self.job.survey.north_deg
        tops = level_of_fields(self.job, self.takeoff).values()
        floor = max(tops, default=0.0)
        for block in blocks:
            tall = block.top_mm - (floor if block.kind == "edge" else block.bottom_mm)
            ring = shadow_of(block.footprint_mm, tall, sun, north) if tall > 0 else ()
            if not ring:
                continue
            level = floor if block.kind == "edge" else block.bottom_mm
            fallen = Polygon(ring).intersection(roof)
            for part in getattr(fallen, "geoms", (fallen,)):
                if part.geom_type == "Polygon" and not part.is_empty:
                    spots = [eye.flat(x, y, level) for x, y in part.exterior.coords]
                    canvas.polygon(spots, "shadow", Pen(0.0, fill="shade"), f"shadow of {block.name}")

    def block(self, block: Block, *, is_glass: bool = False) -> None:
        canvas, eye = self.canvas, self.eye
        canvas.layer(block.kind)
        fill = "none" if is_glass else "paper"
        pen = Pen(HAIR_MM, DASHED) if is_glass else Pen(NARROW_MM, fill=fill)
        for start, end in _sides(block.footprint_mm):
            if self._faces_eye(start, end):
                corners = [eye.flat(*start, block.bottom_mm), eye.flat(*end, block.bottom_mm)]
                corners += [eye.flat(*end, block.top_mm), eye.flat(*start, block.top_mm)]
                canvas.polygon(corners, "side", pen)
                if not is_glass and self._is_right(start, end):
                    canvas.polygon(corners, "side", Pen(0.0, fill="turned"))
        top = [eye.flat(x, y, block.top_mm) for x, y in block.footprint_mm]
        label = f"{block.kind} {block.name}, {block.top_mm - block.bottom_mm:.0f} mm high"
        canvas.polygon(
            top, block.kind, pen if is_glass else Pen(MIDDLE_MM, fill=_TOPS.get(block.kind, "paper")), label
        )
        if not is_glass and block.kind != "edge":
            x, y = _middle(block)
            at = eye.flat(x, y, block.top_mm)
            canvas.text((at[0], at[1] + canvas.paper_mm(1.6)), block.name, SMALL_MM * 0.8)

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
