"""Warranty: which class goods belong to, and the last day of each period."""

from datetime import date

import pytest

from app.build.care import care_calendar
from app.build.warranty import CLASSES, WarrantyTerm, class_of, last_day, warranty_rows
from app.takeoff.totals.bases import BASES

WALKED = date(2027, 1, 31)


@pytest.mark.parametrize(
    ("from_on", "months", "until_on"),
    [
        pytest.param(date(2027, 1, 31), 1, date(2027, 2, 28), id="a month too short ends on its last day"),
        pytest.param(date(2028, 2, 29), 12, date(2029, 2, 28), id="from a leap day"),
        pytest.param(date(2027, 6, 3), 24, date(2029, 6, 3), id="two years end on the same date"),
        pytest.param(date(2027, 11, 30), 14, date(2029, 1, 30), id="over two new years"),
    ],
)
def test_the_last_day_of_a_period(from_on: date, months: int, until_on: date) -> None:
    assert last_day(from_on, months) == until_on


def test_a_period_of_no_month_is_none() -> None:
    with pytest.raises(ValueError, match="is none"):
        last_day(WALKED, 0)


def test_a_whole_name_goes_before_its_group() -> None:
    assert class_of("planter.plants") == "plants"
    assert class_of("planter.liner") == "planters"
    assert class_of("frame.pads") == "pads"
    assert class_of("frame.screws") == "fixings"
    assert class_of("stock.boards") == "boards"
    assert class_of("bed.stone") == ""


def test_every_class_is_reached_by_something_that_is_measured() -> None:
    reached = {class_of(basis.code) for basis in BASES} - {""}
    assert reached == {code for code, *_ in CLASSES} - {"workmanship"}


def test_only_classes_that_were_bought_are_named_and_only_known_lengths_have_a_last_day() -> None:
    bought = (("stock.boards", "Cedar 20 × 140"), ("stock.boards", "Cedar 20 × 140"), ("gas.pipe", "Pipe"))
    terms = {"workmanship": WarrantyTerm("workmanship", 24), "boards": WarrantyTerm("boards", 120, "oiled")}
    rows = {row.code: row for row in warranty_rows(bought, terms, WALKED)}
    assert list(rows) == ["workmanship", "boards", "gas"]
    assert rows["boards"].products == ("Cedar 20 × 140",)
    assert rows["boards"].until_on == date(2037, 1, 31)
    assert rows["gas"].until_on is None
    waiting = warranty_rows(bought, terms, None)
    assert all(row.until_on is None for row in waiting)


def test_care_names_what_the_job_has_in_the_seasons_of_its_half_of_the_earth() -> None:
    north = care_calendar(("deck.area", "light.fixtures"), 44.1)
    words = " ".join(text for season in north for text in season.tasks)
    assert "every light" in words
    assert "planter" not in words
    assert north[0].months == "March to May"
    assert care_calendar((), -36.8)[0].months == "September to November"
    assert care_calendar((), None)[0].months == ""
