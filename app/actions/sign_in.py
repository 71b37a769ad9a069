"""Sign-in of staff: accounts, sessions, and the brake on guessing."""

from datetime import datetime

from app.actions.database import Database
from app.actions.records import StaffMember


def needs_owner(db: Database) -> bool:
    """Tell whether no account exists yet, so that the first visitor makes the owner."""
    raise NotImplementedError


def make_owner(db: Database, name: str, email: str, password: str, now: datetime) -> StaffMember:
    """Make the first account; Refused when one exists or the password is weak."""
    raise NotImplementedError


def add_staff(
    db: Database, staff: StaffMember, name: str, email: str, password: str, now: datetime
) -> StaffMember:
    """Let the owner add a colleague."""
    raise NotImplementedError


def sign_in(
    db: Database, email: str, password: str, now: datetime, address: str = ""
) -> tuple[str, StaffMember]:
    """Give a new session token and whose it is; Refused when wrong, TooOften after many wrong tries."""
    raise NotImplementedError


def staff_for(db: Database, token: str, now: datetime) -> StaffMember | None:
    """Tell whose session this is, or None when it has ended (idle 12 h, at most 14 days)."""
    raise NotImplementedError


def sign_out(db: Database, token: str) -> None:
    """End one session."""
    raise NotImplementedError


def sign_out_everywhere(db: Database, staff: StaffMember) -> None:
    """End every session of this person."""
    raise NotImplementedError
