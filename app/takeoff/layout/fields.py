"""One deck field boarded: border, breakers and courses."""

from dataclasses import dataclass, replace

import numpy as np
import shapely

from app.job.choices import Board
from app.job.job import Job
from app.job.plan import DeckField
from app.takeoff.layout.borders import border_courses, inside_border
from app.takeoff.layout.breakers import Breaks, find_breaks
from app.takeoff.layout.courses import (
    balanced_across,
    clip_courses,
    cut_along,
    shrink_along,
    spans_along,
    split_evenly,
    strips_over,
)
from app.takeoff.layout.end_gaps import RunRule, run_rule, shim_mm
from app.takeoff.layout.joints import Pattern, joint_columns, joints_of_row
from app.takeoff.layout.outlines import Frame, Shapes, common, joined, less, polygons_of, rings_of
from app.takeoff.layout.pieces import (
    SLIVER_AREA_MM2,
    Cuts,
    Place,
    drop_slivers,
    make_pieces,
    narrow_tongues,
    notches_of,
    open_round_pipes,
)
from app.takeoff.layout.records import FieldLayout, Line, Piece
from app.takeoff.roof.footprints import field_polygon


@dataclass(frozen=True)
class BoardedField:
    """A deck field and what the findings are made from.

    Attributes
    ----------
    layout : FieldLayout
    pieces : tuple of Piece
    board : Board
    rule : RunRule
    dropped_mm2 : float
        Slivers left out. [mm2]
    tongues : tuple of (float, (float, float))
        Narrow parts of notched courses: width and where on plan. [mm]
    """

    layout: FieldLayout
    pieces: tuple[Piece, ...]
    board: Board
    rule: RunRule
    dropped_mm2: float
    tongues: tuple[tuple[float, tuple[float, float]], ...]


def field_rule(field: DeckField, job: Job) -> tuple[Board, RunRule]:
    """Give the board of a field and what limits its runs.

    Parameters
    ----------
    field : DeckField
        Names the board and the longest run asked for.
    job : Job
        Temperatures, way up and choices.

    Returns
    -------
    board : Board
    rule : RunRule
        Never shorter than two boards are wide; what is asked for below that is a stop elsewhere.

    References
    ----------
    Definition.
    """
    board = next(board for board in job.choices.boards if board.id == field.board)
    survey = job.survey
    rule = run_rule(board, survey.temperatures, survey.way_up, job.choices.cutting, field.longest_run_mm)
    return board, replace(rule, limit_mm=max(rule.limit_mm, 2.0 * board.width_mm))


def board_field(field: DeckField, job: Job, clear: shapely.Geometry) -> BoardedField:
    """Lay the boards of one deck field.

    Parameters
    ----------
    field : DeckField
        Outline, holes, board, angle, border.
    job : Job
        Survey and choices.
    clear : shapely.Geometry
        Kept free round penetrations, on plan.

    Returns
    -------
    boarded : BoardedField
        Border pieces first, then breaker boards, then courses.

    References
    ----------
    Definition.
    """
    board, rule = field_rule(field, job)
    drawn = field_polygon(field)
    outer = less(drawn, clear)
    middle = drawn.centroid
    frame = Frame(middle.x, middle.y, field.angle_deg)
    inner = inside_border(drawn, clear, field.border_courses, board.width_mm + field.side_gap_mm)
    inside = _fill(field, board, rule, frame.into(inner))
    border = border_courses(
        drawn,
        clear,
        field.border_courses,
        board.width_mm,
        field.side_gap_mm,
        field.border_corner,
        rule,
        frame.out(np.concatenate((inside.breaker_lines, inside.joint_lines))),
    )
    place = Place(field.id, "plan", board.id, board.width_mm)
    cuts = (
        *border.cuts,
        Cuts("breaker", replace(frame, angle_deg=frame.angle_deg + 90.0), inside.breakers),
        Cuts("course", frame, inside.courses),
    )
    pieces = make_pieces(place, cuts)
    widths = [piece.width_mm for piece in pieces if piece.role == "course"]
    layout = FieldLayout(
        field=field.id,
        angle_deg=field.angle_deg,
        inner_mm=tuple(rings_of(part) for part in polygons_of(inner)),
        outer_mm=tuple(rings_of(part) for part in polygons_of(outer)),
        breaker_lines=tuple(_line(line) for line in frame.out(inside.breaker_lines)),
        end_gap_mm=inside.gap_mm,
        side_gap_mm=field.side_gap_mm,
        run_mm=float(max((p.length_mm for p in pieces if p.role == "course"), default=0.0)),
        area_m2=float(outer.area) / 1e6,
        boards_m2=float(sum(shapely.area(cut.shapes).sum() for cut in cuts if len(cut.shapes))) / 1e6,
        least_rip_mm=min(widths, default=0.0),
        joint_lines=tuple(_line(line) for line in frame.out(inside.joint_lines)),
        notches=notches_of(pieces),
        end_shim_mm=shim_mm(inside.gap_mm, job.units),
        side_shim_mm=shim_mm(field.side_gap_mm, job.units),
    )
    dropped_mm2 = border.dropped_mm2 + inside.dropped_mm2
    return BoardedField(layout, pieces, board, rule, dropped_mm2, _tongues(inside.courses, frame, board))


