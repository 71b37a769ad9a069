"""Sign-in of staff: accounts, sessions, and the brake on guessing."""

from datetime import datetime, timedelta
from functools import cache

from pwdlib import PasswordHash

from app.actions.brake import Limit, count_guess, refuse_guessers
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import StaffMember
from app.actions.tokens import new_token, token_hash
from app.store import audit, people

IDLE = timedelta(hours=12)
LONGEST = timedelta(days=14)
# How old "last seen" may be before it is written again, so that a page view is not a write.
SEEN_STEP = timedelta(minutes=5)
LEAST_LENGTH = 12
MOST_LENGTH = 200
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
    db: Database, staff: StaffMember, name: str, email: str, password: str, now: datetime
) -> StaffMember:
    """Let the owner add a colleague; Refused for others, a known address or a weak password."""
    if staff.role != "owner":
        raise Refused("Only the owner adds people.")
    hashed = _checked_hash(name, email, password)
    with db.write() as session:
        if people.staff_by_email(session, email.strip()):
            raise Refused(f"Somebody with the address {email.strip()} can sign in already.")
        member = people.add_staff(session, name.strip(), email.strip(), hashed, "member", now)
        audit.note(session, now, staff.name, f"added {member.name}", f"staff:{member.id}")
    return member


def list_staff(db: Database) -> tuple[StaffMember, ...]:
    """Everybody who can sign in, by name."""
    with db.read() as session:
        return people.list_staff(session)


def sign_in(
    db: Database, email: str, password: str, now: datetime, address: str = ""
) -> tuple[str, StaffMember]:
    """Give a new session token and whose it is; Refused when wrong, TooOften after many wrong tries."""
    limits = _limits(email, address)
    refuse_guessers(db, "sign-in", limits, now)
    with db.read() as session:
        found = people.staff_by_email(session, email.strip())
    # An unknown address is checked against a hash too, so that time does not tell who is known.
    is_right, better_hash = _hasher().verify_and_update(
        password[:MOST_LENGTH], found[1] if found else _nobodys_hash()
    )
    if not (found and is_right):
        count_guess(db, "sign-in", limits, now)
        raise Refused(_WRONG)
    member, token = found[0], new_token()
    with db.write() as session:
        if better_hash:
            people.set_password_hash(session, member.id, better_hash)
        people.forget_guesses(session, "sign-in", limits[0][0])
        people.end_old_sessions(session, now - LONGEST, now - IDLE)
        people.add_session(session, member.id, token_hash(token), now)
        audit.note(session, now, member.name, "signed in", f"staff:{member.id}")
    return token, member


def staff_for(db: Database, token: str, now: datetime) -> StaffMember | None:
    """Tell whose session this is, or None when it has ended (idle 12 h, at most 14 days)."""
    hashed = token_hash(token)
    with db.read() as session:
        found = people.session_of(session, hashed)
    if found is None:
        return None
    member, made_at, seen_at = found
    if now - made_at >= LONGEST or now - seen_at >= IDLE:
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
    if not LEAST_LENGTH <= len(password) <= MOST_LENGTH:
        raise Refused(f"A password has {LEAST_LENGTH} to {MOST_LENGTH} characters; this one {len(password)}.")
    known = (account, account.partition("@")[0], name.strip().lower(), "upstand", "password")
    left = password.lower()
    for word in known:
        left = left.replace(word, "") if len(word) > 2 else left
    if len(set(left)) < 6:
        raise Refused("That password is easy to guess. Four unrelated words would do.")
    return _hasher().hash(password)


@cache
def _hasher() -> PasswordHash:
    """Argon2id with 64 MiB, three passes: above OWASP ASVS 5.0.0, appendix C (46 MiB, one pass)."""
    return PasswordHash.recommended()


@cache
def _nobodys_hash() -> str:
    return _hasher().hash(new_token())
