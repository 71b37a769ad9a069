"""Bowditch's rule against a worked traverse.

Source: "Compass rule: adjustment of bearing and distance of a closed traverse", a published teaching sheet
with sides in metres: A-B 80.40 N 76 E, B-C 46.30 S 36 E, C-D 72.80 S 61 W, D-A 68.00 N 38 W; closing error
0.285 in latitude and -0.311 in departure. It rounds latitudes and departures to a millimetre.
"""

import math

import pytest

from app.job.walk import read_walk, spread_error

WALK = read_walk("80.40 m N 76 E, 46.30 m S 36 E, 72.80 m S 61 W, 68.00 m N 38 W")
# Line, adjusted latitude, adjusted departure, in metres.
PUBLISHED = (
    ("A-B", 19.3653, 78.1055),
    ("B-C", -37.5063, 27.2678),
    ("C-D", -35.3716, -63.5874),
    ("D-A", 53.5126, -41.7859),
)
ROUNDED_MM = 1.5


def test_the_closing_error_is_the_published_one() -> None:
    assert WALK.error_mm == (pytest.approx(-311, abs=ROUNDED_MM), pytest.approx(285, abs=ROUNDED_MM))
    assert WALK.closing_mm == pytest.approx(1000 * math.hypot(0.285, 0.311), abs=ROUNDED_MM)


@pytest.mark.parametrize(("number", "row"), list(enumerate(PUBLISHED)), ids=[row[0] for row in PUBLISHED])
def test_each_adjusted_side_is_the_published_one(number: int, row: tuple[str, float, float]) -> None:
    corners = spread_error(WALK)
    start, end = corners[number], corners[(number + 1) % 4]
    assert end[0] - start[0] == pytest.approx(row[2] * 1000, abs=ROUNDED_MM)
    assert end[1] - start[1] == pytest.approx(row[1] * 1000, abs=ROUNDED_MM)
