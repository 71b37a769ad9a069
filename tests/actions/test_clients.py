import pytest

from app.actions.clients import add_client, change_client, client, list_clients
from app.actions.database import Database
from app.actions.errors import NotFound, Refused, StaleSave
from app.actions.records import StaffMember
from app.store import audit
from tests.actions.conftest import NOW


def test_a_client_is_kept_as_typed_and_listed_by_name(db: Database, owner: StaffMember) -> None:
    add_client(db, owner, "Vale", "v@example.org", "1", "Slip Lane", NOW)
    first = add_client(db, owner, " Haugan ", "", "", "", NOW)
    assert [card.name for card in list_clients(db)] == ["Haugan", "Vale"]
    assert client(db, first).version == 1


def test_a_stale_change_shows_both_sides_and_changes_nothing(
    db: Database, owner: StaffMember, other: StaffMember
) -> None:
    who = add_client(db, owner, "Vale", "v@example.org", "1", "Slip Lane", NOW)
    change_client(db, other, who, 1, name="Vale", email="new@example.org", phone="1", address="", now=NOW)
    with pytest.raises(StaleSave) as stale:
        change_client(db, owner, who, 1, name="Vale", email="x@example.org", phone="2", address="", now=NOW)
    assert stale.value.theirs.by == "Tor"
    assert stale.value.theirs.content["email"] == "new@example.org"
    assert stale.value.yours.content["email"] == "x@example.org"
    assert client(db, who).email == "new@example.org"


def test_each_change_leaves_one_row_in_the_trail(db: Database, owner: StaffMember) -> None:
    who = add_client(db, owner, "Vale", "", "", "", NOW)
    assert change_client(db, owner, who, 1, name="Vale", email="", phone="", address="", now=NOW) == 1
    assert change_client(db, owner, who, 1, name="Vale", email="", phone="7", address="", now=NOW) == 2
    with db.read() as session:
        rows = audit.trail(session, f"client:{who}")
    assert [(row.what, row.before_version, row.after_version) for row in rows] == [
        ("changed phone", 1, 2),
        ("added client Vale", None, 1),
    ]


def test_a_client_needs_a_name_and_a_real_address(db: Database, owner: StaffMember) -> None:
    with pytest.raises(Refused, match="needs a name"):
        add_client(db, owner, "  ", "", "", "", NOW)
    with pytest.raises(Refused, match="not an e-mail"):
        add_client(db, owner, "Vale", "vale", "", "", NOW)
    with pytest.raises(NotFound):
        client(db, 99)
