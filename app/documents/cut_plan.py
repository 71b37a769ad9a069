"""The cut plan to print: board by board, the cuts in order, and the plan with the same numbers."""

from dataclasses import dataclass

from app.documents.records import CutPlanInputs
from app.documents.render import pdf
from app.documents.scale import largest_scale, scale_that_fits
from app.drawings.box_frames import box_frame_svg, box_frames
from app.drawings.cut_bars import bar_svg
from app.drawings.ground import MARGIN_MM
from app.drawings.marked import face_svg, faces_of, marked_frame_svg, marked_plan_svg
from app.measure.show import format_length
from app.takeoff.totals.records import CutPlan

_PLAN_WIDE_MM, _PLAN_HIGH_MM = 176.0, 190.0
_BAR_WIDE_MM = 174.0
_FACE_WIDE_MM, _FACE_HIGH_MM = 160.0, 125.0
_FRAME_WIDE_MM, _FRAME_HIGH_MM = 150.0, 90.0


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One board: its number in the profile, what it is, its drawing and what must be said beside it."""

    number: int
    bought_as: str
    length: str
    svg: str
    cuts: str
    left: str
    ends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProfilePlan:
    """All boards of one profile, and where each piece is found."""

    name: str
    plan: CutPlan
    rows: tuple[BoardRow, ...]
    found: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class MarkedFace:
    """One face drawn, each of its pieces with its number: what it is, the scale, the drawing."""

    words: str
    scale: float
    svg: str


def cut_plan_pdf(inputs: CutPlanInputs) -> bytes:
    """Print the cut plan; the same inputs give the same bytes."""
    scale = scale_that_fits(inputs.job, _PLAN_WIDE_MM, _PLAN_HIGH_MM, MARGIN_MM)
    context = {
        **vars(inputs),
        "profiles": profile_plans(inputs),
        "plan": marked_plan_svg(inputs.job, inputs.takeoff, scale),
        "frame": marked_frame_svg(inputs.job, inputs.takeoff, scale) if _has_frame(inputs) else "",
        "faces": marked_faces(inputs),
        "frames": marked_frames(inputs),
        "boxes": _listed_only(inputs),
        "scale": scale,
        "cutting": inputs.job.choices.cutting,
        "length": lambda length_mm: format_length(length_mm, inputs.job.units),
        "notes": tuple(
            said.text
            for said in inputs.takeoff.totals.assumptions
            if said.code in ("totals.mitre-hands", "totals.rips-share", "totals.cut-by-length")
        ),
    }
    return pdf("cut_plan.html", context)


def marked_faces(inputs: CutPlanInputs) -> tuple[MarkedFace, ...]:
    """Give every wall, clad face, riser and fascia drawn with the numbers of its pieces."""
    made = []
    for face in faces_of(inputs.takeoff):
        left, bottom, right, top = face.box_mm
        scale = largest_scale(right - left, top - bottom, _FACE_WIDE_MM, _FACE_HIGH_MM)
        made.append(MarkedFace(face.words, scale, face_svg(face, scale)))
    return tuple(made)


def marked_frames(inputs: CutPlanInputs) -> tuple[MarkedFace, ...]:
    """Give the frame of every box and flight of steps drawn with the numbers of its sticks."""
    made = []
    for frame in box_frames(inputs.job, inputs.takeoff):
        scale = largest_scale(
            frame.length_mm, len(frame.views) * frame.width_mm, _FRAME_WIDE_MM, _FRAME_HIGH_MM
        )
        words = frame.box
        if frame.others:
            names = ", ".join(name.rpartition("-")[2] for name in frame.others)
            words += f"; battens under its lids: {names}"
        made.append(MarkedFace(words, scale, box_frame_svg(frame, scale)))
    return tuple(made)


def _listed_only(inputs: CutPlanInputs) -> tuple[str, ...]:
    """Name the boxes with a frame that is not drawn."""
    drawn = {frame.box for frame in box_frames(inputs.job, inputs.takeoff)}
    return tuple(b.box for b in inputs.takeoff.layout.boxes if b.frame_mm and b.box not in drawn)


def _has_frame(inputs: CutPlanInputs) -> bool:
    return bool(inputs.takeoff.framing.pads)


def profile_plans(inputs: CutPlanInputs) -> tuple[ProfilePlan, ...]:
    """Give every profile with its boards drawn, in the order of the takeoff."""
    names = {board.id: board.name for board in inputs.job.choices.boards}
    names |= {section.id: section.name for section in inputs.job.choices.sections}
    return tuple(
        ProfilePlan(names[plan.profile], plan, _rows(inputs, plan), _found(plan))
        for plan in inputs.takeoff.totals.cut_plans
    )


def _rows(inputs: CutPlanInputs, plan: CutPlan) -> tuple[BoardRow, ...]:
    """Draw each board; all of a profile at one scale, so that they can be compared."""
    system, cutting = inputs.job.units, inputs.job.choices.cutting
    scale = max(stick.stock_mm for stick in plan.sticks) / _BAR_WIDE_MM
    ends = dict(plan.ends)
    rows = []
    for number, stick in enumerate(plan.sticks, start=1):
        names = [name for name, _ in stick.pieces]
        cuts = [f"{name} {format_length(length_mm, system)}" for name, length_mm in stick.pieces]
        cuts += [
            f"{name} {format_length(length_mm, system)}, ripped from beside {lead}"
            for name, lead, length_mm in stick.beside
        ]
        rows.append(
            BoardRow(
                number=number,
                bought_as=stick.item or f"offcut: {stick.offcut}",
                length=format_length(stick.stock_mm, system),
                svg=bar_svg(stick, cutting, system, scale, f"board {number} of {plan.profile}"),
                cuts=", ".join(cuts),
                left=format_length(stick.left_mm, system) if stick.left_mm >= 1.0 else "",
                ends=tuple(f"{name}: {ends[name]}" for name in names if name in ends),
            )
        )
    return tuple(rows)


def _found(plan: CutPlan) -> tuple[tuple[str, int], ...]:
    """List each piece with the number of its board, by piece."""
    found = [
        (name, number)
        for number, stick in enumerate(plan.sticks, start=1)
        for name in (*(name for name, _ in stick.pieces), *(name for name, _, _ in stick.beside))
    ]
    return tuple(sorted(found))
