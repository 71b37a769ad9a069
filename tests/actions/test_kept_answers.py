"""What is kept of jobs worked out is never another job's, and is there again when all are asked for."""

from dataclasses import fields, replace
from datetime import date, timedelta
from typing import Any, cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from app.actions import takeoff
from app.actions.database import Database
from app.actions.sheet import job_sheet
from app.pricing.job_pricing import NOTHING_SET
from app.pricing.price_book import book_for
from app.schedule.records import Calendar, Crew
from app.whole_job import WholeJob
from tests.actions.conftest import NOW

TODAY = NOW.date()
_CREW = Crew("crew-1", "Crew", 3, 8.0)
_CALENDAR = Calendar((0, 1, 2, 3, 4), (), "US-ME")


@pytest.fixture
def asked(db: Database, job_id: int) -> takeoff._Asked:
    sheet = job_sheet(db, job_id)
    book, _ = takeoff.shop_of(db, TODAY, sheet.job)
    return takeoff._Asked(sheet.document_sha256, NOTHING_SET, book, _CREW, _CALENDAR, TODAY, TODAY)


def _an_answer(mark: object) -> WholeJob:
    return cast("WholeJob", mark)


def test_whatever_a_job_is_worked_out_from_tells_its_answer_from_others(asked: takeoff._Asked) -> None:
    book = asked.book
    others = {
        "document_sha256": "0" * 64,
        "pricing": replace(NOTHING_SET, ticked=("x",)),
        "book": replace(book, items=(replace(book.items[0], pack_price=book.items[0].pack_price + 1),)),
        "crew": replace(_CREW, people=4),
        "calendar": replace(_CALENDAR, days_off=((TODAY, "leave"),)),
        "start_on": TODAY + timedelta(days=1),
        "today": TODAY + timedelta(days=1),
    }
    assert set(others) == {field.name for field in fields(asked)}
    kept = takeoff._Answers()
    kept.put(asked, _an_answer("its own"))
    for name, value in others.items():
        assert kept.get(replace(asked, **cast("dict[str, Any]", {name: value}))) is None, name
    assert kept.get(replace(asked)) == _an_answer("its own")
    assert hash(replace(asked)) == hash(asked)


@pytest.mark.parametrize("jobs", [1, 100, 128, 200, 480])
def test_as_many_jobs_as_are_asked_for_at_once_are_found_again(jobs: int) -> None:
    kept = takeoff._Answers()
    kept.make_room(jobs)
    for number in range(jobs):
        kept.put(number, _an_answer(number))
    assert [kept.get(number) for number in range(jobs)] == [_an_answer(number) for number in range(jobs)]


def test_a_firm_beyond_all_measure_does_not_fill_the_memory() -> None:
    kept = takeoff._Answers()
    kept.make_room(100_000)
    for number in range(1000):
        kept.put(number, _an_answer(number))
    assert len(kept._answers) == takeoff._MOST_ANSWERS


@settings(max_examples=30, deadline=None)
@given(some.lists(some.integers(0, 3), min_size=1, max_size=20))
def test_one_made_again_is_given_as_the_one_before_and_only_when_it_is_equal(values: list[int]) -> None:
    same: takeoff.Same[tuple[int, date]] = takeoff.Same(2)
    for value in values:
        made = value, date(2026, 1, 1 + value)
        assert same.as_before(made) == made
        assert same.as_before((value, date(2026, 1, 1 + value))) is same.as_before(made)


def test_the_part_of_a_price_list_that_a_job_can_use_follows_the_list(asked: takeoff._Asked) -> None:
    narrowed, book = takeoff._Narrowed(), asked.book
    codes = tuple(item.item for item in book.items)
    dearer = replace(
        book, items=tuple(replace(item, pack_price=item.pack_price * 2) for item in book.items), assemblies=()
    )
    for whole in (book, dearer, book):
        for texts in (codes[:2], codes, ()):
            assert narrowed.book(whole, texts) == book_for(whole, texts)
            assert narrowed.book(whole, texts) is narrowed.book(whole, texts)
