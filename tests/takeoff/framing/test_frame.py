import functools
import itertools
import math

import pytest
import shapely
from shapely import LineString, Point, Polygon

from app.job.survey import Drain, Penetration
from tests.builders import (
    a_board,
    a_deck_field,
    a_job,
    a_plan,
    a_section,
    a_survey,
    choices,
    roof_height_mm,
    stock,
)
from tests.takeoff.framing.framed import Framed, framed

L_SHAPE = ((200, 200), (5800, 200), (5800, 2000), (3000, 2000), (3000, 3900), (200, 3900))
EDGE = a_section(name="Southern pine 38 × 89, on edge", width_mm=38, depth_mm=89)
JOBS = {
    "plain": {},
    "courses across": {"angle_deg": 90},
    "diagonal": {"angle_deg": 45},
    "odd angle": {"angle_deg": 17},
    "one border": {"border_courses": 1},
    "two borders": {"border_courses": 2},
    "L shape": {"outline_mm": L_SHAPE},
    "L shape with border": {"outline_mm": L_SHAPE, "border_courses": 1},
    "slanting edge": {"outline_mm": ((200, 200), (5800, 200), (4000, 3900), (200, 3900))},
    "slanting edge, border": {
        "outline_mm": ((200, 200), (5800, 200), (4000, 3900), (200, 3900)),
        "border_courses": 1,
    },
    "drawn hole": {"holes_mm": (((2000, 1500), (2800, 1500), (2800, 2500), (2000, 2500)),)},
}


def a_framed(section=None, drains=True, penetrations=(), **field) -> Framed:
    survey = a_survey(penetrations=penetrations) if drains else a_survey(drains=(), penetrations=penetrations)
    materials = choices()
    if section is not None:
        materials = choices(sections=(section, *materials.sections[1:]))
    return framed(
        a_job(survey=survey, plan=a_plan(deck_fields=(a_deck_field(**field),)), materials=materials)
    )


@functools.cache
def _framed_once(section, field) -> Framed:
    return a_framed(section, **dict(field))


CASES = [
    pytest.param((field, section), id=f"{name}, {kind}")
    for name, field in JOBS.items()
    for kind, section in (("flat", None), ("on edge", EDGE))
]


@pytest.fixture(params=CASES)
def deck(request: pytest.FixtureRequest) -> Framed:
    field, section = request.param
    return _framed_once(section, tuple(field.items()))


def across(deck: Framed) -> tuple[float, float]:
    angle = math.radians(deck.layout.fields[0].angle_deg + 90)
    return math.cos(angle), math.sin(angle)


def test_sleepers_run_square_to_the_courses(deck: Framed) -> None:
    ux, uy = across(deck)
    for stick in deck.sticks:
        if stick.role == "sleeper":
            dx, dy = stick.end_mm[0] - stick.start_mm[0], stick.end_mm[1] - stick.start_mm[1]
            assert abs(ux * dy - uy * dx) < 1e-3


def test_no_two_sticks_lie_in_each_other(deck: Framed) -> None:
    bodies = [deck.body(stick) for stick in deck.sticks]
    for (one, first), (other, second) in itertools.combinations(zip(deck.sticks, bodies, strict=True), 2):
        # Slanting ends are square here and cut on site: a corner of at most half a width squared.
        shared = first.intersection(second).area
        width = min(first.area / one.length_mm, second.area / other.length_mm)
        assert shared < max(1.0, 0.75 * width**2), f"{one} lies in {other}"


def test_every_stick_stays_inside_the_field(deck: Framed) -> None:
    field = deck.job.plan.deck_fields[0]
    ground = Polygon(field.outline_mm, field.holes_mm).buffer(1.0)
    for stick in deck.sticks:
        assert ground.covers(LineString([stick.start_mm, stick.end_mm])), stick


