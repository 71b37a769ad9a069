"""Second factor, passwords, roles, sessions, keys. Source of the rules: OWASP ASVS 5.0.0, chapters 6 to 8."""

from datetime import UTC, datetime, timedelta

import pyotp
import pytest

from app.actions.accounts import change_password, end_sessions_of, give_password, set_role, shut_account
from app.actions.api_keys import add_api_key, api_keys, remove_api_key, staff_for_key
from app.actions.backup import trail_is_whole
from app.actions.database import Database
from app.actions.errors import NotFound, Refused, TooOften
from app.actions.passwords import checked_hash
from app.actions.records import StaffMember
from app.actions.second_factor import (
    address_of,
    new_recovery_codes,
    new_secret,
    recovery_codes_left,
    remove_second_factor,
    set_second_factor,
)
from app.actions.sign_in import (
    add_staff,
    end_one_session,
    finish_sign_in,
    list_staff,
    sessions,
    sign_in,
    staff_for,
)
from app.actions.tokens import token_hash
from tests.actions.conftest import NOW, PASSWORD
from tests.rows import everything_kept

MAIL = "maren@example.org"
STEP = timedelta(seconds=30)


@pytest.mark.parametrize(
    ("at", "code"),
    [(59, "287082"), (1111111109, "081804"), (1234567890, "005924"), (20000000000, "353130")],
    ids=["RFC 6238 B 59 s", "RFC 6238 B 2005", "RFC 6238 B 2009", "RFC 6238 B 2603"],
)
def test_the_digits_are_those_of_the_standard(at: int, code: str) -> None:
    # The published secret is the text 12345678901234567890; of the table's eight digits the last six count.
    secret = "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ"
    assert pyotp.TOTP(secret).at(datetime.fromtimestamp(at, UTC)) == code


@pytest.fixture
def secret(db: Database, owner: StaffMember) -> str:
    made = new_secret()
    codes = set_second_factor(db, owner, made, pyotp.TOTP(made).at(NOW), NOW)
    assert len(set(codes)) == 10
    return made


def test_with_a_second_factor_the_password_alone_opens_nothing(db: Database, secret: str) -> None:
    waiting, member = sign_in(db, MAIL, PASSWORD, NOW)
    assert member.has_second_factor
    assert staff_for(db, waiting, NOW) is None
    later = NOW + STEP
    token, _ = finish_sign_in(db, waiting, pyotp.TOTP(secret).at(later), later)
    assert token != waiting
    assert staff_for(db, token, later) is not None
    assert staff_for(db, waiting, later) is None
    with pytest.raises(Refused, match="time for the code is over"):
        finish_sign_in(db, waiting, pyotp.TOTP(secret).at(later + STEP), later + STEP)


def test_a_code_works_once_and_not_long_after(db: Database, secret: str) -> None:
    later = NOW + STEP
    code = pyotp.TOTP(secret).at(later)
    finish_sign_in(db, sign_in(db, MAIL, PASSWORD, later)[0], code, later)
    waiting, _ = sign_in(db, MAIL, PASSWORD, later)
    with pytest.raises(Refused, match="used already"):
        finish_sign_in(db, waiting, code, later)
    with pytest.raises(Refused, match="not right"):
        finish_sign_in(db, waiting, pyotp.TOTP(secret).at(later), later + 3 * STEP)


def test_the_wait_for_the_code_ends_after_ten_minutes(db: Database, secret: str) -> None:
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    later = NOW + timedelta(minutes=10)
    with pytest.raises(Refused, match="over"):
        finish_sign_in(db, waiting, pyotp.TOTP(secret).at(later), later)


def test_guessing_codes_is_slowed_down(db: Database, secret: str) -> None:
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    for _ in range(8):
        with pytest.raises(Refused):
            finish_sign_in(db, waiting, "000000", NOW)
    with pytest.raises(TooOften):
        finish_sign_in(db, waiting, pyotp.TOTP(secret).at(NOW + STEP), NOW)


def test_a_recovery_code_works_once_as_written_or_not(db: Database, owner: StaffMember, secret: str) -> None:
    codes = new_recovery_codes(db, owner, NOW)
    written = codes[0].lower().replace("-", " ")
    finish_sign_in(db, sign_in(db, MAIL, PASSWORD, NOW)[0], written, NOW)
    assert recovery_codes_left(db, owner) == 9
    with pytest.raises(Refused):
        finish_sign_in(db, sign_in(db, MAIL, PASSWORD, NOW)[0], written, NOW)


