"""The framing room's entry: what carries the boards, where it stands and what is to be said about it."""

from dataclasses import replace

from app.job.doing import Do, at_once
from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.framing.access import access_findings, access_panels, covered_findings
from app.takeoff.framing.bars import Bar
from app.takeoff.framing.breakers import LEAST_BEARING_MM, PAIR_GAP_MM
from app.takeoff.framing.crossings import crossings_of
from app.takeoff.framing.deck_findings import closer_findings, deck_findings, no_room
from app.takeoff.framing.deck_frame import DeckFrame, FieldParts, frame_field, parts_of
from app.takeoff.framing.doubling import Doubling, doubled
from app.takeoff.framing.furring import BOX_FIXING_MM, box_crossings, fascia_crossings, frames_of, furring_of
from app.takeoff.framing.heights import height_findings, pad_schedule
from app.takeoff.framing.pedestals import on_pedestals, pedestal_findings
from app.takeoff.framing.records import Crossing, Framing, Stick
from app.takeoff.framing.screening import screen_field
from app.takeoff.framing.splices import LEAST_STAGGER_MM
from app.takeoff.framing.standing_loads import KN_PER_KG, board_kpa
from app.takeoff.framing.tape import connectors_of, tape_mm
from app.takeoff.framing.water import water_findings
from app.takeoff.layout.records import Layout
from app.takeoff.roof.footprints import field_polygon
from app.takeoff.roof.records import FieldLevel, RoofReading


def frame(job: Job, roof: RoofReading, layout: Layout, do: Do = at_once) -> Framing:
    """Give everything that carries: timber, pads, fixings and the screening of the spans.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    roof : RoofReading
        Surface, fall and the level of the deck.
    layout : Layout
        Every visible piece.
    do : Do
        How its parts are done.

    Returns
    -------
    framing : Framing

    References
    ----------
    Each module names its own sources. Nothing here replaces a licensed engineer.
    """
    layouts = {reading.field: reading for reading in layout.fields}
    fields = [
        parts_of(job, field, layouts[field.id]) for field in job.plan.deck_fields if field.id in layouts
    ]
    frames = [do(frame_field, job, parts, _ground(roof, parts.field.id)) for parts in fields if roof.level]
    stands = [
        doubled(parts.field, parts.section, parts.pad, job.plan.level, deck.sticks, deck.pads)
        for parts, deck in zip(fields, frames, strict=False)
    ]
    stands = [on_pedestals(job, stand) for stand in stands]
    screened = [screen_field(job, parts, deck, layout) for parts, deck in zip(fields, frames, strict=False)]
    furring, boxes = furring_of(job, layout), frames_of(layout)
    findings = [
        finding
        for parts, deck, stand in zip(fields, frames, stands, strict=False)
        for finding in _say(job, parts, deck, stand, roof)
    ]
    pads = tuple(pad for stand in stands for pad in stand.pads)
    return Framing(
        sticks=(
            *(stick for deck in frames for stick in deck.sticks),
            *(stick for stand in stands for stick in stand.sticks),
            *furring,
            *boxes,
        ),
        pads=pads,
        crossings=_crossings(job, layout, fields, frames, (furring, boxes), do),
        span_checks=tuple(check for check, _, _ in screened if check is not None),
        tape_mm=tuple(
            (parts.field.id, tape_mm(deck.bars)) for parts, deck in zip(fields, frames, strict=False)
        ),
        connectors=tuple(
            (parts.field.id, connectors_of(deck.bars)) for parts, deck in zip(fields, frames, strict=False)
        ),
        access_panels=access_panels(job),
        findings=(
            *findings,
            *(finding for _, said, _ in screened for finding in said),
            *(
                finding
                for parts, stand, (check, _, _) in zip(fields, stands, screened, strict=False)
                for finding in pedestal_findings(job, parts.field, stand.pads, check)
            ),
            *access_findings(job),
            *covered_findings(job, [stick for deck in frames for stick in deck.sticks], _bodies(frames)),
        ),
        assumptions=(
            *(assumption for _, _, given in screened for assumption in given),
            *(_given(Spoken(job.units)) if frames else ()),
        ),
        pad_schedule=pad_schedule(pads),
        tall_pads=tuple(stand.tall for stand in stands if stand.tall is not None),
    )


