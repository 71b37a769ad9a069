"""Sign-in of staff: accounts, sessions, and the brake on guessing."""

from datetime import datetime, timedelta

from app.actions.brake import Limit, count_guess, refuse_guessers
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.passwords import FIRST_HOLDS, MOST_LENGTH, checked_hash, hasher, nobodys_hash
from app.actions.records import Role, SessionCard, StaffMember
from app.actions.second_factor import use_code
from app.actions.tokens import new_token, token_hash
from app.store import audit, people
from app.store.sessions import Session

IDLE = timedelta(hours=12)
LONGEST = timedelta(days=14)
AHEAD = timedelta(hours=1)  # a session begun later than this is of a clock that was wrong
# How old "last seen" may be before it is written again, so that a page view is not a write.
SEEN_STEP = timedelta(minutes=5)
# How long the second factor is waited for after the password.
WAIT = timedelta(minutes=10)
_WRONG = "That e-mail address and password do not belong together."


def needs_owner(db: Database) -> bool:
    """Tell whether no account exists yet, so that the first visitor makes the owner."""
    with db.read() as session:
        return people.count_staff(session) == 0


def make_owner(db: Database, name: str, email: str, password: str, now: datetime) -> StaffMember:
    """Make the first account; Refused when one exists or the password is weak."""
    hashed = _checked_hash(name, email, password)
    with db.write() as session:
        if people.count_staff(session):
            raise Refused("The owner's account exists already. Sign in, or ask the owner to add you.")
        member = people.add_staff(session, name.strip(), email.strip(), hashed, "owner", now)
        audit.note(session, now, member.name, "made the owner's account", f"staff:{member.id}")
    return member


def add_staff(
    db: Database,
    staff: StaffMember,
    name: str,
    email: str,
    password: str,
    now: datetime,
    role: Role = "office",
) -> StaffMember:
    """Let the owner add a colleague; Refused for others, a known address or a weak password.

    The first password is known to two people, so its owner changes it before anything else.
    """
    if staff.role != "owner":
        raise Refused("Only the owner adds people.")
    hashed = _checked_hash(name, email, password)
    with db.write() as session:
        if people.staff_by_email(session, email.strip()):
            raise Refused(f"Somebody with the address {email.strip()} can sign in already.")
        member = people.add_staff(session, name.strip(), email.strip(), hashed, role, now)
        people.set_password_hash(session, member.id, hashed, must_change=True, first_until=now + FIRST_HOLDS)
        audit.note(session, now, staff.name, f"added {member.name} ({role})", f"staff:{member.id}")
    return member


def list_staff(db: Database) -> tuple[StaffMember, ...]:
    """Everybody who can sign in, by name."""
    with db.read() as session:
        return people.list_staff(session)


def sign_in(
    db: Database, email: str, password: str, now: datetime, address: str = "", browser: str = ""
) -> tuple[str, StaffMember]:
    """Give a new session token and whose it is; Refused when wrong, TooOften after many wrong tries.

    With a second factor the token opens nothing yet: it waits for `finish_sign_in`.
    """
    limits = _limits(email, address)
    refuse_guessers(db, "sign-in", limits, now)
    with db.read() as session:
        found = people.staff_by_email(session, email.strip())
    # An unknown address is checked against a hash too, so that time does not tell who is known.
    is_right, better_hash = hasher().verify_and_update(
        password[:MOST_LENGTH], found[1] if found else nobodys_hash()
    )
    if not (found and is_right):
        count_guess(db, "sign-in", limits, now)
        raise Refused(_WRONG)
    member, token = found[0], new_token()
    with db.write() as session:
        until = people.first_password_until(session, member.id)
        if until is not None and now >= until:
            raise Refused("That first password has run out. Ask the owner for a new one.")
        if better_hash:
            people.set_password_hash(session, member.id, better_hash)
        people.forget_guesses(session, "sign-in", limits[0][0])
        people.end_old_sessions(session, now - LONGEST, now - IDLE)
        waits = member.has_second_factor
        people.add_session(
            session, member.id, token_hash(token), now, waits=waits, seen_from=(address, browser)
        )
        if not waits:
            audit.note(session, now, member.name, "signed in", f"staff:{member.id}")
    return token, member


