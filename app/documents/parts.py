"""What the client gets, place by place."""

from dataclasses import dataclass

from app.job.job import Job
from app.measure.show import format_area, format_length
from app.takeoff.layout.records import Layout


@dataclass(frozen=True, slots=True)
class Part:
    """One thing the client gets: where, what, how much."""

    name: str
    text: str


def parts_of(job: Job, layout: Layout) -> tuple[Part, ...]:
    """List what the client gets, in the order of the plan, with the engine's own quantities."""
    system = job.units
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
    sources = _many(len(plan.transformers), "transformer", "transformers")
    counted = (
        ("Lights", len(plan.fixtures), f"low-voltage light on {sources}", f"low-voltage lights on {sources}"),
        (
            "Outlets",
            len(plan.outlets),
            "outlet, connected by a licensed electrician",
            "outlets, connected by a licensed electrician",
        ),
        ("Speakers", len(plan.speakers), "speaker", "speakers"),
        (
            "Gas",
            len(plan.gas_stubs),
            "gas stub, run and tested by a licensed gas fitter",
            "gas stubs, run and tested by a licensed gas fitter",
        ),
    )
    return tuple(Part(name, _many(count, one, more)) for name, count, one, more in counted if count)


def _many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"
