"""Passkeys (WebAuthn level 2) as second factor: added, named, removed, and asked for after the password.

Nothing that a browser sends is believed but what its key has signed: the question, our origin and our name.
"""

import ipaddress
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TypeVar
from urllib.parse import urlsplit

import webauthn
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url
from webauthn.helpers.exceptions import WebAuthnException
from webauthn.helpers.structs import (
    AuthenticatorSelectionCriteria,
    PublicKeyCredentialDescriptor,
    ResidentKeyRequirement,
    UserVerificationRequirement,
)

from app.actions.brake import count_guess, refuse_guessers
from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.records import Passkey, StaffMember
from app.actions.second_factor import first_codes, forget_codes_without_factor
from app.actions.sign_in import let_in, who_waits
from app.actions.tokens import new_token, token_hash
from app.store import audit, passkeys, people

HOLDS = timedelta(minutes=5)
MOST = 10
_PORTS = {"http": 80, "https": 443}
_LATE = "That question was answered already, or more than five minutes ago. Press the button once more."
_WRONG = "The passkey was not accepted."
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Site:
    """What a passkey is bound to: the origin that people type, and the host in it."""

    origin: str
    host: str

    @property
    def can_have_passkeys(self) -> bool:
        """Browsers give passkeys to names only, and over HTTPS but for this machine itself."""
        try:
            ipaddress.ip_address(self.host.strip("[]"))
        except ValueError:
            return self.origin.startswith("https://") or self.host == "localhost"
        return False


def site_of(address: str) -> Site:
    """Give what passkeys are bound to from the address that people type, as set on the server."""
    parts = urlsplit(address)
    host = (parts.hostname or "").lower()
    named = f"[{host}]" if ":" in host else host
    port = "" if parts.port in (None, _PORTS.get(parts.scheme)) else f":{parts.port}"
    return Site(f"{parts.scheme}://{named}{port}", host)


def list_passkeys(db: Database, staff: StaffMember) -> tuple[Passkey, ...]:
    """Give a person's passkeys, the oldest first."""
    with db.read() as session:
        return passkeys.list_passkeys(session, staff.id)


def ask_to_add(db: Database, staff: StaffMember, site: Site, firm: str, token: str, now: datetime) -> str:
    """Give the question that makes a new passkey, as JSON for the browser; Refused past the most."""
    _refuse_elsewhere(site)
    with db.write() as session:
        kept = passkeys.list_passkeys(session, staff.id)
        if len(kept) >= MOST:
            raise Refused(f"There are {MOST} passkeys already. Remove one that is no longer used.")
        options = webauthn.generate_registration_options(
            rp_id=site.host,
            rp_name=firm,
            # The same for all passkeys of a person on this server, and no name: WebAuthn, 14.6.1.
            user_id=token_hash(f"{site.host} {staff.id}").encode(),
            user_name=staff.email,
            user_display_name=staff.name,
            exclude_credentials=_described(kept),
            authenticator_selection=AuthenticatorSelectionCriteria(
                resident_key=ResidentKeyRequirement.DISCOURAGED,
                user_verification=UserVerificationRequirement.PREFERRED,
            ),
        )
        passkeys.forget_challenges(session, now - HOLDS)
        question = bytes_to_base64url(options.challenge)
        passkeys.put_challenge(session, staff.id, token_hash(token), "add", question, now)
    return webauthn.options_to_json(options)


def add_passkey(
    db: Database, staff: StaffMember, site: Site, name: str, answer: str, token: str, now: datetime
) -> tuple[str, ...]:
    """Add the passkey that answers the question; gives recovery codes, once, where there are none. Refused.

    Every other session ends; `token` is that of the one which asked, and stays.
    """
    named = _named(name)
    question = _take(db, staff, token, "add", now)
    made = _held_true(
        lambda: webauthn.verify_registration_response(
            credential=answer,
            expected_challenge=question,
            expected_rp_id=site.host,
            expected_origin=site.origin,
        )
    )
    if made is None:
        raise Refused(_WRONG)
    credential_id = bytes_to_base64url(made.credential_id)
    public_key = bytes_to_base64url(made.credential_public_key)
    with db.write() as session:
        if passkeys.is_known(session, credential_id):
            raise Refused("That passkey is in use already.")
        passkeys.add_passkey(
            session, staff.id, Passkey(0, named, credential_id, public_key, made.sign_count, now)
        )
        codes = first_codes(session, staff)
        people.end_sessions(session, staff.id, but=token_hash(token))
        audit.note(session, now, staff.name, f"added the passkey {named}", f"staff:{staff.id}")
    return codes


def name_passkey(db: Database, staff: StaffMember, passkey_id: int, name: str, now: datetime) -> None:
    """Give one's passkey another name; Refused, NotFound."""
    named = _named(name)
    with db.write() as session:
        old = passkeys.name_passkey(session, staff.id, passkey_id, named)
        if old is None:
            raise NotFound("passkey", passkey_id)
        audit.note(session, now, staff.name, f"named the passkey {old}: {named}", f"staff:{staff.id}")


