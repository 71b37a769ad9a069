from datetime import UTC, datetime
from decimal import Decimal

import pytest
from sqlalchemy import text

from app.pricing.records import PriceItem
from app.store import audit, clients, jobs, offers, prices
from app.store.database import Database
from app.store.models import AuditRow, PriceFromRow, RevisionRow
from app.store.models.base import AppendOnlyError
from app.store.records import NewRevision

NOW = datetime(2026, 5, 4, tzinfo=UTC)


@pytest.fixture
def kept(db: Database) -> Database:
    with db.write() as session:
        for number in range(4):
            audit.note(session, NOW, "Ada", f"change {number}", "job:1", (number, number + 1))
    return db


def test_the_trail_is_given_newest_first_and_says_who_saved_a_version(kept: Database) -> None:
    with kept.read() as session:
        assert [row.what for row in audit.trail(session, "job:1", limit=2)] == ["change 3", "change 2"]
        assert audit.trail(session, "job:2") == ()
        assert audit.who_saved(session, "job:1", 2) == "Ada"
        assert audit.who_saved(session, "job:1", 77) == "somebody"
        assert audit.first_broken_link(session) is None


def test_the_store_refuses_to_change_or_remove_a_row(kept: Database) -> None:
    with pytest.raises(AppendOnlyError), kept.write() as session:
        session.get_one(AuditRow, 2).what = "nothing happened"
    with pytest.raises(AppendOnlyError), kept.write() as session:
        session.delete(session.get_one(AuditRow, 2))


def test_a_frozen_revision_and_an_old_price_are_out_of_reach(db: Database) -> None:
    item = PriceItem("ROPE", "Rope", "m", Decimal(1), Decimal(2), "Chandler", 1, NOW.date())
    new = NewRevision(NOW, NOW.date(), NOW.date(), Decimal(1), "USD", "f", "{}", "{}", b"%PDF", "d")
    with db.write() as session:
        prices.add_item(session, item, "Ada", NOW)
        client = clients.add_client(session, "Vale", "", "", "")
        job = jobs.add_job(session, client, "Roof", "{}", "enquiry", NOW)
        revision = offers.add_revision(session, job, 1, "Ada", new)
    with pytest.raises(AppendOnlyError), db.write() as session:
        session.get_one(PriceFromRow, 1).pack_price = Decimal(3)
    with pytest.raises(AppendOnlyError), db.write() as session:
        session.get_one(RevisionRow, revision).total = Decimal(2)
    with db.write() as session:
        offers.decline(session, revision, "too dear", NOW)
    with db.read() as session:
        assert offers.list_revisions(session, job, NOW.date())[0].state == "declined"


@pytest.mark.parametrize(
    "tampering",
    [
        "UPDATE audit SET what = 'nothing happened' WHERE id = 2",
        "UPDATE audit SET who = 'Eve' WHERE id = 2",
        "DELETE FROM audit WHERE id = 2",
        "UPDATE audit SET after_version = 9 WHERE id = 2",
    ],
)
def test_tampering_past_the_store_breaks_the_chain(kept: Database, tampering: str) -> None:
    with kept.connection() as connection:
        connection.execute(text(tampering))
    with kept.read() as session:
        assert audit.first_broken_link(session) in {2, 3}
