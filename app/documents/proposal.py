"""The proposal: drawing first, signature last."""

from dataclasses import dataclass

from app.agreement.records import Wording
from app.documents.records import ProposalInputs
from app.documents.render import pdf
from app.documents.scale import scale_that_fits
from app.drawings.ground import MARGIN_MM
from app.drawings.plan import plan_svg
from app.drawings.walls import wall_svgs
from app.job.findings import Finding
from app.job.job import Job
from app.measure.show import format_area, format_length

# Room for a drawing inside the frame that A4 and US Letter share, less head and title block.
_PLAN_WIDE_MM, _PLAN_HIGH_MM = 176.0, 172.0
_WALL_WIDE_MM = 150.0


@dataclass(frozen=True, slots=True)
class Part:
    """One thing the client gets: where, what, how much."""

    name: str
    text: str


def proposal_pdf(inputs: ProposalInputs) -> bytes:
    """Print a proposal; the same inputs give the same bytes."""
    job, answer, system = inputs.job, inputs.answer, inputs.job.units
    scale = scale_that_fits(job, _PLAN_WIDE_MM, _PLAN_HIGH_MM, MARGIN_MM)
    longest_wall = max((wall.length_mm for wall in answer.takeoff.layout.walls), default=0.0)
    wall_scale = 50.0 if longest_wall / 50 <= _WALL_WIDE_MM - 32 else 100.0
    wording = {text.code: text for text in inputs.wording}
    context = {
        **vars(inputs),
        "plan": plan_svg(job, answer.takeoff, system, scale),
        "scale": scale,
        "walls": wall_svgs(job, answer.takeoff, system, wall_scale),
        "parts": parts_of(inputs),
        "findings": _by_grade(answer.takeoff.findings + answer.estimate.findings),
        # The estimate's own assumptions tell wage, burden and margin: they stay in the office.
        "assumptions": answer.takeoff.assumptions + answer.days.assumptions,
        "text": wording.get,
        "other_wording": _rest(inputs.wording),
        "system": system,
    }
    return pdf("proposal.html", context)


def parts_of(inputs: ProposalInputs) -> tuple[Part, ...]:
    """List what the client gets, in the order of the plan, with the engine's own quantities."""
    job, layout, system = inputs.job, inputs.answer.takeoff.layout, inputs.job.units
    boards = {board.id: board.name for board in job.choices.boards}
    plan = job.plan
    found: list[Part] = []
    for field, laid in zip(plan.deck_fields, layout.fields, strict=True):
        gap = format_length(laid.side_gap_mm, system)
        text = f"{format_area(laid.area_m2, system)} of {boards[field.board]}, {gap} between boards"
        text += ", with a border" if field.border_courses else ""
        found.append(Part(field.name or f"Deck {field.id}", text))
    for wall, built in zip(plan.feature_walls, layout.walls, strict=True):
        size = f"{format_length(built.length_mm, system)} long, {format_length(built.height_mm, system)} high"
        found.append(Part(wall.name or f"Wall {wall.id}", f"clad in {boards[wall.cladding]}, {size}"))
    for box in (*plan.planters, *plan.benches, *plan.counters):
        size = " × ".join(format_length(n, system) for n in (box.length_mm, box.width_mm, box.height_mm))
        found.append(Part(box.name or box.id, f"{size} (length × width × height)"))
    for bed, laid_bed in zip(plan.stone_beds, layout.beds, strict=True):
        depth = format_length(bed.depth_mm, system)
        found.append(
            Part(bed.name or f"Stone bed {bed.id}", f"{format_area(laid_bed.area_m2, system)}, {depth} deep")
        )
    return (*found, *_services(job))


def _services(job: Job) -> tuple[Part, ...]:
    plan = job.plan
    counted = (
        (
            "Lights",
            len(plan.fixtures),
            f"low-voltage lights on {len(plan.transformers)} transformer(s)",
        ),
        ("Outlets", len(plan.outlets), "outlets, connected by a licensed electrician"),
        ("Speakers", len(plan.speakers), "speakers"),
        ("Gas", len(plan.gas_stubs), "gas stub, run and tested by a licensed gas fitter"),
    )
    return tuple(Part(name, f"{count} {text}") for name, count, text in counted if count)


def _by_grade(findings: tuple[Finding, ...]) -> dict[str, tuple[Finding, ...]]:
    return {grade: tuple(f for f in findings if f.grade == grade) for grade in ("stop", "check", "note")}


_PLACED = {"inclusions", "exclusions", "cautions", "terms", "consent", "cancellation"}


def _rest(wording: tuple[Wording, ...]) -> tuple[Wording, ...]:
    return tuple(text for text in wording if text.code not in _PLACED)
