"""Passkeys as second factor. Source of the rules: WebAuthn level 2, 7.1 and 7.2; OWASP ASVS 5.0.0, 6.5."""

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from app.actions.accounts import ask_for_factor, asks_for_factor, prove_password, shut_account
from app.actions.backup import trail_is_whole
from app.actions.database import Database
from app.actions.errors import NotFound, Refused, TooOften
from app.actions.passkeys import (
    HOLDS,
    MOST,
    add_passkey,
    ask_for_passkey,
    ask_to_add,
    list_passkeys,
    name_passkey,
    remove_passkey,
    sign_in_with_passkey,
    site_of,
    waits_for_passkey,
)
from app.actions.records import StaffMember
from app.actions.second_factor import new_recovery_codes, recovery_codes_left
from app.actions.sign_in import add_staff, finish_sign_in, sign_in, staff_for
from app.store import audit
from tests.actions.conftest import NOW, PASSWORD
from tests.passkey import Key
from tests.rows import everything_kept

MAIL = "maren@example.org"
SITE = site_of("https://upstand.example.org")
FIRM = "Skerrow Roofs"


def a_key() -> Key:
    return Key(SITE.origin, SITE.host)


def added(db: Database, staff: StaffMember, key: Key, name: str = "blue key") -> tuple[str, ...]:
    question = ask_to_add(db, staff, SITE, FIRM, "desk", NOW)
    return add_passkey(db, staff, SITE, name, key.make(question), "desk", NOW)


@pytest.fixture
def key(db: Database, owner: StaffMember) -> Key:
    made = a_key()
    assert len(set(added(db, owner, made))) == 10
    return made


@pytest.mark.parametrize(
    ("address", "origin", "can"),
    [
        ("https://Upstand.Example.org/", "https://upstand.example.org", True),
        ("https://upstand.example.org:443", "https://upstand.example.org", True),
        ("https://upstand.example.org:8443", "https://upstand.example.org:8443", True),
        ("http://localhost:8080", "http://localhost:8080", True),
        ("http://upstand.example.org", "http://upstand.example.org", False),
        ("https://192.0.2.7", "https://192.0.2.7", False),
        ("http://127.0.0.1:8080", "http://127.0.0.1:8080", False),
        ("https://[2001:db8::1]:8443", "https://[2001:db8::1]:8443", False),
    ],
)
def test_passkeys_are_bound_to_the_address_that_people_type(address: str, origin: str, can: bool) -> None:
    found = site_of(address)
    assert (found.origin, found.can_have_passkeys) == (origin, can)


def test_with_a_passkey_the_password_alone_opens_nothing(db: Database, key: Key) -> None:
    waiting, member = sign_in(db, MAIL, PASSWORD, NOW)
    assert (member.has_second_factor, member.has_app) == (True, False)
    assert staff_for(db, waiting, NOW) is None
    assert waits_for_passkey(db, waiting, NOW)
    question = ask_for_passkey(db, waiting, SITE, NOW)
    token, _ = sign_in_with_passkey(db, waiting, SITE, key.use(question), NOW)
    assert staff_for(db, token, NOW) is not None
    assert staff_for(db, waiting, NOW) is None
    assert list_passkeys(db, member)[0].last_used_at == NOW
    assert list_passkeys(db, member)[0].sign_count == 1


def test_a_question_is_new_each_time_and_names_only_ones_own_passkeys(db: Database, key: Key) -> None:
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    asked = [json.loads(ask_for_passkey(db, waiting, SITE, NOW)) for _ in range(2)]
    assert asked[0]["challenge"] != asked[1]["challenge"]
    assert len(asked[0]["challenge"]) >= 64  # 64 bytes by chance, above the 16 of WebAuthn, 13.4.3
    assert len(asked[0]["allowCredentials"]) == 1
    assert asked[0]["rpId"] == "upstand.example.org"


def test_an_answer_works_once(db: Database, key: Key) -> None:
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    answer = key.use(ask_for_passkey(db, waiting, SITE, NOW))
    sign_in_with_passkey(db, waiting, SITE, answer, NOW)
    again, _ = sign_in(db, MAIL, PASSWORD, NOW)
    with pytest.raises(Refused, match="answered already"):
        sign_in_with_passkey(db, again, SITE, answer, NOW)
    ask_for_passkey(db, again, SITE, NOW)
    with pytest.raises(Refused, match="not accepted"):
        sign_in_with_passkey(db, again, SITE, answer, NOW)


def test_a_wrong_answer_uses_the_question_up(db: Database, key: Key) -> None:
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    answer = key.use(ask_for_passkey(db, waiting, SITE, NOW))
    with pytest.raises(Refused, match="not accepted"):
        sign_in_with_passkey(db, waiting, SITE, answer.replace('"signature": "', '"signature": "A'), NOW)
    with pytest.raises(Refused, match="answered already"):
        sign_in_with_passkey(db, waiting, SITE, answer, NOW)