def _tongues(courses: Shapes, frame: Frame, board: Board) -> tuple[tuple[float, tuple[float, float]], ...]:
    """Give the parts of notched courses that are under half a board wide."""
    found = narrow_tongues(courses, board.width_mm / 2.0)
    if not len(found):
        return ()
    bounds = shapely.bounds(found)
    places = shapely.get_coordinates(frame.out(shapely.point_on_surface(found))).tolist()
    widths = (bounds[:, 3] - bounds[:, 1]).tolist()
    return tuple((width, (x, y)) for width, (x, y) in zip(widths, places, strict=True))


@dataclass(frozen=True)
class _Inside:
    """What fills the area inside the border; breakers in the frame turned by a right angle."""

    courses: Shapes
    breakers: Shapes
    breaker_lines: Shapes
    joint_lines: Shapes
    gap_mm: float
    dropped_mm2: float


def _line(line: shapely.LineString) -> Line:
    """Give a two-point line as a record."""
    (x0, y0), (x1, y1) = shapely.get_coordinates(line).tolist()
    return Line((x0, y0), (x1, y1))


def _fill(field: DeckField, board: Board, rule: RunRule, area: shapely.Geometry) -> _Inside:
    """Lay breakers and courses in an area, in the frame of the courses."""
    nothing: Shapes = np.array([], dtype=object)
    parts = polygons_of(area)
    parts, too_small = (
        parts[shapely.area(parts) >= SLIVER_AREA_MM2],
        parts[shapely.area(parts) < SLIVER_AREA_MM2],
    )
    lost = float(shapely.area(too_small).sum())
    if not len(parts):
        return _Inside(nothing, nothing, nothing, nothing, rule.gap_mm(0.0), lost)
    if field.joints != "breaker":
        return _fill_over_sleepers(field, board, rule, parts, field.joints)
    width, side_gap = board.width_mm, field.side_gap_mm
    strips = _strips(parts, width, side_gap)
    whole = [clip_courses(strip, part) for part, strip in zip(parts, strips, strict=True)]
    breaks = _breaks(whole, width, rule)
    gap_mm = max(found.gap_mm for found in breaks)
    # Beside a border the side gap is there already; board ends may need more.
    drawn_in = max(gap_mm - side_gap, 0.0) if field.border_courses else 0.0
    courses: list[Shapes] = []
    breakers: list[shapely.Polygon] = []
    lines: list[shapely.LineString] = []
    for part, strip, unbroken, found in zip(parts, strips, whole, breaks, strict=True):
        _, low, _, high = part.bounds
        zone = width / 2.0 + gap_mm
        zones = [shapely.box(x - zone, low - 1.0, x + zone, high + 1.0) for x in found.middles_mm]
        free = less(shrink_along(part, drawn_in), joined(zones))
        courses.append(unbroken if free is part else clip_courses(strip, free))
        for x in found.middles_mm:
            board_strip = shapely.box(x - width / 2.0, low - 1.0, x + width / 2.0, high + 1.0)
            for piece in polygons_of(common(part, board_strip)):
                turned = _TURN.into(piece)
                breakers.extend(split_evenly(turned, rule.limit_mm, gap_mm))
                lines.append(shapely.LineString([(x, piece.bounds[1]), (x, piece.bounds[3])]))
    kept, lost_along = drop_slivers(open_round_pipes(np.concatenate(courses), gap_mm))
    across, lost_across = drop_slivers(open_round_pipes(np.array(breakers, dtype=object), gap_mm))
    lost += lost_along + lost_across
    return _Inside(kept, across, np.array(lines, dtype=object), nothing, gap_mm, lost)


