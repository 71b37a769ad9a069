"""Public holidays of the United States in 2026, against the statute.

5 U.S.C. 6103(a), the legal public holidays (from memory), applied by hand to 2026; 6103(b) and Executive
Order 11582: a holiday on a Saturday is kept on the Friday before, on a Sunday on the Monday after.
"""

from datetime import date

import pytest

from app.schedule.calendars import calendar_for

BY_HAND = {
    "1 January": date(2026, 1, 1),
    "third Monday in January": date(2026, 1, 19),
    "third Monday in February": date(2026, 2, 16),
    "last Monday in May": date(2026, 5, 25),
    "19 June": date(2026, 6, 19),
    "4 July, a Saturday": date(2026, 7, 4),
    "4 July, kept on Friday": date(2026, 7, 3),
    "first Monday in September": date(2026, 9, 7),
    "second Monday in October": date(2026, 10, 12),
    "11 November": date(2026, 11, 11),
    "fourth Thursday in November": date(2026, 11, 26),
    "25 December": date(2026, 12, 25),
}
OURS = {day for day, _ in calendar_for("US", [2026], (0, 1, 2, 3, 4)).days_off}


@pytest.mark.parametrize("words", BY_HAND, ids=lambda words: f"5-usc-6103-{words.replace(' ', '-')}")
def test_every_holiday_of_the_statute_is_kept(words: str) -> None:
    assert BY_HAND[words] in OURS


def test_no_other_day_is_kept() -> None:
    assert set(BY_HAND.values()) == OURS
