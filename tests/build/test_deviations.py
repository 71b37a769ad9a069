"""Runs that lie elsewhere than drawn, as the site log says."""

from datetime import date

from app.build.deviations import deviation_text, deviations

DAY = date(2026, 6, 3)
RUNS = ("steps-01", "steps-02")


def test_what_was_noted_last_counts_and_other_lines_say_nothing() -> None:
    lines = [
        (DAY, deviation_text("steps-02", " A 3.10 m, B 2.20 m "), "Ada"),
        (DAY, "rain all day", "Ada"),
        (DAY, "Run gone-07 lies elsewhere: by the door", "Ada"),
        (DAY, "STEPS-02 lies elsewhere: under the west bench", "Bo"),
    ]
    (found,) = deviations(lines, RUNS).values()
    assert (found.run, found.words, found.by) == ("steps-02", "under the west bench", "Bo")
