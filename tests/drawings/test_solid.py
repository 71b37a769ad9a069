"""The whole in space keeps every area and every height of the engine."""

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
from shapely import Polygon

from app.drawings.blocks import edge_blocks, standing_blocks
from app.drawings.levels import level_of_fields
from app.drawings.pierced import Hole, Pierced, Place, pierced_faces
from app.drawings.solid import SolidPart, solid_parts
from tests import demo

JOB, TAKEOFF = demo.demo_job(), demo.answer().takeoff
PARTS = solid_parts(JOB, TAKEOFF)


def triangles(part: SolidPart) -> list[tuple[Place, Place, Place]]:
    corners = part.triangles_mm
    return list(zip(corners[::3], corners[1::3], corners[2::3], strict=True))


def flat_area(spots: Sequence[Place]) -> float:
    """Area on plan; anticlockwise positive."""
    (ax, ay, _), (bx, by, _), (cx, cy, _) = spots
    return ((bx - ax) * (cy - ay) - (cx - ax) * (by - ay)) / 2


def volume(faces: Sequence[tuple[Place, Place, Place]]) -> float:
    """Volume of a closed surface: the sum of signed tetrahedra over its faces, those seen from outside."""
    signed = 0.0
    for a, b, c in faces:
        cross = (b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0])
        signed += math.fsum(one * other for one, other in zip(a, cross, strict=True)) / 6
    return signed


def part_of(kind: str) -> list[SolidPart]:
    return [part for part in PARTS if part.kind == kind]


def test_the_roof_covers_its_outline_and_lies_at_its_heights() -> None:
    (roof,) = part_of("roof")
    wanted = Polygon(JOB.survey.outline_mm, JOB.survey.holes_mm).area
    areas = [flat_area(spots) for spots in triangles(roof)]
    assert all(area > 0 for area in areas)  # seen from above
    assert sum(areas) == pytest.approx(wanted)
    for x, y, z in roof.triangles_mm:
        assert z == pytest.approx(TAKEOFF.roof.height_mm(x, y))


def test_each_deck_has_its_area_at_its_level_and_every_board_on_it() -> None:
    tops = level_of_fields(JOB, TAKEOFF)
    for field, deck in zip(JOB.plan.deck_fields, part_of("deck"), strict=True):
        level = [spots for spots in triangles(deck) if all(z == tops[field.id] for _, _, z in spots)]
        area = sum(flat_area(spots) for spots in level)
        assert area == pytest.approx(Polygon(field.outline_mm, field.holes_mm).area)
        boards = [p for p in TAKEOFF.layout.pieces if p.plane == "plan" and p.place == field.id]
        ends = {(round(x, 3), round(y, 3)) for x, y, _ in deck.lines_mm}
        assert {(round(x, 3), round(y, 3)) for board in boards for x, y in board.outline_mm} <= ends


def test_each_block_encloses_its_volume() -> None:
    """Source: volume of a closed surface as the sum of signed tetrahedra over its faces; the open foot adds
    its area times its height."""
    blocks = (*standing_blocks(JOB, TAKEOFF), *edge_blocks(JOB, TAKEOFF))
    solid = [part for part in PARTS if part.kind not in ("roof", "deck", "bed")]
    for block, part in zip(blocks, solid, strict=True):
        if block.pierced:  # closed at its foot too, and looked at below
            continue
        signed = volume(triangles(part))
        area = Polygon(block.footprint_mm).area
        whole = signed - block.bottom_mm * area / 3
        assert whole == pytest.approx(area * (block.top_mm - block.bottom_mm), rel=1e-6), block.name


ALONG = {"east": (1.0, 0.0), "north": (0.0, 1.0), "slanted": (0.6, 0.8)}
DOOR = Hole(2000.0, 2900.0, -50.0, 2032.0)  # reaches the foot
WINDOW = Hole(400.0, 1000.0, 900.0, 1500.0)
NICHE = Hole(1200.0, 1800.0, 400.0, 1000.0, 50.0)
TOO_FAR = Hole(3200.0, 4400.0, 2300.0, 3400.0)  # reaches the end and the top


