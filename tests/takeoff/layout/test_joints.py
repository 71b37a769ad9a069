"""Joints without breaker boards: staggered or aligned over sleepers, and staggered on walls."""

from itertools import pairwise
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from app.takeoff.framing.frame import frame
from app.takeoff.layout.cladding import clad_wall
from app.takeoff.layout.joints import LEAST_STAGGER_MM, joint_columns, joints_of_row, row_offsets_mm
from app.takeoff.layout.lay_out import lay_out
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_deck_field, a_job, a_plan
from tests.takeoff.layout.shapes import boarded, rectangle
from tests.takeoff.layout.test_cladding import a_wall

LONG = {"outline_mm": rectangle(5800, 2000), "joints": "staggered"}


def joints_by_row(pieces: Any) -> list[list[float]]:
    """Middles of the joints of each course, from the lowest up."""
    rows: dict[float, list[tuple[float, float]]] = {}
    for piece in pieces:
        xs = [x for x, _ in piece.outline_mm]
        low = round(min(y for _, y in piece.outline_mm), 1)
        rows.setdefault(low, []).append((min(xs), max(xs)))
    return [[(one[1] + other[0]) / 2 for one, other in pairwise(sorted(rows[low]))] for low in sorted(rows)]


@given(st.floats(500, 20000), st.floats(600, 4000), st.sampled_from(("staggered", "aligned")))
@settings(max_examples=50, deadline=None)
def test_no_stretch_of_a_row_is_longer_than_its_limit(length: float, limit: float, pattern: Any) -> None:
    for columns in joint_columns(0.0, length, limit, pattern):
        stops = [0.0, *joints_of_row(0.0, length, columns, limit), length]
        assert stops == sorted(stops)
        assert max(b - a for a, b in pairwise(stops)) <= limit + 0.06


@given(st.floats(700, 20000), st.floats(1300, 4000))
@settings(max_examples=50, deadline=None)
def test_staggered_rows_keep_their_joints_apart(length: float, limit: float) -> None:
    even, odd = joint_columns(0.0, length, limit, "staggered")
    assert all(abs(x - y) >= min(LEAST_STAGGER_MM, limit / 4) - 1e-6 for x in even for y in odd)
    assert bool(even) is (length > limit + 0.05)


@given(st.floats(500, 20000), st.floats(600, 4000))
@settings(max_examples=50, deadline=None)
def test_offsets_never_ask_for_a_piece_over_the_limit(length: float, limit: float) -> None:
    even, odd = row_offsets_mm(length, limit)
    pieces = -(-length // limit)
    assert length / pieces + max(even, odd) <= limit + 0.06 or pieces == 1


def test_a_staggered_deck_has_no_breaker_board_and_joints_of_two_rows_lie_apart() -> None:
    layout, pieces, _ = boarded(**LONG)
    assert {piece.role for piece in pieces} == {"course"}
    assert layout.breaker_lines == ()
    rows = joints_by_row(pieces)
    assert all(rows)
    for one, other in pairwise(rows):
        assert all(abs(x - y) >= LEAST_STAGGER_MM for x in one for y in other)
    lines = sorted({round(line.start_mm[0], 1) for line in layout.joint_lines})
    assert {round(x, 1) for row in rows for x in row} == set(lines)


def test_an_aligned_deck_is_joined_in_one_line() -> None:
    layout, pieces, _ = boarded(outline_mm=rectangle(5800, 2000), joints="aligned")
    assert {round(x) for row in joints_by_row(pieces) for x in row} == {2900}
    assert len(layout.joint_lines) == 1


def test_a_deck_within_the_limit_has_no_joints_whatever_the_pattern() -> None:
    same = [
        boarded(outline_mm=rectangle(3000, 2000), joints=joints)[1]
        for joints in ("breaker", "staggered", "aligned")
    ]
    assert same[0] == same[1] == same[2]


def test_timber_lies_under_every_joint() -> None:
    for joints in ("staggered", "aligned"):
        for angle in (0.0, 30.0, 90.0):
            field = a_deck_field(joints=joints, angle_deg=angle, longest_run_mm=1800)
            job = a_job(plan=a_plan(deck_fields=(field,)))
            roof = read_roof(job)
            layout = lay_out(job, roof)
            sticks = frame(job, roof, layout).sticks
            bodies = shapely.union_all(
                [shapely.LineString([stick.start_mm, stick.end_mm]).buffer(45.0) for stick in sticks]
            )
            assert layout.fields[0].joint_lines
            for line in layout.fields[0].joint_lines:
                joint = shapely.LineString([line.start_mm, line.end_mm])
                assert joint.intersection(bodies).length >= 0.9 * joint.length


def test_cladding_joints_of_two_rows_lie_over_different_strips() -> None:
    clad = clad_wall(a_wall(end_mm=(5800, 4000)), a_job())
    rows = joints_by_row([piece for piece in clad.pieces if piece.plane == "wall"])
    columns = sorted({line.start_mm[0] for line in clad.layout.furring_mm})
    for one, other in pairwise(rows):
        assert one
        assert all(abs(x - y) >= LEAST_STAGGER_MM for x in one for y in other)
        assert all(min(abs(x - column) for column in columns) < 0.01 for x in one)
    aligned = clad_wall(a_wall(end_mm=(5800, 4000), joints="aligned"), a_job())
    assert len({round(x) for row in joints_by_row(aligned.pieces) for x in row}) == 1


def test_a_shim_is_never_thinner_than_its_gap() -> None:
    layout, _, _ = boarded(board="plastic", outline_mm=rectangle(3500, 2000))
    assert layout.end_gap_mm <= layout.end_shim_mm < layout.end_gap_mm + 0.5
    assert layout.side_shim_mm == pytest.approx(5.0)