def finish_sign_in(
    db: Database, waiting: str, code: str, now: datetime, address: str = "", browser: str = ""
) -> tuple[str, StaffMember]:
    """Give a new session for a waiting one and the right code; Refused when wrong or too late, TooOften."""
    member, token = who_waits(db, waiting, now), new_token()
    limits = ((f"code of {member.email}", 8),)
    refuse_guessers(db, "code", limits, now)
    with db.write() as session:
        is_right = use_code(session, member.id, code, now)
        if is_right:
            let_in(session, member, (waiting, token), now, (address, browser))
            audit.note(session, now, member.name, "signed in with the second factor", f"staff:{member.id}")
    if not is_right:
        count_guess(db, "code", limits, now)
        raise Refused("That code is not right, or was used already. Wait for the next one.")
    return token, member


def who_waits(db: Database, waiting: str, now: datetime) -> StaffMember:
    """Give who has shown the password and not yet the second factor; Refused when that is too long ago."""
    with db.read() as session:
        found = people.waiting_session(session, token_hash(waiting))
    if found is None or abs(now - found[1]) >= WAIT:
        raise Refused("The time for the code is over. Sign in with your password again.")
    return found[0]


def let_in(
    session: Session,
    member: StaffMember,
    tokens: tuple[str, str],
    now: datetime,
    seen_from: tuple[str, str],
) -> None:
    """Put a new session in place of the waiting one; `tokens` are the waiting one's and the new one's."""
    waiting, token = tokens
    people.end_session(session, token_hash(waiting))
    people.forget_guesses(session, "code", f"code of {member.email}")
    people.add_session(session, member.id, token_hash(token), now, seen_from=seen_from)


def staff_for(db: Database, token: str, now: datetime) -> StaffMember | None:
    """Tell whose session this is, or None when it has ended (idle 12 h, 14 days, begun in future)."""
    hashed = token_hash(token)
    with db.look() as connection:
        found = people.session_of(connection, hashed)
    if found is None:
        return None
    member, made_at, seen_at = found
    if now - made_at >= LONGEST or now - seen_at >= IDLE or made_at - now >= AHEAD:
        sign_out(db, token)
        return None
    if now - seen_at >= SEEN_STEP:
        with db.write() as session:
            people.touch_session(session, hashed, now)
    return member


def sign_out(db: Database, token: str) -> None:
    """End one session."""
    with db.write() as session:
        people.end_session(session, token_hash(token))


def sign_out_everywhere(db: Database, staff: StaffMember) -> None:
    """End every session of this person."""
    with db.write() as session:
        people.end_sessions(session, staff.id)


def sessions(db: Database, staff: StaffMember, token: str) -> tuple[SessionCard, ...]:
    """The browsers this person is signed in with; `token` is that of the one that asks."""
    with db.read() as session:
        return people.list_sessions(session, staff.id, token_hash(token))


def end_one_session(db: Database, staff: StaffMember, session_id: int, now: datetime) -> None:
    """End one of this person's own sessions."""
    with db.write() as session:
        people.end_session_by_id(session, staff.id, session_id)
        audit.note(session, now, staff.name, "ended a session", f"staff:{staff.id}")


def _limits(email: str, address: str) -> tuple[Limit, ...]:
    """Slow one guesser first, then a whole address, then everybody who tries one account."""
    account = email.strip().lower()
    per_address = ((f"from {address}", 40),) if address else ()
    return ((f"{account} from {address}", 8), (account, 60), *per_address)


def _checked_hash(name: str, email: str, password: str) -> str:
    account = email.strip().lower()
    if not name.strip():
        raise Refused("Give a name; it is printed beside what this person does.")
    if "@" not in account[1:-1] or " " in account:
        raise Refused(f"{email!r} is not an e-mail address; one such as ada@example.org would do.")
    return checked_hash(name, email, password)
