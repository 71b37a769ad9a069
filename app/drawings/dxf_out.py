"""The plan as DXF, for whoever draws on: closed outlines in millimetres, one layer for each material."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from app.drawings.stick_shapes import stick_shapes
from app.drawings.things import box_corners
from app.job.job import Job
from app.job.shapes import penetration_outline
from app.takeoff.chain import Takeoff

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

Ring = Sequence[tuple[float, float]]

_LETTERS_MM = 60.0
_PLAIN = re.compile(r"[^A-Za-z0-9_$-]+")
# AutoCAD colour index by kind: the numbers are those of the DXF reference; the choice is ours.
_COLOUR = {"ROOF": 7, "BOARD": 30, "SLEEPER": 40, "PAD": 140, "PEDESTAL": 140, "RUN": 1, "BED": 8, "TEXT": 7}
_MILLIMETRES = 4  # $INSUNITS


def plan_dxf(job: Job, takeoff: Takeoff) -> str:
    """Give the plan as a DXF file: roof, boards, frame, pads, beds, boxes, walls and runs.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its pieces, sticks, pads and runs are what is drawn, at full precision.

    Returns
    -------
    text : str
        DXF R2010 in millimetres; the same for the same job.

    Notes
    -----
    Layers are named by kind and material: ``BOARD-tmp-140``, ``SLEEPER-sp-89``, ``PAD-xps-50``. Each board
    carries its number, the one of the cut plan, on ``NUMBERS``.

    References
    ----------
    DXF reference, LWPOLYLINE, TEXT and header variables.
    """
    # A second's import: only those who take a drawing out pay for it.
    import ezdxf  # noqa: PLC0415
    from ezdxf._options import options  # noqa: PLC0415

    was_fixed = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # no clock and no chance in the file
    try:
        document = ezdxf.new("R2010")  # type: ignore[attr-defined]
        document.header["$INSUNITS"] = _MILLIMETRES
        document.header["$MEASUREMENT"] = 1
        sheet = _Layers(document, document.modelspace())
        _draw_site(sheet, job)
        _draw_pieces(sheet, takeoff)
        _draw_frame(sheet, job, takeoff)
        _draw_things(sheet, job, takeoff)
        text = io.StringIO()
        document.write(text)
    finally:
        options.write_fixed_meta_data_for_testing = was_fixed
    return text.getvalue()


class _Layers:
    """Puts outlines and words onto layers, each made when it is first drawn on."""

    def __init__(self, document: Any, space: Modelspace) -> None:
        self._layers = document.layers
        self._space = space

    def ring(self, layer: str, ring: Ring) -> None:
        self._space.add_lwpolyline(list(ring), close=True, dxfattribs={"layer": self._known(layer)})

    def line(self, layer: str, spots: Ring) -> None:
        if len(spots) > 1:
            self._space.add_lwpolyline(list(spots), dxfattribs={"layer": self._known(layer)})

    def circle(self, layer: str, at: tuple[float, float], radius_mm: float) -> None:
        self._space.add_circle(at, radius_mm, dxfattribs={"layer": self._known(layer)})

    def words(self, layer: str, at: tuple[float, float], words: str) -> None:
        text = self._space.add_text(words, height=_LETTERS_MM, dxfattribs={"layer": self._known(layer)})
        text.set_placement(at)

    def _known(self, layer: str) -> str:
        name = _PLAIN.sub("-", layer)
        if name not in self._layers:
            self._layers.add(name, color=_COLOUR.get(name.partition("-")[0], 7))
        return name


def _draw_site(sheet: _Layers, job: Job) -> None:
    survey = job.survey
    for ring in (survey.outline_mm, *survey.holes_mm):
        sheet.ring("ROOF", ring)
    for edge in survey.edges:
        ring = survey.outline_mm
        ends = (ring[edge.from_corner], ring[(edge.from_corner + 1) % len(ring)])
        sheet.line(f"EDGE-{edge.kind}", ends)
    for drain in survey.drains:
        sheet.circle(f"DRAIN-{drain.kind}", (drain.x_mm, drain.y_mm), drain.diameter_mm / 2)
    for it in survey.penetrations:
        if it.shape == "round":
            sheet.circle(f"THROUGH-{it.kind}", (it.x_mm, it.y_mm), it.width_mm / 2)
        else:
            sheet.ring(f"THROUGH-{it.kind}", list(penetration_outline(it).exterior.coords)[:-1])
    for spot in survey.spot_heights:
        sheet.words("HEIGHTS", (spot.x_mm, spot.y_mm), f"{spot.z_mm:.1f}")


def _draw_pieces(sheet: _Layers, takeoff: Takeoff) -> None:
    for piece in takeoff.layout.pieces:
        if piece.plane == "plan":
            sheet.ring(f"BOARD-{piece.profile}", piece.outline_mm)
            sheet.words("NUMBERS", _middle(piece.outline_mm), piece.id)


def _draw_frame(sheet: _Layers, job: Job, takeoff: Takeoff) -> None:
    shapes = stick_shapes(job, takeoff)
    pads = {pad.id: pad.width_mm / 2 for pad in job.choices.pads}
    feet = {pedestal.id: pedestal.foot_mm / 2 for pedestal in job.choices.pedestals}
    for stick in takeoff.framing.sticks:
        if stick.id in shapes:
            sheet.ring(f"SLEEPER-{stick.section}", shapes[stick.id])
    for spot in takeoff.framing.pads:
        if spot.pedestal:
            sheet.circle(f"PEDESTAL-{spot.pedestal}", (spot.x_mm, spot.y_mm), feet[spot.pedestal])
            continue
        half, x, y = pads[spot.pad], spot.x_mm, spot.y_mm
        square = ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
        sheet.ring(f"PAD-{spot.pad}", square)


def _draw_things(sheet: _Layers, job: Job, takeoff: Takeoff) -> None:
    plan = job.plan
    for field in plan.deck_fields:
        for ring in (field.outline_mm, *field.holes_mm):
            sheet.ring("FIELD", ring)
    stones = {bed.id: bed.stone for bed in plan.stone_beds}
    for bed in takeoff.layout.beds:
        sheet.ring(f"BED-{stones[bed.bed]}", bed.outline_mm)
    for box in takeoff.layout.boxes:
        sheet.ring(box.kind.upper(), box.outline_mm)
    for piece in plan.furniture:
        sheet.ring("FURNITURE", box_corners(piece))
    for wall in plan.feature_walls:
        sheet.line(f"WALL-{wall.cladding}", (wall.start_mm, wall.end_mm))
    for run in takeoff.rough_in.runs:
        sheet.line(f"RUN-{run.kind}", run.path_mm)
    devices: Iterable[Any] = (*plan.fixtures, *plan.outlets, *plan.speakers, *plan.gas_stubs)
    for device in devices:
        sheet.words("DEVICES", (device.x_mm, device.y_mm), device.id)


def _middle(ring: Ring) -> tuple[float, float]:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
