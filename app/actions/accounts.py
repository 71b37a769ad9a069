"""Accounts after they are made: one's own password, and the owner's hand over everybody's."""

from datetime import datetime

from app.actions.brake import count_guess, refuse_guessers
from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.passwords import FIRST_HOLDS, MOST_LENGTH, checked_hash, hasher
from app.actions.records import Role, StaffMember
from app.actions.tokens import token_hash
from app.store import audit, people
from app.store.sessions import Session


def change_password(
    db: Database, staff: StaffMember, old: str, new: str, now: datetime, token: str = ""
) -> None:
    """Change one's own password and end every other session; Refused, TooOften.

    `token` is that of the session which stays.
    """
    prove_password(db, staff, old, now, "The old password is not right.")
    if old == new:
        raise Refused("That is the old password; give another one.")
    hashed = checked_hash(staff.name, staff.email, new)
    with db.write() as session:
        people.set_password_hash(session, staff.id, hashed, must_change=False)
        people.end_sessions(session, staff.id, but=token_hash(token))
        audit.note(session, now, staff.name, "changed the password", f"staff:{staff.id}")


def prove_password(
    db: Database,
    staff: StaffMember,
    password: str,
    now: datetime,
    words: str = "That is not your password.",
) -> None:
    """Let somebody signed in show again who it is, before a factor changes; Refused, TooOften."""
    limits = ((f"password of {staff.email}", 8),)
    refuse_guessers(db, "password", limits, now)
    with db.read() as session:
        found = people.find_staff(session, staff.id)
    if found is None or not hasher().verify(password[:MOST_LENGTH], found[1]):
        count_guess(db, "password", limits, now)
        raise Refused(words)


def asks_for_factor(db: Database) -> bool:
    """Tell whether owner and office must have a second factor."""
    with db.read() as session:
        return people.asks_for_factor(session)


def ask_for_factor(db: Database, staff: StaffMember, is_asked: bool, now: datetime) -> None:
    """Set whether owner and office must have a second factor; Refused for all but the owner."""
    if staff.role != "owner":
        raise Refused("Only the owner says who needs a second factor.")
    with db.write() as session:
        if not people.ask_for_factor(session, is_asked):
            raise Refused("Open the shop first: the rule is one of the shop's.")
        what = "asks owner and office for a second factor" if is_asked else "asks for no second factor"
        audit.note(session, now, staff.name, what, "shop")


def set_role(db: Database, staff: StaffMember, staff_id: int, role: Role, now: datetime) -> None:
    """Give somebody another role; Refused for all but the owner, and for the last owner's own."""
    with db.write() as session:
        one = _found(session, staff, staff_id)
        if one.role == "owner" and role != "owner":
            _refuse_last_owner(session, one)
        people.set_role(session, one.id, role)
        audit.note(session, now, staff.name, f"{one.name}: {one.role} → {role}", f"staff:{one.id}")


def shut_account(db: Database, staff: StaffMember, staff_id: int, now: datetime) -> None:
    """Let somebody sign in no more, at once; Refused for all but the owner, and for the last owner."""
    with db.write() as session:
        one = _found(session, staff, staff_id)
        if one.role == "owner":
            _refuse_last_owner(session, one)
        people.shut_account(session, one.id)
        audit.note(session, now, staff.name, f"shut the account of {one.name}", f"staff:{one.id}")


def end_sessions_of(db: Database, staff: StaffMember, staff_id: int, now: datetime) -> None:
    """End every session of somebody, such as after a telephone was lost; Refused for all but the owner."""
    with db.write() as session:
        one = _found(session, staff, staff_id)
        people.end_sessions(session, one.id)
        audit.note(session, now, staff.name, f"ended the sessions of {one.name}", f"staff:{one.id}")


def give_password(db: Database, staff: StaffMember, staff_id: int, password: str, now: datetime) -> None:
    """Give somebody who forgot it a new first password, to be changed at once; Refused."""
    with db.read() as session:
        one = _found(session, staff, staff_id)
    hashed = checked_hash(one.name, one.email, password)
    with db.write() as session:
        people.set_password_hash(session, one.id, hashed, must_change=True, first_until=now + FIRST_HOLDS)
        people.end_sessions(session, one.id)
        audit.note(session, now, staff.name, f"gave {one.name} a new first password", f"staff:{one.id}")


def _found(session: Session, staff: StaffMember, staff_id: int) -> StaffMember:
    if staff.role != "owner":
        raise Refused("Only the owner changes accounts.")
    found = people.find_staff(session, staff_id)
    if found is None:
        raise NotFound("person", staff_id)
    return found[0]


def _refuse_last_owner(session: Session, one: StaffMember) -> None:
    owners = [other for other in people.list_staff(session) if other.role == "owner"]
    if [other.id for other in owners] == [one.id]:
        raise Refused("Somebody must stay owner: make another person owner first.")