@pytest.mark.parametrize("way", ALONG)
@pytest.mark.parametrize("hand", [1.0, -1.0], ids=["back on the left", "back on the right"])
def test_openings_take_their_volume_out_of_a_wall(way: str, hand: float) -> None:
    ux, uy = ALONG[way]
    holes = (DOOR, WINDOW, NICHE, TOO_FAR)
    wall = Pierced((500.0, -300.0), (ux, uy), (-uy * 75 * hand, ux * 75 * hand), 4000.0, holes)
    corners, _ = pierced_faces(wall, 0.0, 2500.0)
    faces = list(zip(corners[::3], corners[1::3], corners[2::3], strict=True))
    taken = 75 * (900 * 2032 + 600 * 600 + 800 * 200) + 50 * 600 * 600
    assert volume(faces) == pytest.approx(4000 * 2500 * 75 - taken)


def test_a_niche_opens_to_the_front_and_has_its_back_at_its_depth() -> None:
    wall = Pierced((0.0, 0.0), (1.0, 0.0), (0.0, 75.0), 3000.0, (NICHE,))
    corners, lines = pierced_faces(wall, 0.0, 2000.0)
    within = {y for x, y, z in corners if 1200 <= x <= 1800 and 400 <= z <= 1000}
    assert within == {0.0, 50.0}
    assert {y for _, y, _ in lines} == {0.0, 50.0, 75.0}


def test_a_niche_deeper_than_its_wall_reaches_out_behind() -> None:
    wall = Pierced((0.0, 0.0), (1.0, 0.0), (0.0, 75.0), 3000.0, (replace(NICHE, depth_mm=200.0),))
    corners, _ = pierced_faces(wall, 0.0, 2000.0)
    assert max(y for _, y, _ in corners) == 200.0


def test_the_demo_wall_and_the_edge_with_the_door_are_cut_out() -> None:
    blocks = [b for b in (*standing_blocks(JOB, TAKEOFF), *edge_blocks(JOB, TAKEOFF)) if b.pierced]
    (opening,) = JOB.plan.feature_walls[0].openings
    assert [block.kind for block in blocks] == ["wall", *["edge"] * (len(blocks) - 1)]
    for block in blocks:
        assert block.pierced
        cut = sum(
            max(0.0, min(hole.top_mm, block.top_mm) - max(hole.bottom_mm, block.bottom_mm))
            * (hole.right_mm - hole.left_mm)
            for hole in block.pierced.holes
        )
        part = next(one for one in PARTS if one.name == block.name and one.kind == block.kind)
        high = block.top_mm - block.bottom_mm
        left = (block.pierced.length_mm * high - cut) * block.pierced.thick_mm
        assert volume(triangles(part)) == pytest.approx(left)
    wall = blocks[0].pierced
    assert wall
    assert wall.holes[0].right_mm - wall.holes[0].left_mm == opening.width_mm
    assert len(blocks) > 1, "no door stands in an edge of the demo's roof"


def test_the_front_of_a_wall_is_where_its_start_is_seen_on_the_left() -> None:
    wall = JOB.plan.feature_walls[0]
    pierced = next(block.pierced for block in standing_blocks(JOB, TAKEOFF) if block.kind == "wall")
    assert pierced
    (sx, sy), (ex, ey) = wall.start_mm, wall.end_mm
    long = math.dist(wall.start_mm, wall.end_mm)
    right = ((ey - sy) / long, -(ex - sx) / long)  # of the way from start to end: there the eye stands
    off = (pierced.start_mm[0] - sx) * right[0] + (pierced.start_mm[1] - sy) * right[1]
    assert off == pytest.approx(pierced.thick_mm / 2)
    assert pierced.back_mm[0] * right[0] + pierced.back_mm[1] * right[1] == pytest.approx(-pierced.thick_mm)
