"""The frames of boxes and steps from above, each stick with the number the cut plan gives it.

Two views of each box: what lies below, with the posts that stand on it, and what lies above::

    ┌──────K04──────┐   above
    K07     K09   K08
    └──────K03──────┘

Steps have one view, from the upper floor down: ledgers, the bearers on them, and the posts at their feet.
"""

from dataclasses import dataclass

from app.drawings.canvas import HAIR_MM, NARROW_MM, SMALL_MM, Canvas, Pen, Spot
from app.drawings.strokes import number_of, rectangle
from app.job.job import Job
from app.takeoff.chain import Takeoff
from app.takeoff.framing.records import Stick
from app.takeoff.layout.boxes import bays
from app.takeoff.layout.steps import flight_of, step_parts, stringer_lines

_MARGIN_MM, _BETWEEN_MM = 7.0, 12.0  # on paper
_TOLERANCE_MM = 0.01


@dataclass(frozen=True, slots=True)
class PlacedStick:
    """One stick of a box frame where it goes.

    Attributes
    ----------
    id : str
        Of the stick.
    part : str
        ``rail`` or ``post``.
    is_above : bool
        In the view of what lies above.
    box_mm : tuple of float
        Least x and y, greatest x and y from the frame's front left corner. [mm]
    """

    id: str
    part: str
    is_above: bool
    box_mm: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class BoxFrame:
    """The frame of one box.

    Attributes
    ----------
    box : str
        Id in the job file.
    length_mm, width_mm : float
        Of the frame on plan. [mm]
    sticks : tuple of PlacedStick
        Rails and posts.
    others : tuple of str
        Ids of sticks that are in neither view: battens under lids.
    views : tuple of (bool, str)
        What is drawn one above the other: whether it lies above, and its words.
    """

    box: str
    length_mm: float
    width_mm: float
    sticks: tuple[PlacedStick, ...]
    others: tuple[str, ...]
    views: tuple[tuple[bool, str], ...] = ((False, "front; below, and posts"), (True, "front; above"))


def box_frames(job: Job, takeoff: Takeoff) -> tuple[BoxFrame, ...]:
    """Give the frames of planters, benches, counters and steps, stick by stick.

    Parameters
    ----------
    job : Job
        Sections.
    takeoff : Takeoff
        Its boxes and their sticks.

    Returns
    -------
    frames : tuple of BoxFrame
        A box too small for all its rails and posts is left out; its sticks stand in the list alone.

    Notes
    -----
    Sticks of one length are alike: which of them goes where is taken in the order of their numbers.

    References
    ----------
    Definition; the frame is common practice, no source.
    """
    widths = {section.id: section.width_mm for section in job.choices.sections}
    found = []
    for box in takeoff.layout.boxes:
        sticks = [one for one in takeoff.framing.sticks if one.place == box.box and one.role == "frame"]
        if not sticks:
            continue
        wide_mm = widths[sticks[0].section]
        is_flight = box.kind == "steps"
        frame = (
            _flight(box.box, job, takeoff, sticks, wide_mm)
            if is_flight
            else _placed(box.box, sticks, wide_mm)
        )
        if frame is not None:
            found.append(frame)
    return tuple(found)


def box_frame_svg(frame: BoxFrame, scale: float) -> str:
    """Give one frame as SVG, view above view, each stick with its number.

    Parameters
    ----------
    frame : BoxFrame
        What is drawn.
    scale : float
        Millimetres of the frame to one millimetre of paper.

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    References
    ----------
    Line widths ISO 128, lettering ISO 3098-1; definition.
    """
    edge, between = _MARGIN_MM * scale, _BETWEEN_MM * scale
    step = frame.width_mm + between
    top = step * (len(frame.views) - 1) + frame.width_mm + edge
    canvas = Canvas((-edge, -edge, frame.length_mm + edge, top), scale, frame.box)
    for row, (is_above, words) in enumerate(frame.views):
        base = row * step
        canvas.layer("above" if is_above else "below")
        mine = [stick for stick in frame.sticks if stick.is_above is is_above]
        for stick in mine:
            left, low, right, high = stick.box_mm
            low, high = low + base, high + base
            pen = Pen(NARROW_MM if stick.part == "rail" else HAIR_MM, fill="paper")
            canvas.polygon(rectangle((left, low, right, high)), stick.part, pen, stick.id)
            if stick.part == "post":
                canvas.line(((left, low), (right, high)), "post", Pen(HAIR_MM))
                canvas.line(((left, high), (right, low)), "post", Pen(HAIR_MM))
        for stick in mine:
            _number(canvas, frame, stick, base)
        canvas.text((frame.length_mm / 2, base - edge * 0.8), words, SMALL_MM * 0.8)
    return canvas.svg()


