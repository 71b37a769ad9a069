import itertools

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, box

from app.job.survey import Drain, LiveLoad
from tests.builders import a_deck_field, a_job, a_plan, a_section, a_survey, choices
from tests.takeoff.framing.framed import framed, turn_job

SIZES = st.tuples(st.integers(900, 5600), st.integers(900, 3700))
SECTIONS = st.sampled_from([(89, 38), (38, 89), (38, 140), (64, 38)])


def a_rectangle(size: tuple[int, int], section: tuple[int, int], **field):
    width, depth = size
    outline = ((200, 200), (200 + width, 200), (200 + width, 200 + depth), (200, 200 + depth))
    base = choices()
    sleeper = a_section(width_mm=section[0], depth_mm=section[1])
    return a_job(
        survey=a_survey(drains=()),
        plan=a_plan(deck_fields=(a_deck_field(outline_mm=outline, **field),)),
        materials=choices(sections=(sleeper, *base.sections[1:])),
    )


@given(
    size=SIZES,
    section=SECTIONS,
    angle=st.one_of(st.sampled_from([90.0, 180.0, 270.0]), st.floats(1.0, 359.0)),
    border=st.integers(0, 1),
)
@settings(max_examples=25, deadline=None)
def test_turning_roof_and_plan_together_keeps_every_count(size, section, angle, border) -> None:
    job = a_rectangle(size, section, border_courses=border)
    straight, turned = framed(job), framed(turn_job(job, angle))
    assert len(turned.sticks) == len(straight.sticks)
    assert len(turned.framing.pads) == len(straight.framing.pads)
    assert turned.framing.connectors == straight.framing.connectors
    lengths = [sorted(round(stick.length_mm) for stick in deck.sticks) for deck in (straight, turned)]
    assert lengths[0] == lengths[1]


@given(size=SIZES, section=SECTIONS, low=st.floats(0.5, 5.0), more=st.floats(0.01, 5.0))
@settings(max_examples=25, deadline=None)
def test_more_load_never_lengthens_a_span_nor_removes_a_stop(size, section, low, more) -> None:
    job = a_rectangle(size, section)

    def under(kpa: float):
        load = LiveLoad(live_kpa=kpa, source="asked (invented)")
        return framed(job.model_copy(update={"survey": job.survey.model_copy(update={"live_load": load})}))

    light, heavy = under(low), under(low + more)
    for one, other in zip(light.framing.span_checks, heavy.framing.span_checks, strict=True):
        assert other.allowed_mm <= one.allowed_mm + 1e-9
        assert other.pad_kpa >= one.pad_kpa
    assert light.codes("stop") <= heavy.codes("stop")


@given(size=SIZES, section=SECTIONS, spacing=st.integers(250, 600), angle=st.sampled_from([0, 90]))
@settings(max_examples=25, deadline=None)
def test_bars_are_never_further_apart_than_the_spacing_and_never_in_each_other(
    size, section, spacing, angle
) -> None:
    deck = framed(a_rectangle(size, section, sleeper_spacing_mm=spacing, angle_deg=angle))
    axis = 0 if angle == 0 else 1
    places = sorted(
        {
            round(stick.start_mm[axis], 3)
            for stick in deck.sticks
            if abs(stick.start_mm[axis] - stick.end_mm[axis]) < 1e-3
        }
    )
    gaps = [right - left for left, right in itertools.pairwise(places)]
    assert max(gaps, default=0) <= spacing + 0.01
    assert min(gaps, default=1e9) >= section[0] - 0.01


@given(size=SIZES, spacing=st.integers(300, 900))
@settings(max_examples=25, deadline=None)
def test_every_sleeper_stands_on_pads_no_further_apart_than_drawn(size, spacing) -> None:
    deck = framed(a_rectangle(size, (89, 38), pad_spacing_mm=spacing))
    for check in deck.framing.span_checks:
        assert check.span_mm <= spacing + 1 or "framing.pad-crowded" in deck.codes()
    standing = {pad.stick for pad in deck.framing.pads}
    for stick in deck.sticks:
        if stick.role == "sleeper" and stick.length_mm >= 250:
            assert stick.id in standing or "framing.pad-crowded" in deck.codes()


@given(
    x=st.integers(100, 5900),
    y=st.integers(100, 3950),
    section=SECTIONS,
    angle=st.sampled_from([0, 90, 45, 17]),
    border=st.integers(0, 2),
)
@settings(max_examples=40, deadline=None)
def test_no_drain_is_ever_covered_without_a_word(x, y, section, angle, border) -> None:
    base = a_rectangle((5600, 3700), section, angle_deg=angle, border_courses=border)
    drain = Drain(id="d", kind="drain", x_mm=x, y_mm=y)
    deck = framed(base.model_copy(update={"survey": base.survey.model_copy(update={"drains": (drain,)})}))
    clear = Point(x, y).buffer(150)
    if any(deck.body(stick).intersection(clear).area > 10 for stick in deck.sticks):
        assert "framing.drain-crowded" in deck.codes("check")
    assert all(Point(pad.x_mm, pad.y_mm).distance(clear) > 70 for pad in deck.framing.pads)
    touches = box(200, 200, 5800, 3900).intersects(clear)
    assert (deck.framing.access_panels == (("d", "deck"),)) is touches
