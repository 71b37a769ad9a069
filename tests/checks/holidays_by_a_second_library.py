"""Public holidays of eight regions in 2026 and 2027, against a second library.

`workalendar` 17.0.0 works its holidays out by rules of its own. Where the two differ the days are named here
with the reason; any other difference fails.
"""

from datetime import date

import pytest
from workalendar.registry import registry

from app.schedule.calendars import calendar_for

YEARS = (2026, 2027)
EQUAL = ("CA-NS", "DE-HH", "FI", "FR", "NO", "PT")
# The federal day of 5 U.S.C. 6103 (Public Law 117-17, 2021) is missing there; Maine's offices close on the
# Friday after Thanksgiving, which is no public holiday here (from memory). Ontario's August holiday is not
# in its Employment Standards Act (from memory); the library itself says “Not for all”.
KNOWN = {
    ("US-ME", 2026): ({date(2026, 6, 19)}, {date(2026, 11, 27)}),
    ("US-ME", 2027): ({date(2027, 6, 18), date(2027, 6, 19)}, {date(2027, 11, 26)}),
    ("CA-ON", 2026): (set(), {date(2026, 8, 3)}),
    ("CA-ON", 2027): (set(), {date(2027, 8, 2)}),
}
CASES = {(region, year): (set(), set()) for region in EQUAL for year in YEARS} | KNOWN


@pytest.mark.parametrize(
    ("region", "year"), CASES, ids=lambda part: f"{'workalendar-' if isinstance(part, str) else ''}{part}"
)
def test_the_public_holidays_are_those_of_the_second_library(region: str, year: int) -> None:
    ours = {day for day, _ in calendar_for(region, [year], (0, 1, 2, 3, 4)).days_off}
    theirs = {day for day, _ in registry.get(region)().holidays(year)}
    assert (ours - theirs, theirs - ours) == CASES[region, year]
    assert len(ours & theirs) >= 6