def test_every_course_end_bears_on_timber(deck: Framed) -> None:
    """No course reaches more than 40 mm past its timber, unless a drain keeps it away."""
    timber = shapely.union_all([deck.body(stick) for stick in deck.sticks])
    drains = [Point(drain.x_mm, drain.y_mm).buffer(450) for drain in deck.job.survey.drains]
    angle = math.radians(deck.layout.fields[0].angle_deg)
    ux, uy = math.cos(angle), math.sin(angle)
    for piece in deck.layout.pieces:
        if piece.role != "course" or piece.length_mm < 300:
            continue
        outline = Polygon(piece.outline_mm)
        middle = outline.centroid
        reach = LineString(
            [
                (middle.x - ux * 9000, middle.y - uy * 9000),
                (middle.x + ux * 9000, middle.y + uy * 9000),
            ]
        ).intersection(outline)
        for end in (reach.interpolate(15), reach.interpolate(reach.length - 15)):
            if not any(drain.covers(end) for drain in drains):
                assert timber.distance(end) < 25.0, f"{piece.id} ends on nothing at {end}"


def test_no_board_spans_further_than_the_sleeper_spacing(deck: Framed) -> None:
    field = deck.job.plan.deck_fields[0]
    timber = shapely.union_all([deck.body(stick) for stick in deck.sticks])
    drains = shapely.union_all([Point(one.x_mm, one.y_mm).buffer(450) for one in deck.job.survey.drains])
    section = next(one for one in deck.job.choices.sections if one.id == field.sleeper)
    angle = math.radians(deck.layout.fields[0].angle_deg)
    ux, uy = math.cos(angle) * 9000, math.sin(angle) * 9000
    along = [shapely.LineString([stick.start_mm, stick.end_mm]).coords for stick in deck.sticks]
    slants = [abs(ux * (end[1] - start[1]) - uy * (end[0] - start[0])) for start, end in along]
    levels = [abs(ux * (end[0] - start[0]) + uy * (end[1] - start[1])) for start, end in along]
    is_square = all(min(pair) < 10.0 for pair in zip(slants, levels, strict=True))
    for piece in deck.layout.pieces:
        outline = Polygon(piece.outline_mm)
        if piece.role != "course" or outline.intersects(drains):
            continue
        middle = outline.centroid
        row = LineString([(middle.x - ux, middle.y - uy), (middle.x + ux, middle.y + uy)])
        hanging = row.intersection(outline).difference(timber)
        longest = max((part.length for part in getattr(hanging, "geoms", (hanging,))), default=0.0)
        # Beside a slanting bar the point it leaves has no room for a sleeper, nor has the corner of an L,
        # a section wide, where the last gap may be 10 mm wider.
        spare_mm = section.width_mm if is_square else 0.0
        assert longest <= field.sleeper_spacing_mm - spare_mm + (1 if len(field.outline_mm) == 4 else 11), (
            piece.id
        )


def test_no_pad_overlaps_another_or_reaches_a_keep_clear(deck: Framed) -> None:
    pad = deck.job.choices.pads[0]
    by_id = {stick.id: stick for stick in deck.sticks}
    shapes = []
    for spot in deck.framing.pads:
        stick = by_id[spot.stick]
        dx, dy = stick.end_mm[0] - stick.start_mm[0], stick.end_mm[1] - stick.start_mm[1]
        length = math.hypot(dx, dy)
        half = pad.length_mm / 2
        ux, uy = dx / length * half, dy / length * half
        shapes.append(
            LineString([(spot.x_mm - ux, spot.y_mm - uy), (spot.x_mm + ux, spot.y_mm + uy)]).buffer(
                pad.width_mm / 2, cap_style="flat"
            )
        )
    for one, other in itertools.combinations(shapes, 2):
        assert one.intersection(other).area < 5.0
    for drain in deck.job.survey.drains:
        clear = Point(drain.x_mm, drain.y_mm).buffer(drain.keep_clear_mm)
        assert all(shape.intersection(clear).area < 5.0 for shape in shapes)


