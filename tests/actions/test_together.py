"""Several people, or several servers, at the same moment."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from app.actions.clients import add_client
from app.actions.database import Database
from app.actions.document import save_part
from app.actions.errors import Refused, StaleSave
from app.actions.jobs import add_job, job_sheet, list_jobs
from app.actions.offer import make_link, offer, revisions
from app.actions.records import StaffMember
from app.actions.sign import decline, exchange, offer_for, sign
from tests.actions.conftest import NOW, Printer

CROWD = 6


def at_once(work: Callable[[int], Any]) -> list[Any]:
    """Do the same from several threads; give what each got, an error too."""

    def safely(number: int) -> Any:
        try:
            return work(number)
        except (Refused, StaleSave) as refusal:
            return refusal

    with ThreadPoolExecutor(CROWD) as crowd:
        return list(crowd.map(safely, range(CROWD)))


def test_jobs_added_at_once_get_numbers_of_their_own(db: Database, owner: StaffMember) -> None:
    who = add_client(db, owner, "Vale", "", "", "", NOW)
    at_once(lambda number: add_job(db, owner, who, f"Roof {number}", None, NOW))
    assert sorted(job.number for job in list_jobs(db)) == [f"2026-{n:03d}" for n in range(1, CROWD + 1)]


def test_of_saves_from_one_version_exactly_one_is_kept(db: Database, owner: StaffMember, job_id: int) -> None:
    got = at_once(lambda number: save_part(db, owner, job_id, 1, "notes", f"note {number}", NOW))
    assert got.count(2) == 1
    assert len([one for one in got if isinstance(one, StaleSave)]) == CROWD - 1
    assert job_sheet(db, job_id).version == 2
    assert job_sheet(db, job_id).document["notes"] == f"note {got.index(2)}"


def test_a_proposal_is_signed_once_however_often_the_button_is_pressed(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    card = offer(db, owner, job_id, NOW, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    seen = offer_for(db, cookie, NOW).revision.fingerprint
    views = at_once(lambda number: sign(db, cookie, f"Name {number}", True, seen, NOW, "", ""))
    assert len({view.sign_off for view in views}) == 1
    assert len([row for row in job_sheet(db, job_id).history if "signed revision" in row.what]) == 1


def test_of_signing_and_declining_at_once_one_wins(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    card = offer(db, owner, job_id, NOW, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    seen = offer_for(db, cookie, NOW).revision.fingerprint

    def press(number: int) -> Any:
        if number % 2:
            return decline(db, cookie, "no", NOW)
        return sign(db, cookie, "Ines", True, seen, NOW, "", "")

    at_once(press)
    kept = revisions(db, job_id)[0]
    assert (kept.sign_off is None) != (kept.declined_at is None)


def test_offers_made_at_once_get_numbers_of_their_own(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    got = at_once(lambda _: offer(db, owner, job_id, NOW, printer))
    kept = [one.number for one in got if not isinstance(one, StaleSave)]
    assert sorted(kept) == list(range(1, len(kept) + 1))
    assert [card.number for card in revisions(db, job_id)] == sorted(kept, reverse=True)
