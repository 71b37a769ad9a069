"""What the board is told after each edit: pieces, counts, weight, price, days and findings."""

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from app.actions.records import WorkedOut
from app.drawings.stick_shapes import stick_shapes
from app.job.findings import Finding
from app.job.shapes import placed_at
from app.measure.show import format_length, format_mass, format_money

Spot = tuple[float, float]
Ring = tuple[Spot, ...]


def look_json(worked: WorkedOut) -> dict[str, Any]:
    """Everything the board draws and says of one reading; places on the sheet: y runs down there."""
    takeoff, job = worked.answer.takeoff, worked.sheet.job
    return {
        "pieces": [
            [piece.id, piece.role, path(piece.outline_mm)]
            for piece in takeoff.layout.pieces
            if piece.plane == "plan"
        ],
        "frame": _frame(worked),
        "runs": [[run.id, run.kind, path(run.path_mm, is_closed=False)] for run in takeoff.rough_in.runs],
        "figures": figures(worked),
        "findings": _findings(worked),
        "level": None if takeoff.roof.level is None else takeoff.roof.level.chosen_mm,
        "modules": {
            field.field: [field.angle_deg, _module(worked, field.field, field.side_gap_mm)]
            for field in takeoff.layout.fields
        },
        "units": job.units,
    }


def figures(worked: WorkedOut) -> list[list[str]]:
    """The figures beside the drawing: what each is called, and what it comes to."""
    takeoff, estimate, days = worked.answer.takeoff, worked.answer.estimate, worked.answer.days
    units = worked.sheet.job.units
    on_plan = sum(piece.plane == "plan" for piece in takeoff.layout.pieces)
    level = takeoff.roof.level
    rows = [
        ["Boards", f"{on_plan} on plan, {len(takeoff.layout.pieces) - on_plan} on walls and boxes"],
        ["Sticks and pads", f"{len(takeoff.framing.sticks)} and {len(takeoff.framing.pads)}"],
        ["Weight that stays", format_mass(takeoff.totals.dead_kg, units)],
        ["The client pays", format_money(estimate.total, estimate.currency)],
        ["Days", f"{len(days.days)}, done {days.end_on.isoformat()}"],
    ]
    if level is not None:
        rows.insert(0, ["Top of the boards", f"{format_length(level.chosen_mm, units)} above datum"])
    return rows


# Most pieces lie as they lay before the edit: some twenty drawings' worth of them, about 2 MB.
@lru_cache(maxsize=8192)
def path(ring: Ring, *, is_closed: bool = True) -> str:
    """A ring or line as an SVG path on the sheet, to a tenth of a millimetre."""
    spots = (f"{round(x, 1):g} {round(-y, 1):g}" for x, y in ring)
    return "M" + "L".join(spots) + ("Z" if is_closed else "")


def _frame(worked: WorkedOut) -> list[list[str]]:
    takeoff, job = worked.answer.takeoff, worked.sheet.job
    shapes = stick_shapes(job, takeoff)
    sticks = [
        [stick.id, stick.role, path(shapes[stick.id])]
        for stick in takeoff.framing.sticks
        if stick.id in shapes
    ]
    halves = {pad.id: pad.width_mm / 2 for pad in job.choices.pads}
    pads = [
        [spot.id, f"pad, {spot.height_mm:.0f} mm", path(_square(spot.x_mm, spot.y_mm, halves[spot.pad]))]
        for spot in takeoff.framing.pads
    ]
    return sticks + pads


def _square(x: float, y: float, half: float) -> Ring:
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))


def _module(worked: WorkedOut, field_id: str, gap_mm: float) -> float:
    """Board and gap together: the step at which courses repeat."""
    job = worked.sheet.job
    field = next(field for field in job.plan.deck_fields if field.id == field_id)
    return next(board.width_mm for board in job.choices.boards if board.id == field.board) + gap_mm


def _findings(worked: WorkedOut) -> list[dict[str, Any]]:
    """Every finding, stops first, with its spot; many are said of the same place."""
    answer, job = worked.answer, worked.sheet.job
    found = (*answer.takeoff.findings, *answer.estimate.findings, *answer.days.findings)
    spots = {place: placed_at(job, place) for place in {one.place for one in found if not one.at_mm}}
    in_order: Iterable[Finding] = sorted(found, key=lambda one: ("stop", "check", "note").index(one.grade))
    return [_finding(one, one.at_mm or spots[one.place]) for one in in_order]


def _finding(found: Finding, at: Spot | None) -> dict[str, Any]:
    return {
        "grade": found.grade,
        "code": found.code,
        "place": found.place,
        "text": found.text,
        "source": found.source,
        "at": None if at is None else [round(at[0], 1), round(-at[1], 1)],
    }