def test_a_question_holds_for_five_minutes(db: Database, key: Key) -> None:
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    answer = key.use(ask_for_passkey(db, waiting, SITE, NOW))
    with pytest.raises(Refused, match="five minutes"):
        sign_in_with_passkey(db, waiting, SITE, answer, NOW + HOLDS)
    question = ask_for_passkey(db, waiting, SITE, NOW)
    sign_in_with_passkey(db, waiting, SITE, key.use(question), NOW + HOLDS - timedelta(seconds=1))


@pytest.mark.parametrize(
    ("origin", "host"),
    [
        ("https://upstand.example.org.evil.example", SITE.host),
        ("http://upstand.example.org", SITE.host),
        ("https://upstand.example.org:8443", SITE.host),
        (SITE.origin, "evil.example"),
    ],
    ids=["another site", "no TLS", "another port", "another host's key"],
)
def test_an_answer_from_another_origin_is_refused(
    db: Database, owner: StaffMember, key: Key, origin: str, host: str
) -> None:
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    fished = replace(key, origin=origin, host=host)
    with pytest.raises(Refused, match="not accepted"):
        sign_in_with_passkey(db, waiting, SITE, fished.use(ask_for_passkey(db, waiting, SITE, NOW)), NOW)
    question = ask_to_add(db, owner, SITE, FIRM, "desk", NOW)
    with pytest.raises(Refused, match="not accepted"):
        add_passkey(db, owner, SITE, "x", Key(origin, host).make(question), "desk", NOW)
    assert len(list_passkeys(db, owner)) == 1


def test_anothers_passkey_opens_only_its_own_account(db: Database, owner: StaffMember, key: Key) -> None:
    tor = add_staff(db, owner, "Tor", "tor@example.org", "slate gutter lantern", NOW)
    tors = a_key()
    added(db, tor, tors)
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    with pytest.raises(Refused, match="not accepted"):
        sign_in_with_passkey(db, waiting, SITE, tors.use(ask_for_passkey(db, waiting, SITE, NOW)), NOW)
    # The name of Maren's key on Tor's signature.
    forged = replace(tors, id=key.id)
    with pytest.raises(Refused, match="not accepted"):
        sign_in_with_passkey(db, waiting, SITE, forged.use(ask_for_passkey(db, waiting, SITE, NOW)), NOW)
    with pytest.raises(Refused, match="in use already"):
        added(db, tor, replace(a_key(), id=key.id))


def test_a_question_belongs_to_the_session_and_the_purpose_it_was_put_for(
    db: Database, owner: StaffMember, key: Key
) -> None:
    here, _ = sign_in(db, MAIL, PASSWORD, NOW)
    there, _ = sign_in(db, MAIL, PASSWORD, NOW)
    answer = key.use(ask_for_passkey(db, here, SITE, NOW))
    with pytest.raises(Refused, match="answered already"):
        sign_in_with_passkey(db, there, SITE, answer, NOW)
    made = ask_to_add(db, owner, SITE, FIRM, "desk", NOW)
    with pytest.raises(Refused, match="answered already"):
        add_passkey(db, owner, SITE, "x", a_key().make(made), "another desk", NOW)
    ask_to_add(db, owner, SITE, FIRM, here, NOW)
    with pytest.raises(Refused, match="answered already"):
        sign_in_with_passkey(db, here, SITE, key.use(made), NOW)


def test_a_counter_that_does_not_rise_is_refused_and_noted(
    db: Database, owner: StaffMember, key: Key
) -> None:
    copy = replace(key)
    for one, is_let_in in ((key, True), (key, True), (copy, False)):
        waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
        question = ask_for_passkey(db, waiting, SITE, NOW)
        if is_let_in:
            sign_in_with_passkey(db, waiting, SITE, one.use(question), NOW)
        else:
            with pytest.raises(Refused, match="copied"):
                sign_in_with_passkey(db, waiting, SITE, one.use(question), NOW)
    assert list_passkeys(db, owner)[0].sign_count == 2
    with db.read() as session:
        said = [entry.what for entry in audit.trail(session, "staff:1")]
    assert "the counter of the passkey blue key went back: refused" in said
    assert trail_is_whole(db)


def test_a_key_that_never_counts_is_taken(db: Database, owner: StaffMember) -> None:
    still = a_key()
    added(db, owner, still)
    for _ in range(2):
        waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
        still.counter = -1  # it says 0 each time, as those do that lie on several devices
        sign_in_with_passkey(db, waiting, SITE, still.use(ask_for_passkey(db, waiting, SITE, NOW)), NOW)


def test_guessing_is_braked_together_with_codes(db: Database, owner: StaffMember, key: Key) -> None:
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    for _ in range(8):
        ask_for_passkey(db, waiting, SITE, NOW)
        with pytest.raises(Refused):
            sign_in_with_passkey(db, waiting, SITE, "{}", NOW)
    with pytest.raises(TooOften):
        ask_for_passkey(db, waiting, SITE, NOW)
    with pytest.raises(TooOften):
        finish_sign_in(db, waiting, "000000", NOW)


