"""The layout room's entry: where every visible piece lies."""

from dataclasses import replace

from app.job.doing import Do, at_once
from app.job.job import Job
from app.job.plan import DeckField
from app.takeoff.layout.beds import devices_in, lay_bed
from app.takeoff.layout.built_findings import built_findings
from app.takeoff.layout.cladding import clad_wall
from app.takeoff.layout.fascia import field_fascia
from app.takeoff.layout.field_findings import field_assumption, field_findings
from app.takeoff.layout.fields import BoardedField, board_field
from app.takeoff.layout.outlines import keep_clear
from app.takeoff.layout.place_findings import place_assumptions, place_findings
from app.takeoff.layout.planters import build_planter
from app.takeoff.layout.records import Layout
from app.takeoff.layout.seats import build_bench, build_counter
from app.takeoff.layout.steps import build_steps
from app.takeoff.layout.wall_findings import wall_findings
from app.takeoff.roof.records import RoofReading


def lay_out(job: Job, roof: RoofReading, do: Do = at_once) -> Layout:
    """Lay every visible piece: decks, walls, planters, benches, counters, beds.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    roof : RoofReading
        The roof as read.
    do : Do
        How its parts are done.

    Returns
    -------
    layout : Layout
        Pieces place by place, in the order of the plan.

    References
    ----------
    Definition; each module names its own sources.
    """
    plan = job.plan
    clear = keep_clear(job.survey.penetrations)
    fields = [
        _with_fascia(field, do(board_field, field, job, clear), job, roof) for field in plan.deck_fields
    ]
    walls = [do(clad_wall, wall, job) for wall in plan.feature_walls]
    boxes = [
        *(do(build_planter, planter, job) for planter in plan.planters),
        *(do(build_bench, bench, job) for bench in plan.benches),
        *(do(build_counter, counter, job) for counter in plan.counters),
        *(build_steps(steps, job, roof) for steps in plan.steps),
    ]
    stones = {stone.id: stone for stone in job.choices.stones}
    beds = tuple(lay_bed(bed, stones[bed.stone], devices_in(bed, plan)) for bed in plan.stone_beds)
    places = (
        *(field.pieces for field in fields),
        *(wall.pieces for wall in walls),
        *(pieces for _, pieces in boxes),
    )
    dropped_mm2 = sum(laid.dropped_mm2 for laid in fields) + sum(laid.dropped_mm2 for laid in walls)
    on_fields = zip(plan.deck_fields, fields, strict=True)
    on_walls = zip(plan.feature_walls, walls, strict=True)
    return Layout(
        pieces=tuple(piece for pieces in places for piece in pieces),
        fields=tuple(field.layout for field in fields),
        walls=tuple(wall.layout for wall in walls),
        boxes=tuple(layout for layout, _ in boxes),
        beds=beds,
        findings=(
            *(finding for field, laid in on_fields for finding in field_findings(field, laid, job)),
            *(finding for wall, laid in on_walls for finding in wall_findings(wall, laid, job)),
            *place_findings(job),
            *built_findings(job, roof, tuple(layout for layout, _ in boxes), beds),
        ),
        assumptions=(
            *(
                field_assumption(field, laid, job)
                for field, laid in zip(plan.deck_fields, fields, strict=True)
            ),
            *place_assumptions(job, dropped_mm2),
        ),
    )


def _with_fascia(field: DeckField, boarded: BoardedField, job: Job, roof: RoofReading) -> BoardedField:
    """Add the fascia under a field's open edges to its pieces."""
    fascia = field_fascia(field, job, roof, len(boarded.pieces) + 1)
    layout = replace(boarded.layout, fascia_mm=fascia.length_mm, fascia_high_mm=fascia.tallest_mm)
    return replace(boarded, layout=layout, pieces=boarded.pieces + fascia.pieces)