def _fill_over_sleepers(
    field: DeckField, board: Board, rule: RunRule, parts: Shapes, pattern: Pattern
) -> _Inside:
    """Lay courses whose joints lie over sleepers, with no breaker boards."""
    nothing: Shapes = np.array([], dtype=object)
    width, side_gap = board.width_mm, field.side_gap_mm
    strips = _strips(parts, width, side_gap)
    gap_mm = rule.gap_mm(min(max(part.bounds[2] - part.bounds[0] for part in parts), rule.limit_mm))
    drawn_in = max(gap_mm - side_gap, 0.0) if field.border_courses else 0.0
    courses: list[shapely.Polygon] = []
    lines: list[shapely.LineString] = []
    for part, strip in zip(parts, strips, strict=True):
        left, low, right, high = part.bounds
        sets = joint_columns(left, right, rule.limit_mm, pattern)
        lows, used = shapely.bounds(strip)[:, 1], set()
        for shape in clip_courses(strip, shrink_along(part, drawn_in)):
            start, bottom, end, _ = shape.bounds
            row = int(np.searchsorted(lows, bottom + 0.01, side="right")) - 1
            joints = joints_of_row(start, end, sets[row % 2], rule.limit_mm)
            used.update(joints)
            courses.extend(cut_along(shape, joints, gap_mm) if joints else [shape])
        across = [shapely.LineString([(x, low - 1.0), (x, high + 1.0)]) for x in sorted(used)]
        for line in across:
            cut = shapely.intersection(line, part)
            lines += [piece for piece in shapely.get_parts(cut) if piece.length > width]
    kept, lost = drop_slivers(open_round_pipes(np.array(courses, dtype=object), gap_mm))
    return _Inside(kept, nothing, nothing, np.array(lines, dtype=object), gap_mm, lost)


def _strips(parts: Shapes, width_mm: float, side_gap_mm: float) -> list[Shapes]:
    """Give the strips of every part; parts that lie side by side along the courses share theirs."""
    found: dict[int, Shapes] = {}
    beside: list[int] = []
    top_mm = -np.inf
    bounds = shapely.bounds(parts)
    for number in [*np.argsort(bounds[:, 1], kind="stable").tolist(), None]:
        if beside and (number is None or bounds[number, 1] >= top_mm):
            group = shapely.box(*shapely.total_bounds(parts[beside]))
            across = balanced_across(group, width_mm, side_gap_mm)
            found |= dict.fromkeys(beside, strips_over(group, across, width_mm, side_gap_mm))
            beside = []
        if number is not None:
            beside.append(number)
            top_mm = max(top_mm, bounds[number, 3])
    return [found[number] for number in range(len(parts))]


_TURN = Frame(0.0, 0.0, 90.0)


def _breaks(courses: list[Shapes], width_mm: float, rule: RunRule) -> list[Breaks]:
    """Give the breakers of every part by its courses, all with the gap of the part that needs most."""
    spans = [spans_along(shapes) for shapes in courses]
    gap_mm = max(find_breaks(span, width_mm, rule).gap_mm for span in spans)
    return [find_breaks(span, width_mm, rule, gap_mm) for span in spans]