def _ground(roof: RoofReading, field: str) -> RoofReading:
    """Give what the frame of one field stands on; what is said of the rest of the roof is no part of it."""
    return RoofReading(
        method=roof.method,
        residual_mm=roof.residual_mm,
        height_mm=roof.height_mm,
        fall_pct=roof.fall_pct,
        fall_deg=roof.fall_deg,
        level=None,
        guards=(),
        findings=(),
        assumptions=(),
        levels=(FieldLevel(field, roof.level_of(field), 0.0),),
    )


def _given(say: Spoken) -> tuple[Assumption, ...]:
    """Give what was taken as given for every frame."""
    return (
        Assumption(
            code="framing.rims",
            text="Rims go round every edge; a rim or trimmer that hangs on sleepers has pads of its own only "
            "where those stand further apart than pads may.",
            source="Common practice, no source",
        ),
        Assumption(
            code="framing.joints",
            text="Every board end at a breaker or border has its own bearing of about "
            f"{say.length(LEAST_BEARING_MM)}: two sleepers {say.length(PAIR_GAP_MM)} apart where one is too "
            f"narrow. Splices are joined over a pad and staggered by {say.length(LEAST_STAGGER_MM)} or more.",
            source="Common practice, no source",
        ),
        Assumption(
            code="framing.connectors",
            text="One frame connector where an end meets the side of another stick, one at every splice; "
            f"boards of planters, benches and counters are fixed every {say.length(BOX_FIXING_MM)}.",
            source="Common practice, no source",
        ),
    )


def _bodies(frames: list[DeckFrame]) -> list[Bar]:
    """Give every stick under the decks as it lies on plan."""
    return [
        replace(bar, start=stick.start_mm, end=stick.end_mm)
        for deck in frames
        for stick, bar in zip(deck.sticks, deck.bars, strict=True)
    ]


def _crossings(
    job: Job,
    layout: Layout,
    fields: list[FieldParts],
    frames: list[DeckFrame],
    built: tuple[tuple[Stick, ...], ...],
    do: Do,
) -> tuple[Crossing, ...]:
    """Give the crossings of every deck, wall and box; `built` are the furring and the frames of boxes."""
    furring, boxes = built
    spacing = {parts.field.id: parts.spacing_mm for parts in fields}
    spacing |= {wall.id: wall.furring_spacing_mm for wall in job.plan.feature_walls}
    sticks: dict[str, list[Stick]] = {}
    for stick in (*(stick for deck in frames for stick in deck.sticks), *furring):
        sticks.setdefault(stick.place, []).append(stick)
    found: list[Crossing] = []
    for place, mine in sticks.items():
        plane = place if mine[0].role == "furring" else "plan"
        pieces = [piece for piece in layout.pieces if piece.place == place and piece.plane == plane]
        found += do(crossings_of, pieces, mine, spacing[place])
    on_rims = fascia_crossings(layout, [stick for deck in frames for stick in deck.sticks])
    return (*found, *box_crossings(layout, boxes), *on_rims)


def _say(
    job: Job, parts: FieldParts, deck: DeckFrame, stand: Doubling, roof: RoofReading
) -> tuple[Finding, ...]:
    """Give what is to be said about one deck's frame."""
    field, section, say = parts.field, parts.section, Spoken(job.units)
    underside_mm = roof.level_of(field.id) - parts.board.thickness_mm - section.depth_mm
    timber_m = sum(stick.length_mm for stick in (*deck.sticks, *stand.sticks)) / 1000
    area_m2 = field_polygon(field).area / 1e6
    weight_kpa = board_kpa(parts) + timber_m * section.mass_kg_m * KN_PER_KG / area_m2
    return (
        *height_findings(field, parts.pad, job.plan.level, stand.pads, stand.tall, say),
        *(() if deck.sticks else (no_room(field, section, say),)),
        *closer_findings(field, parts.board, parts.spacing_mm, say),
        *deck_findings(field, weight_kpa, deck.crowded_mm, field.pad_spacing_mm, say),
        *water_findings(field, deck.sticks, roof, underside_mm, job.choices.limits.least_free_height_mm, say),
    )
