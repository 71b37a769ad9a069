"""The frame of one deck field: every bar, named and turned back to the plan, and every pad."""

import math
from dataclasses import dataclass

from app.job.choices import Board, Pad, Section
from app.job.job import Job
from app.job.plan import DeckField
from app.takeoff.framing.axes import Axes
from app.takeoff.framing.bars import Bar
from app.takeoff.framing.blocking import blocking_of
from app.takeoff.framing.breakers import bars_under, border_joints, breaker_joints, butt_joints
from app.takeoff.framing.heights import pad_height_mm
from app.takeoff.framing.pad_ground import PadSize
from app.takeoff.framing.pads import Standing, stand
from app.takeoff.framing.records import PadSpot, Stick
from app.takeoff.framing.regions import Region, region_of
from app.takeoff.framing.rims import rims_of
from app.takeoff.framing.sleepers import sleepers_of
from app.takeoff.framing.splices import spliced
from app.takeoff.framing.stacks import stack_for
from app.takeoff.framing.trimmers import trimmers_of
from app.takeoff.layout.records import FieldLayout
from app.takeoff.roof.records import RoofReading
from app.takeoff.roof.way_up import longest_usable_mm


@dataclass(frozen=True)
class FieldParts:
    """One deck field with the materials it is built of.

    Attributes
    ----------
    field : DeckField
    board : Board
    section : Section
    pad : Pad
    layout : FieldLayout
    """

    field: DeckField
    board: Board
    section: Section
    pad: Pad
    layout: FieldLayout

    @property
    def spacing_mm(self) -> float:
        """How far apart sleepers lie, along the boards: as drawn, or closer where the board asks for it."""
        return min(self.field.sleeper_spacing_mm, self.board.greatest_span_mm or math.inf)


@dataclass(frozen=True)
class DeckFrame:
    """One deck field, framed.

    Attributes
    ----------
    bars : tuple of Bar
        In local axes, in the order of `sticks`.
    sticks : tuple of Stick
    pads : tuple of PadSpot
    standing : Standing
    crowded_mm : tuple of corner
        Places where no pad could stand within the spacing. [mm]
    """

    bars: tuple[Bar, ...]
    sticks: tuple[Stick, ...]
    pads: tuple[PadSpot, ...]
    standing: Standing
    crowded_mm: tuple[tuple[float, float], ...]


def parts_of(job: Job, field: DeckField, layout: FieldLayout) -> FieldParts:
    """Give a deck field together with its board, section and pad.

    Parameters
    ----------
    job : Job
        For the choices.
    field : DeckField
        As drawn.
    layout : FieldLayout
        As boarded.

    Returns
    -------
    parts : FieldParts

    Raises
    ------
    KeyError
        When the choices lack one of them; the job room refuses such a file.

    References
    ----------
    Definition.
    """
    boards = {board.id: board for board in job.choices.boards}
    sections = {section.id: section for section in job.choices.sections}
    pads = {pad.id: pad for pad in job.choices.pads}
    return FieldParts(field, boards[field.board], sections[field.sleeper], pads[field.pad], layout)


def frame_field(job: Job, parts: FieldParts, roof: RoofReading) -> DeckFrame:
    """Give the frame of one deck field.

    Parameters
    ----------
    job : Job
        Drains and the way up.
    parts : FieldParts
        The field and its materials.
    roof : RoofReading
        Surface and level.

    Returns
    -------
    frame : DeckFrame

    References
    ----------
    Common practice, no source; each part names its own.
    """
    field, section = parts.field, parts.section
    region = region_of(job, field, parts.layout, section.width_mm)
    longest_mm = longest_usable_mm(section.stock, job.survey.way_up, job.choices.cutting)
    bars = spliced(_bars(parts, region), longest_mm)
    size = PadSize(parts.pad.length_mm, parts.pad.width_mm, field.pad_spacing_mm)
    standing = stand(bars, region.area, region.keep_clear, size)
    axes = Axes(parts.layout.angle_deg)
    sticks = tuple(_stick(bar, number, parts, axes) for number, bar in enumerate(bars, start=1))
    return DeckFrame(
        bars=bars,
        sticks=sticks,
        pads=_pads(standing, sticks, parts, roof, axes),
        standing=standing,
        crowded_mm=tuple(axes.to_plan(x, y) for x, y in standing.crowded),
    )


def _bars(parts: FieldParts, region: Region) -> tuple[Bar, ...]:
    """Give every bar of a field in local axes, left to right and bottom to top."""
    field, width_mm, layout = parts.field, parts.section.width_mm, parts.layout
    axes = Axes(layout.angle_deg)
    lines = [(axes.to_local(*line.start_mm), axes.to_local(*line.end_mm)) for line in layout.breaker_lines]
    gap_mm = layout.end_gap_mm
    borders = border_joints(region)
    breakers = breaker_joints(lines, parts.board.width_mm, gap_mm, width_mm)
    meets = [(axes.to_local(*line.start_mm), axes.to_local(*line.end_mm)) for line in layout.joint_lines]
    butts = butt_joints(meets)
    rims = rims_of(region.area, width_mm)
    joints = bars_under([*borders, *breakers, *butts], region, rims, width_mm, gap_mm)
    across = sleepers_of(region, [*rims, *joints], width_mm, parts.spacing_mm)
    bars = [*rims, *joints, *across]
    bars += trimmers_of(region.islands, bars, width_mm)
    bars += blocking_of(borders, region, bars, field.border_courses, parts.spacing_mm)
    return tuple(
        sorted(bars, key=lambda bar: tuple(round(at, 3) for at in (*bar.at(bar.centre_mm / 2), *bar.start)))
    )


def _stick(bar: Bar, number: int, parts: FieldParts, axes: Axes) -> Stick:
    """Give a bar its name and its place on plan."""
    return Stick(
        id=f"{parts.field.id}-S{number:02d}",
        place=parts.field.id,
        section=parts.section.id,
        role=bar.role,
        start_mm=axes.to_plan(*bar.start),
        end_mm=axes.to_plan(*bar.end),
        length_mm=round(bar.centre_mm + bar.extra_mm, 3),
    )


def _pads(
    standing: Standing, sticks: tuple[Stick, ...], parts: FieldParts, roof: RoofReading, axes: Axes
) -> tuple[PadSpot, ...]:
    """Give the pads on plan with their heights."""
    level_mm = roof.level_of(parts.field.id)
    found = []
    for number, footing in enumerate(standing.footings, start=1):
        x_mm, y_mm = axes.to_plan(footing.x, footing.y)
        roof_mm = roof.height_mm(x_mm, y_mm)
        height_mm = pad_height_mm(level_mm, parts.board.thickness_mm, parts.section.depth_mm, roof_mm)
        stack = stack_for(height_mm, parts.pad)
        found.append(
            PadSpot(
                id=f"{parts.field.id}-P{number:03d}",
                place=parts.field.id,
                stick=sticks[footing.bar].id,
                pad=parts.pad.id,
                x_mm=x_mm,
                y_mm=y_mm,
                roof_mm=roof_mm,
                height_mm=height_mm,
                shims=stack.shims,
                packers=stack.packers,
            )
        )
    return tuple(found)