def test_pads_stand_no_further_apart_than_drawn_and_their_height_is_the_planes(deck: Framed) -> None:
    field = deck.job.plan.deck_fields[0]
    if "framing.pad-crowded" not in deck.codes():
        assert all(check.span_mm <= field.pad_spacing_mm + 1 for check in deck.framing.span_checks)
    board = next(board for board in deck.job.choices.boards if board.id == field.board)
    section = next(one for one in deck.job.choices.sections if one.id == field.sleeper)
    assert deck.roof.level is not None
    underside = deck.roof.level.chosen_mm - board.thickness_mm - section.depth_mm
    for spot in deck.framing.pads:
        assert spot.height_mm == pytest.approx(underside - roof_height_mm(spot.x_mm, spot.y_mm), abs=0.1)
        assert spot.roof_mm == pytest.approx(roof_height_mm(spot.x_mm, spot.y_mm), abs=0.1)
        assert spot.shims >= 0


def test_no_stick_is_longer_than_what_can_be_bought_and_carried_up(deck: Framed) -> None:
    longest = deck.job.survey.way_up.longest_piece_mm
    assert all(stick.length_mm <= longest + 1e-6 for stick in deck.sticks)


def test_ids_are_unique_and_start_with_the_place(deck: Framed) -> None:
    names = [stick.id for stick in deck.framing.sticks] + [pad.id for pad in deck.framing.pads]
    assert len(set(names)) == len(names)
    assert all(stick.id.startswith(f"{stick.place}-S") for stick in deck.sticks)
    known = {stick.id for stick in deck.sticks}
    assert all(pad.stick in known for pad in deck.framing.pads)


def test_the_first_and_last_bars_lie_half_a_width_inside_the_edges() -> None:
    deck = a_framed(drains=False)
    xs = sorted(stick.start_mm[0] for stick in deck.sticks if stick.start_mm[0] == stick.end_mm[0])
    assert xs[0] == pytest.approx(200 + 89 / 2)
    assert xs[-1] == pytest.approx(5800 - 89 / 2)


def test_edge_set_timber_is_doubled_under_breakers_and_flat_timber_is_not() -> None:
    flat, edge = a_framed(drains=False), a_framed(EDGE, drains=False)
    lines = flat.layout.fields[0].breaker_lines
    assert lines
    breaker = [stick for stick in flat.sticks if stick.role == "breaker sleeper"]
    doubled = [stick for stick in edge.sticks if stick.role == "breaker sleeper"]
    assert len({round(stick.start_mm[0], 3) for stick in breaker}) == 2 * len(lines)
    xs = sorted({round(stick.start_mm[0], 3) for stick in doubled})
    assert len(xs) == 4 * len(lines)
    assert xs[1] - xs[0] == pytest.approx(38 + 10)


