"""Finding a job among many: by number, title, client or state, page by page."""

from typing import Any

import pytest

from app.actions.clients import add_client
from app.actions.database import Database
from app.actions.jobs import PAGE_ROWS, add_job, find_jobs, jobs_of_client, list_jobs
from app.actions.records import StaffMember
from tests.actions.conftest import NOW


@pytest.fixture
def many(db: Database, owner: StaffMember, document: dict[str, Any]) -> Database:
    ash = add_client(db, owner, "Ash", "", "", "", NOW)
    birch = add_client(db, owner, "Birch", "", "", "", NOW)
    for number in range(PAGE_ROWS + 3):
        add_job(db, owner, ash if number % 2 else birch, f"Deck {number}", document, NOW)
    return db


def test_jobs_come_page_by_page_without_loss(many: Database) -> None:
    first, second = find_jobs(many), find_jobs(many, page=2)
    assert (first.found, first.pages, len(first.rows), len(second.rows)) == (PAGE_ROWS + 3, 2, PAGE_ROWS, 3)
    assert (*first.rows, *second.rows) == list_jobs(many)
    assert find_jobs(many, page=99).page == 2


@pytest.mark.parametrize(
    ("search", "found"), [("deck 17", 2), ("2026-018", 1), ("birch", 27), ("surveyed ash", 26), ("100%_", 0)]
)
def test_every_word_must_match_number_title_client_or_state(many: Database, search: str, found: int) -> None:
    assert find_jobs(many, search).found == found


def test_the_jobs_of_one_client_are_its_own(many: Database) -> None:
    assert {job.client_name for job in jobs_of_client(many, 1)} == {"Ash"}
    assert len(jobs_of_client(many, 1)) == 26