def test_a_second_factor_goes_only_with_a_right_code(db: Database, owner: StaffMember, secret: str) -> None:
    with pytest.raises(Refused):
        remove_second_factor(db, owner, "123456", NOW)
    remove_second_factor(db, owner, pyotp.TOTP(secret).at(NOW + STEP), NOW + STEP)
    assert recovery_codes_left(db, owner) == 0
    assert staff_for(db, sign_in(db, MAIL, PASSWORD, NOW)[0], NOW) is not None


def test_a_wrong_first_code_sets_nothing(db: Database, owner: StaffMember) -> None:
    with pytest.raises(Refused, match="clock"):
        set_second_factor(db, owner, new_secret(), "000000", NOW)
    assert not sign_in(db, MAIL, PASSWORD, NOW)[1].has_second_factor


def test_the_apps_address_names_firm_and_person(owner: StaffMember) -> None:
    address = address_of("GEZDGNBVGY3TQOJQGEZDGNBV", owner, "Skerrow Roofs: decks")
    assert address.startswith("otpauth://totp/Skerrow%20Roofs")
    assert "secret=GEZDGNBVGY3TQOJQGEZDGNBV" in address


@pytest.mark.parametrize(
    "password",
    [
        "password1234!",
        "Qwerty123456",
        "123456789012",
        "abcdefghijkl",
        "P@ssw0rd2026!",
        "letmein letmein",
        "summer2026!!",
    ],
)
def test_common_passwords_are_refused(password: str) -> None:
    with pytest.raises(Refused, match="easy to guess"):
        checked_hash("Ada", "ada@example.org", password)


@pytest.mark.parametrize(
    "password",
    ["harbour wind and cedar", "7Kq!vT2m#xWd9", "grün über alle Dächer", "x" * 3 + "plinth moss kettle"],
)
def test_other_passwords_are_taken_whatever_they_are_made_of(password: str) -> None:
    assert checked_hash("Ada", "ada@example.org", password).startswith("$argon2id$")


def test_a_changed_password_ends_every_other_session(db: Database, owner: StaffMember) -> None:
    here, elsewhere = sign_in(db, MAIL, PASSWORD, NOW)[0], sign_in(db, MAIL, PASSWORD, NOW)[0]
    with pytest.raises(Refused, match="old password"):
        change_password(db, owner, "not the old one", "four other plain words", NOW, here)
    change_password(db, owner, PASSWORD, "four other plain words", NOW, here)
    assert staff_for(db, here, NOW) is not None
    assert staff_for(db, elsewhere, NOW) is None
    with pytest.raises(Refused):
        sign_in(db, MAIL, PASSWORD, NOW)
    sign_in(db, MAIL, "four other plain words", NOW)


def test_a_first_password_must_be_changed(db: Database, owner: StaffMember) -> None:
    add_staff(db, owner, "Tor", "tor@example.org", "slate gutter lantern", NOW, "crew")
    _, tor = sign_in(db, "tor@example.org", "slate gutter lantern", NOW)
    assert (tor.role, tor.must_change) == ("crew", True)
    change_password(db, tor, "slate gutter lantern", "quite another sentence", NOW)
    assert not sign_in(db, "tor@example.org", "quite another sentence", NOW)[1].must_change
    give_password(db, owner, tor.id, "third one from the owner", NOW)
    assert sign_in(db, "tor@example.org", "third one from the owner", NOW)[1].must_change


def test_a_first_password_runs_out_after_a_week(db: Database, owner: StaffMember) -> None:
    add_staff(db, owner, "Tor", "tor@example.org", "slate gutter lantern", NOW, "crew")
    late = NOW + timedelta(days=7)
    _, tor = sign_in(db, "tor@example.org", "slate gutter lantern", late - timedelta(minutes=1))
    with pytest.raises(Refused, match="run out"):
        sign_in(db, "tor@example.org", "slate gutter lantern", late)
    give_password(db, owner, tor.id, "third one from the owner", late)
    sign_in(db, "tor@example.org", "third one from the owner", late)
    change_password(db, tor, "third one from the owner", "quite another sentence", late)
    sign_in(db, "tor@example.org", "quite another sentence", late + timedelta(days=30))