def test_two_border_courses_get_blocking_between_rim_and_joint() -> None:
    one, two = a_framed(border_courses=1, drains=False), a_framed(border_courses=2, drains=False)
    assert not [stick for stick in one.sticks if stick.role == "blocking"]
    blocks = [stick for stick in two.sticks if stick.role == "blocking"]
    assert len(blocks) >= 2 * (3700 // 400)
    assert all(stick.start_mm[1] == pytest.approx(stick.end_mm[1]) for stick in blocks)


def test_a_drain_under_the_deck_gets_a_panel_and_no_timber_near_it() -> None:
    drain = Drain(id="middle", kind="drain", x_mm=1500, y_mm=1500)
    deck = framed(a_job(survey=a_survey(drains=(drain,))))
    assert deck.framing.access_panels == (("middle", "deck"),)
    assert "framing.lift-out-panel" in deck.codes("note")
    clear = Point(1500, 1500).buffer(149.9)
    assert not any(deck.body(stick).intersects(clear) for stick in deck.sticks)
    assert [stick for stick in deck.sticks if stick.role == "trimmer"]


def test_a_deck_without_a_drain_gets_no_panel() -> None:
    assert a_framed(drains=False).framing.access_panels == ()


def test_timber_stays_clear_of_a_vent() -> None:
    vent = Penetration(id="vent", kind="vent", x_mm=1700, y_mm=1700, width_mm=200)
    deck = a_framed(penetrations=(vent,), drains=False)
    clear = Point(1700, 1700).buffer(150, cap_style="square").buffer(-1)
    assert not any(deck.body(stick).intersects(clear) for stick in deck.sticks)


def test_a_loose_deck_always_has_a_check_for_wind() -> None:
    assert "framing.uplift" in a_framed().codes("check")


def test_a_sleeper_that_is_too_long_is_joined_over_a_pad_and_staggered() -> None:
    deck = a_framed(drains=False)  # 3700 − 2 × 89 = 3522 mm, under 3600
    assert {stick.length_mm for stick in deck.sticks if stick.role == "sleeper"} == {3700 - 2 * 89}
    short = a_section(stock=stock("S", 2400))
    deck = a_framed(short, drains=False)
    joints: dict[float, list[float]] = {}
    for stick in deck.sticks:
        if stick.role == "sleeper":
            joints.setdefault(stick.start_mm[0], []).append(max(stick.start_mm[1], stick.end_mm[1]))
    tops = {x: sorted(ends)[:-1] for x, ends in joints.items()}
    assert all(len(ends) == 1 for ends in tops.values())
    for (_, one), (_, other) in itertools.pairwise(sorted(tops.items())):
        assert abs(one[0] - other[0]) >= 600
    pads = {(round(pad.x_mm, 1), round(pad.y_mm, 1)) for pad in deck.framing.pads}
    for x, ends in tops.items():
        assert (round(x, 1), round(ends[0], 1)) in pads


def test_tape_covers_the_tops_of_all_timber_under_the_deck() -> None:
    deck = a_framed()
    assert deck.framing.tape_mm[0][1] == pytest.approx(sum(stick.length_mm for stick in deck.sticks))


def test_every_sleeper_end_meets_a_rim_and_counts_one_connector() -> None:
    deck = a_framed(drains=False, longest_run_mm=20000)
    inside = [stick for stick in deck.sticks if stick.role in ("sleeper", "breaker sleeper")]
    rims = [stick for stick in deck.sticks if stick.role == "rim"]
    splices = len(rims) - 4
    # Two ends a sleeper, two ends for each of the two rims along them, and the splices of the long rims.
    assert dict(deck.framing.connectors)["deck"] == 2 * len(inside) + 4 + splices


def test_a_field_too_narrow_for_its_timber_is_a_stop() -> None:
    deck = a_framed(outline_mm=((200, 200), (350, 200), (350, 3900), (200, 3900)), drains=False)
    assert deck.sticks == ()
    assert "framing.no-room" in deck.codes("stop")


def test_the_frame_is_the_same_for_the_same_job() -> None:
    one, other = a_framed(border_courses=1), a_framed(border_courses=1)
    assert one.framing == other.framing


@pytest.mark.parametrize("angle_deg", [0.0, 37.0, 45.0])
def test_a_board_reaches_no_further_between_sleepers_than_its_maker_says_on_a_diagonal_too(
    angle_deg: float,
) -> None:
    board = a_board(greatest_span_mm=300.0, span_source="maker's sheet")
    job = a_job(
        survey=a_survey(drains=()),
        plan=a_plan(deck_fields=(a_deck_field(angle_deg=angle_deg, sleeper_spacing_mm=400.0),)),
        materials=choices(boards=(board, *choices().boards[1:])),
    )
    deck = framed(job)
    (said,) = [found for found in deck.framing.findings if found.code == "framing.sleepers-closer"]
    assert (said.grade, said.value, said.limit, said.source) == ("note", 400.0, 300.0, "maker's sheet")
    spots: dict[str, list[tuple[float, float]]] = {}
    for crossing in deck.framing.crossings:
        spots.setdefault(crossing.piece, []).append((crossing.x_mm, crossing.y_mm))
    ux, uy = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    gaps = []
    for piece in deck.layout.pieces:
        along = sorted(x * ux + y * uy for x, y in spots.get(piece.id, ()))
        gaps += [after - before for before, after in itertools.pairwise(along)]
    assert 250.0 < max(gaps) <= 300.5
    assert "framing.sleepers-closer" not in a_framed(angle_deg=angle_deg).codes()
