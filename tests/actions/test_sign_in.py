from datetime import timedelta
from pathlib import Path

import pytest

from app.actions.database import Database, migrate, open_database
from app.actions.errors import Refused, TooOften
from app.actions.records import StaffMember
from app.actions.sign_in import (
    IDLE,
    LONGEST,
    add_staff,
    list_staff,
    make_owner,
    needs_owner,
    sign_in,
    sign_out,
    sign_out_everywhere,
    staff_for,
)
from app.actions.tokens import token_hash
from tests.actions.conftest import NOW, PASSWORD
from tests.rows import everything_kept

MAIL = "maren@example.org"


def test_only_the_first_visitor_makes_the_owner(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'x.sqlite'}"
    migrate(url)
    db = open_database(url)
    assert needs_owner(db)
    make_owner(db, "Ada", "Ada@Example.org", PASSWORD, NOW)
    assert not needs_owner(db)
    with pytest.raises(Refused, match="exists already"):
        make_owner(db, "Eve", "eve@example.org", PASSWORD, NOW)
    assert [member.email for member in list_staff(db)] == ["ada@example.org"]
    db.close()


@pytest.mark.parametrize(
    ("name", "email", "password", "message"),
    [
        ("", MAIL, PASSWORD, "name"),
        ("Ada", "ada", PASSWORD, "not an e-mail address"),
        ("Ada", "ada@example.org", "short", "12 to 200 characters"),
        ("Ada", "ada@example.org", "a" * 201, "12 to 200 characters"),
        ("Ada", "ada@example.org", "aaaaaaaaaaaaaaaa", "easy to guess"),
        ("Ada", "ada@example.org", "ada@example.org1", "easy to guess"),
        ("Ada", "ada@example.org", "passwordpassword12", "easy to guess"),
    ],
)
def test_a_weak_account_is_refused_with_the_reason(
    db: Database, owner: StaffMember, name: str, email: str, password: str, message: str
) -> None:
    with pytest.raises(Refused, match=message):
        add_staff(db, owner, name, email, password, NOW)


def test_only_the_owner_adds_people_and_each_address_once(
    db: Database, owner: StaffMember, other: StaffMember
) -> None:
    add_staff(db, owner, "Tor", "tor@example.org", PASSWORD, NOW)
    with pytest.raises(Refused, match="can sign in already"):
        add_staff(db, owner, "Tor", "TOR@example.org", PASSWORD, NOW)
    with pytest.raises(Refused, match="Only the owner"):
        add_staff(db, other, "Eve", "eve@example.org", PASSWORD, NOW)


def test_the_right_password_opens_a_session_and_signing_out_ends_it(db: Database) -> None:
    token, member = sign_in(db, f" {MAIL.upper()} ", PASSWORD, NOW)
    assert member.name == "Maren"
    assert staff_for(db, token, NOW) == member
    assert staff_for(db, token + "x", NOW) is None
    sign_out(db, token)
    assert staff_for(db, token, NOW) is None


def test_every_sign_in_gets_a_token_of_its_own(db: Database) -> None:
    first, _ = sign_in(db, MAIL, PASSWORD, NOW)
    second, member = sign_in(db, MAIL, PASSWORD, NOW)
    assert first != second
    assert len(first) >= 43
    sign_out_everywhere(db, member)
    assert staff_for(db, first, NOW) is None
    assert staff_for(db, second, NOW) is None


def test_no_token_and_no_password_stands_in_the_database(db: Database) -> None:
    token, _ = sign_in(db, MAIL, PASSWORD, NOW)
    kept = everything_kept(db)
    assert token_hash(token) in kept
    assert token not in kept
    assert PASSWORD not in kept


def test_a_session_ends_after_twelve_idle_hours(db: Database) -> None:
    token, _ = sign_in(db, MAIL, PASSWORD, NOW)
    later = NOW + IDLE - timedelta(minutes=1)
    assert staff_for(db, token, later) is not None
    assert staff_for(db, token, later + IDLE - timedelta(minutes=1)) is not None
    assert staff_for(db, token, later + 2 * IDLE) is None


def test_a_session_in_use_ends_after_fourteen_days(db: Database) -> None:
    token, _ = sign_in(db, MAIL, PASSWORD, NOW)
    at = NOW
    while at + timedelta(hours=10) < NOW + LONGEST:
        at += timedelta(hours=10)
        assert staff_for(db, token, at) is not None
    assert staff_for(db, token, NOW + LONGEST) is None


def test_wrong_and_unknown_are_refused_in_the_same_words(db: Database) -> None:
    with pytest.raises(Refused) as wrong:
        sign_in(db, MAIL, "not the password", NOW)
    with pytest.raises(Refused) as unknown:
        sign_in(db, "nobody@example.org", PASSWORD, NOW)
    assert str(wrong.value) == str(unknown.value)


def test_the_ninth_wrong_guess_has_to_wait_and_others_do_not(db: Database) -> None:
    for _ in range(8):
        with pytest.raises(Refused, match="do not belong together"):
            sign_in(db, MAIL, "not the password", NOW, "203.0.113.9")
    with pytest.raises(TooOften) as waits:
        sign_in(db, MAIL, PASSWORD, NOW, "203.0.113.9")
    assert 0 < waits.value.seconds <= 15 * 60 + 1
    sign_in(db, MAIL, PASSWORD, NOW, "198.51.100.4")
    sign_in(db, MAIL, PASSWORD, NOW + timedelta(minutes=16), "203.0.113.9")