def remove_passkey(db: Database, staff: StaffMember, passkey_id: int, now: datetime, token: str = "") -> None:
    """Take one's passkey away; NotFound. Every other session ends."""
    with db.write() as session:
        name = passkeys.remove_passkey(session, staff.id, passkey_id)
        if name is None:
            raise NotFound("passkey", passkey_id)
        forget_codes_without_factor(session, staff.id)
        people.end_sessions(session, staff.id, but=token_hash(token))
        audit.note(session, now, staff.name, f"removed the passkey {name}", f"staff:{staff.id}")


def waits_for_passkey(db: Database, waiting: str, now: datetime) -> bool:
    """Tell whether whoever has shown the password may go on with a passkey."""
    try:
        return bool(list_passkeys(db, who_waits(db, waiting, now)))
    except Refused:
        return False


def ask_for_passkey(db: Database, waiting: str, site: Site, now: datetime) -> str:
    """Give the question for a passkey, as JSON for the browser; Refused, TooOften."""
    _refuse_elsewhere(site)
    member = who_waits(db, waiting, now)
    refuse_guessers(db, "code", ((f"code of {member.email}", 8),), now)
    with db.write() as session:
        kept = passkeys.list_passkeys(session, member.id)
        if not kept:
            raise Refused("There is no passkey for this account. Use the code.")
        options = webauthn.generate_authentication_options(
            rp_id=site.host,
            allow_credentials=_described(kept),
            user_verification=UserVerificationRequirement.PREFERRED,
        )
        passkeys.forget_challenges(session, now - HOLDS)
        question = bytes_to_base64url(options.challenge)
        passkeys.put_challenge(session, member.id, token_hash(waiting), "sign in", question, now)
    return webauthn.options_to_json(options)


def sign_in_with_passkey(
    db: Database, waiting: str, site: Site, answer: str, now: datetime, seen_from: tuple[str, str] = ("", "")
) -> tuple[str, StaffMember]:
    """Give a new session for a waiting one and its passkey's answer; Refused, TooOften."""
    member, token = who_waits(db, waiting, now), new_token()
    limits = ((f"code of {member.email}", 8),)
    refuse_guessers(db, "code", limits, now)
    question = _take(db, member, waiting, "sign in", now)
    refusal = _WRONG
    with db.write() as session:
        answered = _answered(passkeys.list_passkeys(session, member.id), answer)
        said = _counter_said(answered, question, site, answer) if answered else None
        if answered and said is not None and not _went_back(answered, said):
            passkeys.used_passkey(session, answered.id, said, now)
            let_in(session, member, (waiting, token), now, seen_from)
            audit.note(session, now, member.name, "signed in with a passkey", f"staff:{member.id}")
            return token, member
        if answered and said is not None:
            refusal = "This passkey may have been copied: its counter went back. Use a code and remove it."
            words = f"the counter of the passkey {answered.name} went back: refused"
            audit.note(session, now, member.name, words, f"staff:{member.id}")
    count_guess(db, "code", limits, now)
    raise Refused(refusal)


def _counter_said(kept: Passkey, question: bytes, site: Site, answer: str) -> int | None:
    """Give what the counter says in an answer that is right in all else; None for a wrong one."""
    used = _held_true(
        lambda: webauthn.verify_authentication_response(
            credential=answer,
            expected_challenge=question,
            expected_rp_id=site.host,
            expected_origin=site.origin,
            credential_public_key=base64url_to_bytes(kept.public_key),
            credential_current_sign_count=0,  # judged by whoever asks
        )
    )
    return used.new_sign_count if used else None


def _went_back(kept: Passkey, said: int) -> bool:
    """Tell of a copied key: its counter does not rise (WebAuthn level 2, 7.2, step 21)."""
    return (said > 0 or kept.sign_count > 0) and said <= kept.sign_count


def _answered(kept: tuple[Passkey, ...], answer: str) -> Passkey | None:
    """Give the one of a person's own passkeys that an answer comes from."""
    read = _held_true(lambda: webauthn.helpers.parse_authentication_credential_json(answer))
    return next((one for one in kept if read and one.credential_id == bytes_to_base64url(read.raw_id)), None)


def _held_true(hold: Callable[[], T]) -> T | None:
    """Give what the library found true, or None; it raises its own kind for all that is not."""
    try:
        return hold()
    except (WebAuthnException, ValueError):
        return None


def _take(db: Database, staff: StaffMember, token: str, purpose: passkeys.Purpose, now: datetime) -> bytes:
    """Use up the question put to a session, whatever becomes of the answer; Refused when late."""
    with db.write() as session:
        found = passkeys.take_challenge(session, staff.id, token_hash(token), purpose)
    if found is None or abs(now - found[1]) >= HOLDS:
        raise Refused(_LATE)
    return base64url_to_bytes(found[0])


def _described(kept: tuple[Passkey, ...]) -> list[PublicKeyCredentialDescriptor]:
    return [PublicKeyCredentialDescriptor(id=base64url_to_bytes(one.credential_id)) for one in kept]


def _named(name: str) -> str:
    plain = " ".join(name.split())[:80]
    if not plain:
        raise Refused("Give the passkey a name, such as “blue key” or “telephone”.")
    return plain


def _refuse_elsewhere(site: Site) -> None:
    if not site.can_have_passkeys:
        raise Refused(
            f"Passkeys need a name and HTTPS, and this server is reached at {site.origin}. "
            "Set UPSTAND_BASE_URL."
        )
