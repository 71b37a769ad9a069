"""The whole in space keeps every area and every height of the engine."""

import math
from collections.abc import Sequence

import pytest
from shapely import Polygon

from app.drawings.blocks import edge_blocks, standing_blocks
from app.drawings.levels import level_of_fields
from app.drawings.solid import Place, SolidPart, solid_parts
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
        signed = 0.0
        for a, b, c in triangles(part):
            cross = (b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0])
            signed += math.fsum(one * other for one, other in zip(a, cross, strict=True)) / 6
        area = Polygon(block.footprint_mm).area
        whole = signed - block.bottom_mm * area / 3
        assert whole == pytest.approx(area * (block.top_mm - block.bottom_mm), rel=1e-6), block.name