def _placed(box: str, sticks: list[Stick], wide_mm: float) -> BoxFrame | None:
    """Put each stick where it goes; None when the frame is too small to have them all."""
    rails, rest = sticks[:4], sticks[4:]
    length_mm = rails[0].length_mm
    if not _alike(rails) or len(rest) < 8:
        return None
    long_bays = bays(length_mm)
    short, posts = rest[: 3 + long_bays], rest[3 + long_bays :]
    width_mm = short[0].length_mm + 2 * wide_mm
    count = 4 + 2 * (long_bays - 1) + 2 * (bays(width_mm) - 1)
    if not _alike(short) or len(posts) < count or not _alike(posts[:count]):
        return None
    placed = [
        PlacedStick(stick.id, "rail", number > 1, (0.0, low, length_mm, low + wide_mm))
        for number, (stick, low) in enumerate(zip(rails, (0.0, width_mm - wide_mm) * 2, strict=True))
    ]
    middles = [length_mm * number / long_bays for number in range(1, long_bays)]
    across = [0.0, length_mm - wide_mm] * 2 + [middle - wide_mm / 2 for middle in middles]
    placed += [
        PlacedStick(stick.id, "rail", number > 1, (left, wide_mm, left + wide_mm, width_mm - wide_mm))
        for number, (stick, left) in enumerate(zip(short, across, strict=True))
    ]
    places = _post_places(length_mm, width_mm, wide_mm, middles)
    placed += [
        PlacedStick(stick.id, "post", is_above=False, box_mm=(x, y, x + wide_mm, y + wide_mm))
        for stick, (x, y) in zip(posts[:count], places, strict=True)
    ]
    return BoxFrame(box, length_mm, width_mm, tuple(placed), tuple(one.id for one in posts[count:]))


def _flight(box: str, job: Job, takeoff: Takeoff, sticks: list[Stick], wide_mm: float) -> BoxFrame:
    """Put the sticks of steps where they go: the top tread at the top, ledgers under the bearers."""
    steps = next(steps for steps in job.plan.steps if steps.id == box)
    flight = flight_of(steps, takeoff.roof, job.choices.limits.greatest_riser_mm)
    between_mm = (steps.width_mm - wide_mm) / max(stringer_lines(steps) - 1, 1)
    placed = []
    for part, stick in zip(step_parts(steps, job, flight), sticks, strict=True):
        back = flight.run_mm - (part.tread - 1) * steps.going_mm
        front, x = back - steps.going_mm, part.line * between_mm
        at = {
            "ledger": (0.0, back - wide_mm, steps.width_mm, back),
            "bearer": (x, front, x + wide_mm, back),
            "post": (x, front, x + wide_mm, front + wide_mm),
        }[part.part]
        kind = "post" if part.part == "post" else "rail"
        placed.append((part.part != "ledger", PlacedStick(stick.id, kind, is_above=False, box_mm=at)))
    placed.sort(key=lambda one: one[0])  # ledgers lie below
    return BoxFrame(
        box,
        steps.width_mm,
        flight.run_mm,
        tuple(stick for _, stick in placed),
        (),
        ((False, "foot of the steps; the upper floor is at the top"),),
    )


def _alike(sticks: list[Stick]) -> bool:
    """Whether sticks are all of one length."""
    return all(abs(stick.length_mm - sticks[0].length_mm) < _TOLERANCE_MM for stick in sticks)


def _post_places(length_mm: float, width_mm: float, wide_mm: float, middles: list[float]) -> list[Spot]:
    """Give the front left corner of each post: corners, long sides in pairs, short sides in pairs."""
    right, back = length_mm - wide_mm, width_mm - wide_mm
    short_bays = bays(width_mm)
    places: list[Spot] = [(0.0, 0.0), (right, 0.0), (right, back), (0.0, back)]
    places += [(x - wide_mm / 2, y) for x in middles for y in (0.0, back)]
    between = [width_mm * number / short_bays - wide_mm / 2 for number in range(1, short_bays)]
    return places + [(x, y) for y in between for x in (0.0, right)]


def _number(canvas: Canvas, frame: BoxFrame, stick: PlacedStick, base: float) -> None:
    """Write a number: a rail's along it, a quarter along where it is long; a post's outside the frame."""
    left, low, right, high = stick.box_mm
    x, y = (left + right) / 2, (low + high) / 2
    off, height = canvas.paper_mm(1.8), SMALL_MM * 0.7
    name = number_of(stick.id)
    if stick.part == "rail":
        is_long = right - left > high - low
        # Middle posts and cross rails stand at halves and thirds: these places are free of them.
        at = (left + (right - left) * 0.125, y + base) if is_long else (x, low + (high - low) * 0.27 + base)
        canvas.text(at, name, height, turn_deg=0.0 if is_long else 90.0)
        return
    is_side = low > 0.0 and high < frame.width_mm - _TOLERANCE_MM
    if is_side:
        canvas.text((x + (off * 1.9 if x > frame.length_mm / 2 else -off * 1.9), y + base), name, height)
    else:
        canvas.text((x, base + (low - off if low <= 0.0 else high + off)), name, height)
