"""The second factor: six digits of an app (RFC 6238), and recovery codes for whoever lost it."""

import hmac
from datetime import datetime, timedelta

import pyotp

from app.actions.brake import count_guess, refuse_guessers
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import StaffMember
from app.actions.tokens import new_recovery_code, token_hash
from app.store import audit, factors, passkeys, people
from app.store.sessions import Session

STEP_SECONDS = 30
RECOVERY_CODES = 10
# A step before and after: clocks differ, and typing takes time (RFC 6238, section 5.2).
_DRIFT = (0, -1, 1)
_STEP = timedelta(seconds=STEP_SECONDS)


def new_secret() -> str:
    """Make the secret of a new second factor: 160 bits, as RFC 4226 section 4 advises."""
    return pyotp.random_base32()


def address_of(secret: str, staff: StaffMember, firm: str) -> str:
    """Give what an app reads from the square code: the secret, whose it is, and for what."""
    return pyotp.TOTP(secret).provisioning_uri(name=staff.email, issuer_name=firm)


def set_second_factor(
    db: Database, staff: StaffMember, secret: str, code: str, now: datetime, token: str = ""
) -> tuple[str, ...]:
    """Begin to ask for a second factor, once its first code is right; gives the recovery codes, once.

    Every other session ends; `token` is that of the one which stays. Codes that are left stay good.
    """
    with db.write() as session:
        kept, _ = factors.totp_of(session, staff.id)
        if kept:
            raise Refused("There is a second factor already. Remove it first.")
        step = _step_of(secret, code, now)
        if step is None:
            raise Refused(
                "That code is not right. Look at the clock of the telephone, and take the next code."
            )
        factors.set_totp(session, staff.id, secret, step)
        codes = first_codes(session, staff)
        people.end_sessions(session, staff.id, but=token_hash(token))
        audit.note(session, now, staff.name, "set a second factor", f"staff:{staff.id}")
    return codes


def new_recovery_codes(db: Database, staff: StaffMember, now: datetime) -> tuple[str, ...]:
    """Put new recovery codes in place of the old ones and give them, once; Refused without a factor."""
    with db.write() as session:
        if not _has_factor(session, staff.id):
            raise Refused("There is no second factor yet.")
        codes = _new_codes(session, staff)
        audit.note(session, now, staff.name, "made new recovery codes", f"staff:{staff.id}")
    return codes


def remove_second_factor(db: Database, staff: StaffMember, code: str, now: datetime, token: str = "") -> None:
    """Ask for no code of an app any more; Refused without a right one, TooOften. Other sessions end."""
    limits = ((f"code of {staff.email}", 8),)
    refuse_guessers(db, "code", limits, now)
    with db.write() as session:
        is_right = use_code(session, staff.id, code, now)
        if is_right:
            factors.set_totp(session, staff.id, "", 0)
            forget_codes_without_factor(session, staff.id)
            people.end_sessions(session, staff.id, but=token_hash(token))
            audit.note(session, now, staff.name, "removed the second factor", f"staff:{staff.id}")
    if not is_right:
        count_guess(db, "code", limits, now)
        raise Refused("That code is not right, or was used already.")


def recovery_codes_left(db: Database, staff: StaffMember) -> int:
    """Tell how many recovery codes are left."""
    with db.read() as session:
        return factors.count_recovery_codes(session, staff.id)


def use_code(session: Session, staff_id: int, code: str, now: datetime) -> bool:
    """Use a code of the app or a recovery code, each once; tells whether it was right."""
    plain = "".join(code.split()).replace("-", "").upper()[:64]
    secret, last = factors.totp_of(session, staff_id)
    step = _step_of(secret, plain, now) if secret else None
    if step is not None and step > last:
        factors.set_totp(session, staff_id, secret, step)
        return True
    return factors.use_recovery_code(session, staff_id, token_hash(plain))


def first_codes(session: Session, staff: StaffMember) -> tuple[str, ...]:
    """Give recovery codes to somebody who has none; nothing where some are left."""
    return () if factors.count_recovery_codes(session, staff.id) else _new_codes(session, staff)


def forget_codes_without_factor(session: Session, staff_id: int) -> None:
    """Remove the recovery codes of somebody who has no second factor any more."""
    if not _has_factor(session, staff_id):
        factors.forget_recovery_codes(session, staff_id)


def _has_factor(session: Session, staff_id: int) -> bool:
    return bool(factors.totp_of(session, staff_id)[0] or passkeys.list_passkeys(session, staff_id))


def _step_of(secret: str, code: str, now: datetime) -> int | None:
    """Give the step of time a code belongs to, or None when it is wrong."""
    try:
        totp = pyotp.TOTP(secret)
        found = [
            drift
            for drift in _DRIFT
            if hmac.compare_digest(totp.at(now + drift * _STEP).encode(), "".join(code.split()).encode())
        ]
    except ValueError:  # a secret that is not base 32
        return None
    return int(now.timestamp()) // STEP_SECONDS + found[0] if found else None


def _new_codes(session: Session, staff: StaffMember) -> tuple[str, ...]:
    codes = tuple(new_recovery_code() for _ in range(RECOVERY_CODES))
    factors.put_recovery_codes(session, staff.id, tuple(token_hash(code.replace("-", "")) for code in codes))
    return codes
