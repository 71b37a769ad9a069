"""Keys of the JSON API: each speaks for one person, reads or also writes, ends by itself, goes at once."""

from datetime import datetime, timedelta
from typing import Literal

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.records import ApiKey, StaffMember
from app.actions.tokens import new_token, token_hash
from app.store import audit, factors

LONGEST_DAYS = 366
MOST_KEYS = 20
SEEN_STEP = timedelta(minutes=5)
Scope = Literal["read", "write"]


def add_api_key(db: Database, staff: StaffMember, name: str, scope: Scope, days: int, now: datetime) -> str:
    """Make a key and give it, once; Refused without a name, with odd days, or with too many keys."""
    if not name.strip():
        raise Refused("Give the key a name that says which program uses it.")
    if not 1 <= days <= LONGEST_DAYS:
        raise Refused(f"A key works for 1 to {LONGEST_DAYS} days, not {days}.")
    key = new_token()
    with db.write() as session:
        if len(factors.list_api_keys(session, staff.id)) >= MOST_KEYS:
            raise Refused(f"There are {MOST_KEYS} keys already. Take one away first.")
        times = (now, now + timedelta(days=days))
        factors.add_api_key(session, staff.id, name.strip()[:80], scope, token_hash(key), times)
        audit.note(
            session, now, staff.name, f"made the key {name.strip()[:80]}: {scope}", f"staff:{staff.id}"
        )
    return key


def api_keys(db: Database, staff: StaffMember) -> tuple[ApiKey, ...]:
    """The keys of this person."""
    with db.read() as session:
        return factors.list_api_keys(session, staff.id)


def staff_for_key(db: Database, key: str, now: datetime) -> tuple[StaffMember, Scope] | None:
    """Tell whom a key speaks for and how far it goes; None when it is unknown or over."""
    with db.read() as session:
        found = factors.api_key_of(session, token_hash(key))
    if found is None or now >= found[1].expires_at:
        return None
    member, kept = found
    if kept.last_used_at is None or now - kept.last_used_at >= SEEN_STEP:
        with db.write() as session:
            factors.touch_api_key(session, kept.id, now)
    return member, kept.scope


def remove_api_key(db: Database, staff: StaffMember, key_id: int, now: datetime) -> None:
    """Take a key away; it works no more from now on. NotFound."""
    with db.write() as session:
        name = factors.remove_api_key(session, staff.id, key_id)
        if name is None:
            raise NotFound("key", key_id)
        audit.note(session, now, staff.name, f"took away the key {name}", f"staff:{staff.id}")
