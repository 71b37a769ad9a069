"""Laws of lengths: what is shown can be typed again, and the way of writing changes nothing."""

from fractions import Fraction
from math import isfinite

from hypothesis import given, settings
from hypothesis import strategies as st

from app.measure.errors import InputError
from app.measure.lengths import feet_and_inches, read_mm
from app.measure.show import format_length

millimetres = st.floats(min_value=-1e6, max_value=1e6)
sixteenths = st.integers(min_value=-500_000, max_value=500_000)


@settings(max_examples=50, deadline=None)
@given(sixteenths)
def test_any_sixteenth_is_shown_and_read_back_exactly(count: int) -> None:
    length_mm = float(Fraction(count, 16) * Fraction(127, 5))
    assert read_mm(feet_and_inches(length_mm)) == length_mm


@settings(max_examples=50, deadline=None)
@given(millimetres)
def test_what_is_shown_in_inches_is_within_a_thirtysecond(length_mm: float) -> None:
    assert abs(read_mm(format_length(length_mm, "imperial")) - length_mm) <= 25.4 / 32 + 1e-9


@settings(max_examples=50, deadline=None)
@given(millimetres)
def test_what_is_shown_in_millimetres_is_within_half_of_one(length_mm: float) -> None:
    assert abs(read_mm(format_length(length_mm, "metric")) - length_mm) <= 0.5 + 1e-9


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 200), st.integers(0, 11), st.integers(1, 15))
def test_all_ways_of_writing_feet_and_inches_agree(feet: int, inches: int, part: int) -> None:
    fraction = f"{Fraction(part, 16)}"
    ways = (
        f"{feet}' {inches} {fraction}\"",
        f"{feet}'-{inches} {fraction}\"",
        f"{feet}-{inches} {fraction}",
        f"{feet} ft {inches}-{fraction} in",
        f"{feet}′{inches} {fraction}″",
        f'{12 * feet + inches} {fraction}"',
        f"{float(12 * feet + inches + Fraction(part, 16))!r} in",
    )
    assert len({read_mm(way) for way in ways}) == 1


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=80))
def test_no_text_does_worse_than_a_plain_error(text: str) -> None:
    try:
        length_mm = read_mm(text)
    except InputError as error:
        length_mm = float(not error.wanted)
    assert isfinite(length_mm)
