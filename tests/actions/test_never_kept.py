"""Card and social security numbers are refused wherever staff types, in one plain sentence, and not kept."""

from collections.abc import Callable
from datetime import timedelta

import pytest

from app.actions.change_orders import note_verbal_change
from app.actions.clients import add_client, change_client
from app.actions.database import Database
from app.actions.document import save_part
from app.actions.errors import Refused
from app.actions.jobs import add_job, job_sheet, let_go
from app.actions.log import add_entry, add_punch, entries, punch_list
from app.actions.never_kept import refuse_numbers_in
from app.actions.records import StaffMember
from app.actions.site_notes import SiteNote, add_note
from tests.actions.conftest import NOW

CARD, SOCIAL = "Card 4111 1111 1111 1111", "SSN 078-05-1120"
Typed = Callable[[Database, StaffMember, int, str], object]
TODAY = NOW.date()

PLACES: dict[str, Typed] = {
    "title of a new job": lambda db, who, _job, text: add_job(db, who, 1, text, None, NOW),
    "title of a job": lambda db, who, job, text: save_part(db, who, job, 1, "title", text, NOW),
    "notes of a job": lambda db, who, job, text: save_part(db, who, job, 1, "notes", text, NOW),
    "new client": lambda db, who, _job, text: add_client(db, who, "Ada", "", "", text, NOW),
    "client": lambda db, who, _job, text: change_client(
        db, who, 1, 1, name="Ada", email="", phone="", address=text, now=NOW
    ),
    "log": lambda db, who, job, text: add_entry(db, who, job, TODAY, text, NOW),
    "weather": lambda db, who, job, text: add_entry(db, who, job, TODAY, "Rain", NOW, weather=text),
    "site note": lambda db, who, job, text: add_note(
        db, who, job, SiteNote(key="k" * 12, on=TODAY, kind="note", text=text), NOW
    ),
    "punch list": lambda db, who, job, text: add_punch(db, who, job, text, "door", TODAY, NOW),
    "reason": lambda db, who, job, text: let_go(db, who, job, text, NOW),
}


@pytest.mark.parametrize("text", [CARD, SOCIAL], ids=["card", "social"])
@pytest.mark.parametrize("place", PLACES)
def test_the_number_is_refused_in_words_and_nothing_is_kept(
    db: Database, owner: StaffMember, job_id: int, place: str, text: str
) -> None:
    before = job_sheet(db, job_id)
    with pytest.raises(Refused, match="never asked for and never kept here"):
        PLACES[place](db, owner, job_id, text)
    after = job_sheet(db, job_id)
    assert (after.document, after.state, after.client) == (before.document, before.state, before.client)
    assert entries(db, job_id) == ()
    assert punch_list(db, job_id) == ()
    assert not [row for row in after.history if "4111" in row.what or "078-05" in row.what]


def test_a_change_by_word_of_mouth_is_held_to_it_too(db: Database, owner: StaffMember, job_id: int) -> None:
    from decimal import Decimal

    with pytest.raises(Refused, match="card number"):
        note_verbal_change(db, owner, job_id, (CARD, ""), ("Ada", TODAY), (Decimal(1), 0), NOW)


def test_phones_dates_lengths_and_codes_of_items_are_no_such_numbers() -> None:
    refuse_numbers_in(
        {
            "title": "Deck of 2026-05-04, call 555 0101",
            "plan": {"planters": [{"name": "1200 × 450 × 450", "item": "4111111111111111"}]},
            "notes": f"Until {TODAY + timedelta(days=30)}; ring +1 207 555 0117",
        }
    )
