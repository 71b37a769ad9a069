"""Last days of the right to cancel, counted by hand on a paper calendar.

Rules: 16 CFR 429.0 and 429.1 (all days but Sundays and federal holidays); Ontario, ten days; United Kingdom,
fourteen days; Singapore, five days without Saturday, Sunday and holidays. 3 July 2026 is a Friday, 4 July a
Saturday and Independence Day; federal offices keep it on Friday the 3rd. Check local law.
"""

from datetime import date

import pytest

from app.agreement.withdrawal import last_day, preset

JULY_4 = [date(2026, 7, 4)]
BOTH = [date(2026, 7, 3), date(2026, 7, 4)]
THANKSGIVING = [date(2026, 11, 26)]
CHRISTMAS = [date(2026, 12, 25), date(2027, 1, 1)]


@pytest.mark.parametrize(
    ("code", "signed_on", "holidays", "last_on"),
    [
        # Sat 4 is a holiday, Sun 5 does not count: Mon 6, Tue 7, Wed 8.
        ("us-federal", date(2026, 7, 3), JULY_4, date(2026, 7, 8)),
        ("us-federal", date(2026, 7, 3), BOTH, date(2026, 7, 8)),
        # Had only the observed Friday been kept, Saturday would count: Sat 4, Mon 6, Tue 7.
        ("us-federal", date(2026, 7, 3), BOTH[:1], date(2026, 7, 7)),
        ("us-ca", date(2026, 7, 3), JULY_4, date(2026, 7, 8)),
        # Mon 6, Tue 7, Wed 8, Thu 9, Fri 10.
        ("us-ca-senior", date(2026, 7, 3), JULY_4, date(2026, 7, 10)),
        ("us-ny", date(2026, 7, 3), JULY_4, date(2026, 7, 8)),
        ("us-ma", date(2026, 7, 3), JULY_4, date(2026, 7, 8)),
        ("ca-on", date(2026, 7, 3), JULY_4, date(2026, 7, 13)),
        ("gb", date(2026, 7, 3), [], date(2026, 7, 17)),
        ("eu", date(2026, 7, 3), [], date(2026, 7, 17)),
        # Sat and Sun do not count: Mon 6 to Fri 10.
        ("sg", date(2026, 7, 3), [], date(2026, 7, 10)),
        # A plain week: Tue 10, Wed 11, Thu 12 March.
        ("us-federal", date(2026, 3, 9), [], date(2026, 3, 12)),
        # Thursday: Fri 13, Sat 14, Mon 16 March.
        ("us-federal", date(2026, 3, 12), [], date(2026, 3, 16)),
        # Before Thanksgiving: Fri 27, Sat 28, Mon 30 November.
        ("us-federal", date(2026, 11, 25), THANKSGIVING, date(2026, 11, 30)),
        # Over Christmas: Thu 24, Sat 26, Mon 28 December.
        ("us-federal", date(2026, 12, 23), CHRISTMAS, date(2026, 12, 28)),
    ],
    ids=lambda value: f"by-hand-{value}" if isinstance(value, str | date) else None,
)
def test_the_last_day_is_the_one_counted_by_hand(
    code: str, signed_on: date, holidays: list[date], last_on: date
) -> None:
    assert last_day(preset(code), signed_on, holidays) == last_on