def test_somebody_shut_out_is_out_at_once_and_can_be_brought_back(db: Database, owner: StaffMember) -> None:
    tor = add_staff(db, owner, "Tor", "tor@example.org", "slate gutter lantern", NOW)
    token, _ = sign_in(db, tor.email, "slate gutter lantern", NOW)
    key = add_api_key(db, tor, "till", "read", 30, NOW)
    shut_account(db, owner, tor.id, NOW)
    assert staff_for(db, token, NOW) is None
    assert staff_for_key(db, key, NOW) is None
    assert [one.name for one in list_staff(db)] == ["Maren"]
    back = add_staff(db, owner, "Tor", "tor@example.org", "another first password", NOW, "crew")
    assert (back.id, back.role) == (tor.id, "crew")
    assert trail_is_whole(db)


def test_the_last_owner_stays_and_only_owners_change_accounts(
    db: Database, owner: StaffMember, other: StaffMember
) -> None:
    for change in (
        lambda: set_role(db, owner, 1, "office", NOW),
        lambda: shut_account(db, owner, 1, NOW),
        lambda: shut_account(db, other, 1, NOW),
        lambda: set_role(db, other, 1, "crew", NOW),
        lambda: give_password(db, other, 1, "slate gutter lantern", NOW),
        lambda: end_sessions_of(db, other, 1, NOW),
    ):
        with pytest.raises(Refused):
            change()
    tor = add_staff(db, owner, "Tor", "tor@example.org", "slate gutter lantern", NOW)
    set_role(db, owner, tor.id, "owner", NOW)
    set_role(db, owner, 1, "office", NOW)
    with pytest.raises(NotFound):
        set_role(db, StaffMember(tor.id, "Tor", tor.email, "owner"), 99, "crew", NOW)


def test_sessions_are_listed_and_ended_one_by_one(db: Database, owner: StaffMember) -> None:
    here, _ = sign_in(db, MAIL, PASSWORD, NOW, "10.0.0.1", "Desk")
    there, _ = sign_in(db, MAIL, PASSWORD, NOW, "10.0.0.2", "Phone")
    listed = {card.browser: card for card in sessions(db, owner, here)}
    assert listed["Desk"].is_this
    assert not listed["Phone"].is_this
    end_one_session(db, StaffMember(2, "Tor", "tor@example.org", "office"), listed["Phone"].id, NOW)
    assert staff_for(db, there, NOW) is not None
    end_one_session(db, owner, listed["Phone"].id, NOW)
    assert staff_for(db, there, NOW) is None
    assert staff_for(db, here, NOW) is not None


def test_a_key_speaks_for_its_person_until_it_ends_or_is_taken_away(db: Database, owner: StaffMember) -> None:
    key = add_api_key(db, owner, "ledger", "read", 30, NOW)
    assert staff_for_key(db, "x" + key, NOW) is None
    found = staff_for_key(db, key, NOW)
    assert found is not None
    assert (found[0].id, found[1]) == (1, "read")
    assert api_keys(db, owner)[0].last_used_at == NOW
    assert staff_for_key(db, key, NOW + timedelta(days=30)) is None
    with pytest.raises(NotFound):
        remove_api_key(db, StaffMember(2, "Tor", "tor@example.org", "office"), api_keys(db, owner)[0].id, NOW)
    remove_api_key(db, owner, api_keys(db, owner)[0].id, NOW)
    assert staff_for_key(db, key, NOW) is None


@pytest.mark.parametrize(("name", "days"), [("", 30), ("ledger", 0), ("ledger", 4000)])
def test_a_key_needs_a_name_and_an_end(db: Database, owner: StaffMember, name: str, days: int) -> None:
    with pytest.raises(Refused):
        add_api_key(db, owner, name, "read", days, NOW)


def test_no_secret_stands_in_the_database_as_it_is(db: Database, owner: StaffMember, secret: str) -> None:
    codes = new_recovery_codes(db, owner, NOW)
    key = add_api_key(db, owner, "ledger", "read", 30, NOW)
    token, _ = sign_in(db, MAIL, PASSWORD, NOW)
    kept = everything_kept(db)
    assert token_hash(token) in kept
    for hidden in (codes[0], codes[0].replace("-", ""), key, token, PASSWORD):
        assert hidden not in kept


def test_a_password_is_taken_exactly_as_it_was_typed(db: Database, owner: StaffMember) -> None:
    typed = "  Harbour Wind, Cedar ünd Slate  "
    change_password(db, owner, PASSWORD, typed, NOW)
    for other in (typed.strip(), typed.lower(), typed.replace("ü", "u"), typed[:-1]):
        with pytest.raises(Refused):
            sign_in(db, owner.email, other, NOW)
    assert sign_in(db, owner.email, typed, NOW)