@pytest.mark.parametrize("answer", ["", "{}", "[]", "null", "7", '{"id": 3}', "no json", '{"rawId": "AA"}'])
def test_an_answer_that_is_none_is_refused_in_words(
    db: Database, owner: StaffMember, key: Key, answer: str
) -> None:
    waiting, _ = sign_in(db, MAIL, PASSWORD, NOW)
    ask_for_passkey(db, waiting, SITE, NOW)
    with pytest.raises(Refused, match="not accepted"):
        sign_in_with_passkey(db, waiting, SITE, answer, NOW)
    ask_to_add(db, owner, SITE, FIRM, "desk", NOW)
    with pytest.raises(Refused, match="not accepted"):
        add_passkey(db, owner, SITE, "x", answer, "desk", NOW)


def test_a_recovery_code_stands_in_for_a_lost_passkey(db: Database, owner: StaffMember, key: Key) -> None:
    codes = new_recovery_codes(db, owner, NOW)
    token, _ = finish_sign_in(db, sign_in(db, MAIL, PASSWORD, NOW)[0], codes[0], NOW)
    assert staff_for(db, token, NOW) is not None
    assert recovery_codes_left(db, owner) == 9


def test_passkeys_are_named_and_removed_by_their_own_person(
    db: Database, owner: StaffMember, other: StaffMember, key: Key
) -> None:
    assert added(db, owner, a_key(), "telephone") == ()
    first, second = list_passkeys(db, owner)
    name_passkey(db, owner, first.id, "  key   on the ring ", NOW)
    assert list_passkeys(db, owner)[0].name == "key on the ring"
    with pytest.raises(Refused, match="name"):
        name_passkey(db, owner, first.id, " ", NOW)
    for change in (
        lambda: name_passkey(db, other, first.id, "mine", NOW),
        lambda: remove_passkey(db, other, first.id, NOW),
    ):
        with pytest.raises(NotFound):
            change()
    remove_passkey(db, owner, first.id, NOW)
    assert recovery_codes_left(db, owner) == 10
    remove_passkey(db, owner, second.id, NOW)
    assert recovery_codes_left(db, owner) == 0
    assert not sign_in(db, MAIL, PASSWORD, NOW)[1].has_second_factor


def test_a_changed_factor_ends_every_other_session(db: Database, owner: StaffMember) -> None:
    here, elsewhere = sign_in(db, MAIL, PASSWORD, NOW)[0], sign_in(db, MAIL, PASSWORD, NOW)[0]
    question = ask_to_add(db, owner, SITE, FIRM, here, NOW)
    add_passkey(db, owner, SITE, "blue key", a_key().make(question), here, NOW)
    assert staff_for(db, here, NOW) is not None
    assert staff_for(db, elsewhere, NOW) is None


def test_there_is_a_most_and_no_question_where_browsers_give_none(db: Database, owner: StaffMember) -> None:
    for _ in range(MOST):
        added(db, owner, a_key())
    with pytest.raises(Refused, match="10 passkeys already"):
        ask_to_add(db, owner, SITE, FIRM, "desk", NOW)
    with pytest.raises(Refused, match="UPSTAND_BASE_URL"):
        ask_to_add(db, owner, site_of("http://192.0.2.7"), FIRM, "desk", NOW)


def test_a_shut_account_keeps_no_passkey(db: Database, owner: StaffMember) -> None:
    tor = add_staff(db, owner, "Tor", "tor@example.org", "slate gutter lantern", NOW)
    added(db, tor, a_key())
    shut_account(db, owner, tor.id, NOW)
    assert list_passkeys(db, tor) == ()


def test_the_database_holds_nothing_that_opens(db: Database, key: Key) -> None:
    kept = everything_kept(db)
    private = key.key.private_numbers().private_value
    assert str(private) not in kept
    assert f"{private:x}" not in kept


def test_the_password_is_shown_again_before_a_factor_changes(db: Database, owner: StaffMember) -> None:
    prove_password(db, owner, PASSWORD, NOW)
    for _ in range(8):
        with pytest.raises(Refused, match="not your password"):
            prove_password(db, owner, "not it", NOW)
    with pytest.raises(TooOften):
        prove_password(db, owner, PASSWORD, NOW)


def test_the_owner_makes_the_second_factor_compulsory_for_owner_and_office(
    db: Database, owner: StaffMember, other: StaffMember
) -> None:
    tor = add_staff(db, owner, "Tor", "tor@example.org", "slate gutter lantern", NOW)
    eve = add_staff(db, owner, "Eve", "eve@example.org", "slate gutter lantern", NOW, "crew")
    with pytest.raises(Refused, match="Only the owner"):
        ask_for_factor(db, other, True, NOW)
    ask_for_factor(db, owner, True, NOW)
    assert asks_for_factor(db)
    asked = {
        mail: sign_in(db, mail, word, NOW)[1].must_set_factor
        for mail, word in (
            (MAIL, PASSWORD),
            (tor.email, "slate gutter lantern"),
            (eve.email, "slate gutter lantern"),
        )
    }
    assert asked == {MAIL: True, tor.email: True, eve.email: False}
    added(db, tor, a_key())
    assert not sign_in(db, tor.email, "slate gutter lantern", NOW)[1].must_set_factor
    ask_for_factor(db, owner, False, NOW)
    assert not sign_in(db, MAIL, PASSWORD, NOW)[1].must_set_factor
