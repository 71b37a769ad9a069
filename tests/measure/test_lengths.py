"""Lengths as they are typed and read back."""

import pytest

from app.measure.errors import InputError
from app.measure.lengths import read_mm
from app.measure.show import format_length


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("12' 6 1/2\"", 3822.7),
        ("12-6 1/2", 3822.7),
        ("12'-6 1/2\"", 3822.7),
        ("12′ 6½″", 3822.7),
        ("12’ 6 ½”", 3822.7),
        ("12 ft 6 1/2 in", 3822.7),
        ("12 feet 6 inches", 3810),
        ("12FT 6IN", 3810),
        ("12'6", 3810),
        ("12' 6.5\"", 3822.7),
        ("12.5'", 3810),
        ("12'", 3657.6),
        ("12-0", 3657.6),
        ('6 1/2"', 165.1),
        ('6-1/2"', 165.1),
        ("6 1/2''", 165.1),
        ('3/4"', 19.05),
        ("¾ in", 19.05),
        ('11 15/16"', 303.2125),
        ('144"', 3657.6),
        ("1 1/2 ft", 457.2),
        ("3.81 m", 3810),
        ("3,81 m", 3810),
        ("0,125 m", 125),
        (",5 m", 500),
        ("1,234.5 mm", 1234.5),
        ("1,234,567 mm", 1234567),
        ("381cm", 3810),
        ("3810", 3810),
        ("3810 mm", 3810),
        ("3.81e3", 3810),
        ("  3810\u00a0mm ", 3810),
        ('-7 7/8"', -200.025),
        ("−0' 4\"", -101.6),
        ("-12-6", -3810),
        ("+3 m", 3000),
        ("2 yd", 1828.8),
        (3810, 3810),
        (3810.5, 3810.5),
    ],
)
def test_a_length_is_read_as_people_write_it(text: object, length_mm: float) -> None:
    assert read_mm(text) == pytest.approx(length_mm, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "Nothing is written here"),
        ("   ", "Nothing is written here"),
        ("about 3 m", "does not start with a number"),
        ("nan", "does not start with a number"),
        ("12 smoot", "smoot is not a unit known here"),
        ("50 psf", "50 psf is a pressure or load per area. A length is wanted"),
        ("12 V", "12 V is a voltage"),
        ("3 m2", "3 m2 is an area"),
        ("5 kg", "5 kg is a mass"),
        ("12' 14\"", "inches stay under 12"),
        ("12-14", "inches stay under 12"),
        ("12-1/2", "can be read two ways"),
        ("6 1/2", "can be read two ways"),
        ("1/2", "can be read two ways"),
        ("3,810", "Write 3810 or 3.810 instead"),
        ("12,500 mm", "Write 12500 or 12.500 instead"),
        ("1.234,5", "do not make a number"),
        ("1.2.3 m", "more than one decimal point"),
        ('6 3/2"', "3/2 is not a part of an inch"),
        ('6 1/0"', "1/0 is not a part of an inch"),
        ('6.5 1/2"', "a decimal and a fraction"),
        ("3 m 20 cm", "m 20 cm is not a unit known here"),
        ("1e400", "has no end or is none"),
        ("9" * 61, "at most 60 characters"),
        (float("nan"), "has no end or is none"),
        (float("inf"), "has no end or is none"),
        (10**400, "has no end or is none"),
        (True, "A length is wanted"),
        (None, "A length is wanted"),
        ([3], "A length is wanted"),
    ],
)
def test_what_is_no_length_is_refused_with_what_would_do(text: object, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read_mm(text)
    assert words in caught.value.wanted
    assert caught.value.path == ""


@pytest.mark.parametrize(
    ("length_mm", "imperial", "metric"),
    [
        (0, '0"', "0 mm"),
        (3822.7, "12' 6 1/2\"", "3823 mm"),
        (19.05, '3/4"', "19 mm"),
        (165.1, '6 1/2"', "165 mm"),
        (304.8, "1' 0\"", "305 mm"),
        (304.8 - 0.79, "1' 0\"", "304 mm"),
        (304.8 - 0.80, '11 15/16"', "304 mm"),
        (609.6 - 0.5, "2' 0\"", "609 mm"),
        (25.4 - 0.1, '1"', "25 mm"),
        (0.7, '0"', "1 mm"),
        (-200.025, '−7 7/8"', "−200 mm"),
        (-0.2, '0"', "0 mm"),
        (12345.6, "40' 6 1/16\"", "12346 mm"),
    ],
)
def test_a_length_is_shown_to_the_sixteenth_or_the_millimetre(
    length_mm: float, imperial: str, metric: str
) -> None:
    assert format_length(length_mm, "imperial") == imperial
    assert format_length(length_mm, "metric") == metric


def test_there_are_two_systems_and_no_third() -> None:
    with pytest.raises(ValueError, match="no system nautical"):
        format_length(1, "nautical")
