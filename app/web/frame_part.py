"""The part "Frame and pads" of sheet 6: the frame drawn, the pads made up alike, the sticks and the spans."""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from app.actions.records import WorkedOut
from app.drawings.frame import frame_svg
from app.takeoff.framing.records import PadBand, SpanCheck, Stick, TallPads
from app.web.drawings import drawn, on_page

_UNDER_DECK = ("sleeper", "breaker sleeper", "rim", "blocking", "trimmer", "doubling")
_ROLE_WORDS = {"doubling": "second sleeper"}


@dataclass(frozen=True, slots=True)
class StickRow:
    """Sticks of one section that are cut alike.

    `section` is its name; `ids` are the sticks as on the drawing.
    """

    section: str
    role: str
    length_mm: float
    count: int
    ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PadRow:
    """Pads made up alike, with the name of their pad."""

    band: PadBand
    pad: str
    shim_step_mm: float


@dataclass(frozen=True, slots=True)
class FramePart:
    """What carries the boards.

    `svg` is the frame drawn; `pads` the pad schedule, `tall` what is taller than the plan allows, `spans`
    the screening field by field and `sticks` the timber under the decks.
    """

    svg: Markup
    pads: tuple[PadRow, ...]
    tall: tuple[TallPads, ...]
    spans: tuple[SpanCheck, ...]
    sticks: tuple[StickRow, ...]

    @property
    def pad_count(self) -> int:
        """All pads."""
        return sum(row.band.pads for row in self.pads)


def frame_part(worked: WorkedOut) -> FramePart:
    """The frame and pads of a job."""
    job, framing = worked.sheet.job, worked.answer.takeoff.framing
    pads = {pad.id: pad for pad in job.choices.pads}
    pedestals = {pedestal.id: pedestal.name or pedestal.id for pedestal in job.choices.pedestals}
    names = {section.id: section.name or section.id for section in job.choices.sections}
    return FramePart(
        svg=on_page(drawn(frame_svg, worked), "frame"),
        pads=tuple(
            PadRow(
                band,
                pedestals.get(band.pedestal) or pads[band.pad].name or band.pad,
                pads[band.pad].shim_step_mm,
            )
            for band in framing.pad_schedule
        ),
        tall=framing.tall_pads,
        spans=framing.span_checks,
        sticks=tuple(_rows(framing.sticks, names)),
    )


def _rows(sticks: Iterable[Stick], names: dict[str, str]) -> Iterable[StickRow]:
    """Sticks by section and role, longest first."""
    alike: dict[tuple[str, str, float], list[str]] = {}
    for stick in sticks:
        if stick.role in _UNDER_DECK:
            alike.setdefault((stick.section, stick.role, round(stick.length_mm)), []).append(stick.id)
    for (section, role, length_mm), ids in sorted(
        alike.items(), key=lambda item: (*item[0][:2], -item[0][2])
    ):
        yield StickRow(names[section], _ROLE_WORDS.get(role, role), length_mm, len(ids), tuple(ids))
