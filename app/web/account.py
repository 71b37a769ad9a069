"""One's own account: password, second factor, sessions, keys of the JSON API."""

from dataclasses import dataclass, replace
from io import BytesIO
from typing import cast

import segno
from fastapi import APIRouter, Response
from markupsafe import Markup
from starlette.datastructures import FormData

from app.actions.accounts import change_password, prove_password
from app.actions.api_keys import Scope, add_api_key, api_keys, remove_api_key
from app.actions.errors import Refused
from app.actions.passkeys import MOST, list_passkeys
from app.actions.records import ApiKey, Passkey, SessionCard
from app.actions.second_factor import (
    address_of,
    new_recovery_codes,
    new_secret,
    recovery_codes_left,
    remove_second_factor,
    set_second_factor,
)
from app.actions.sign_in import end_one_session, sessions
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame, firm_name
from app.web.visit import SESSION, AtDesk, Desk, Posted, cookie_name, number, site, text

router = APIRouter()
_PASSWORD = (
    Entry("old", "Old password", "secret", fill="current-password"),
    Entry(
        "new",
        "New password",
        "secret",
        "At least 12 characters; a few words in a row do well.",
        fill="new-password",
    ),
)
_CODE = (
    Entry("code", "Code of the app", "count", "Six digits.", fill="one-time-code"),
    Entry("factor_password", "Your password", "secret", fill="current-password"),
)
_CODES = (Entry("codes_password", "Your password", "secret", fill="current-password"),)
_PASSKEY = (
    Entry("passkey_name", "Name of the passkey", hint="What it lies on: “blue key”, “telephone”."),
    Entry("passkey_password", "Your password", "secret", fill="current-password"),
)
_REMOVE = (Entry("last_code", "Code of the app, or a recovery code", "text", fill="one-time-code"),)
_KEY = (
    Entry("key_name", "Which program uses it"),
    Entry("scope", "What it may do", "choice", options=(("read", "read"), ("write", "read and write"))),
    Entry("days", "For how many days", "count", "At most 366."),
)


@dataclass(frozen=True, slots=True)
class AccountSheet:
    """One's own account.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    faults : tuple of Fault
        What must be mended.
    password, code, codes, remove, passkey, key : tuple of Field
        The forms: the password, the first code, new recovery codes, the last code, a new passkey, a new key.
    has_factor, has_app : bool
        Whether a second factor is set, and whether it is an app.
    must_set : bool
        Whether nothing else opens until one is set.
    passkeys : tuple of Passkey
        One's own passkeys.
    passkey_way : str
        Whether one more can be added: "open", "full", or "closed" at an address that browsers give none to.
    origin : str
        The address that passkeys are bound to.
    codes_left : int
        How many recovery codes are left.
    secret : str
        The secret of a factor about to be set; empty when one is set.
    square : Markup
        The same secret as a square code.
    shown : tuple of str
        What is shown this once: recovery codes, or a key.
    shown_name : str
        What it is.
    sessions : tuple of SessionCard
        Where one is signed in.
    keys : tuple of ApiKey
        The programs that speak for one.
    """

    frame: Frame
    faults: tuple[Fault, ...]
    password: tuple[Field, ...]
    code: tuple[Field, ...]
    codes: tuple[Field, ...]
    remove: tuple[Field, ...]
    passkey: tuple[Field, ...]
    key: tuple[Field, ...]
    has_factor: bool
    has_app: bool
    must_set: bool
    passkeys: tuple[Passkey, ...]
    passkey_way: str
    origin: str
    codes_left: int
    secret: str
    square: Markup
    shown: tuple[str, ...]
    shown_name: str
    sessions: tuple[SessionCard, ...]
    keys: tuple[ApiKey, ...]


@router.get("/me")
def show_account(desk: AtDesk) -> Response:
    """One's own account."""
    return account_page(desk)


@router.post("/me/password")
def save_password(desk: AtDesk, form: Posted) -> Response:
    """Change one's own password; every other session ends."""
    values = typed(_PASSWORD, form)
    faults = missing(_PASSWORD, values)
    if not faults:
        try:
            change_password(desk.db, desk.staff, values["old"], values["new"], desk.now, session_token(desk))
            return go("/me?said=password")
        except Refused as refusal:
            faults = {"old" if "old password is not" in refusal.reason else "new": refusal.reason}
    return account_page(desk, faults)


@router.post("/me/factor")
def save_factor(desk: AtDesk, form: Posted) -> Response:
    """Set a second factor once its first code is right, and show the recovery codes."""
    secret, code = text(form, "secret", 64), text(form, "code", 12)
    field = "factor_password"
    try:
        prove_password(desk.db, desk.staff, password_of(form, field), desk.now)
        field = "code"
        codes = set_second_factor(desk.db, desk.staff, secret, code, desk.now, session_token(desk))
    except Refused as refusal:
        return account_page(desk, {field: refusal.reason}, secret=secret)
    return account_page(with_factor(desk, has_app=True), shown=codes, shown_name="Recovery codes")


@router.post("/me/factor/codes")
def save_new_codes(desk: AtDesk, form: Posted) -> Response:
    """Make new recovery codes and show them."""
    try:
        prove_password(desk.db, desk.staff, password_of(form, "codes_password"), desk.now)
        codes = new_recovery_codes(desk.db, desk.staff, desk.now)
    except Refused as refusal:
        return account_page(desk, {"codes_password": refusal.reason})
    return account_page(desk, shown=codes, shown_name="Recovery codes")


@router.post("/me/factor/remove")
def save_no_factor(desk: AtDesk, form: Posted) -> Response:
    """Remove the second factor, with a right code."""
    try:
        code = text(form, "last_code", 64)
        remove_second_factor(desk.db, desk.staff, code, desk.now, session_token(desk))
    except Refused as refusal:
        return account_page(desk, {"last_code": refusal.reason})
    return go("/me?said=factor-removed")


@router.post("/me/sessions")
def save_session_end(desk: AtDesk, form: Posted) -> Response:
    """End one of one's own sessions."""
    end_one_session(desk.db, desk.staff, number(form, "session_id"), desk.now)
    return go("/me?said=ended")


@router.post("/me/keys")
def save_key(desk: AtDesk, form: Posted) -> Response:
    """Make a key of the JSON API and show it."""
    values = typed(_KEY, form)
    faults = missing(_KEY, values)
    if values["scope"] not in ("read", "write"):
        faults["scope"] = "Choose what the key may do"
    days = int(values["days"]) if values["days"].isdecimal() and len(values["days"]) < 6 else 0
    if not faults:
        try:
            scope = cast("Scope", values["scope"])
            key = add_api_key(desk.db, desk.staff, values["key_name"], scope, days, desk.now)
            return account_page(desk, shown=(key,), shown_name="Key of the JSON API")
        except Refused as refusal:
            faults = {"days" if "days" in refusal.reason else "key_name": refusal.reason}
    return account_page(desk, faults, values)


@router.post("/me/keys/remove")
def save_key_removal(desk: AtDesk, form: Posted) -> Response:
    """Take a key away."""
    remove_api_key(desk.db, desk.staff, number(form, "key_id"), desk.now)
    return go("/me?said=key-removed")


def with_factor(desk: Desk, *, has_app: bool) -> Desk:
    """The visit of somebody who has a second factor since this request."""
    return replace(
        desk, staff=replace(desk.staff, has_second_factor=True, has_app=has_app, must_set_factor=False)
    )


def password_of(form: FormData, name: str) -> str:
    """A typed password, as it was typed."""
    return str(form.get(name) or "")[:400]


def session_token(desk: Desk) -> str:
    """The token of the session that asks."""
    return desk.request.cookies.get(cookie_name(desk.request, SESSION), "")


def account_page(
    desk: Desk,
    faults: dict[str, str] | None = None,
    values: dict[str, str] | None = None,
    *,
    secret: str = "",
    shown: tuple[str, ...] = (),
    shown_name: str = "",
) -> Response:
    """One's own account, with what went wrong, or with what is shown this once."""
    faults = faults or {}
    secret = "" if desk.staff.has_app else secret or new_secret()
    kept = list_passkeys(desk.db, desk.staff)
    bound = site(desk.request)
    way = "full" if len(kept) >= MOST else "open"
    sheet = AccountSheet(
        frame=desk_frame(desk, "Your account", at="/me", is_wrong=bool(faults)),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
        password=draw(_PASSWORD, {}, faults),
        code=draw(_CODE, {}, faults),
        codes=draw(_CODES, {}, faults),
        remove=draw(_REMOVE, {}, faults),
        passkey=draw(_PASSKEY, values or {}, faults),
        key=draw(_KEY, {"days": "90", **(values or {})}, faults),
        has_factor=desk.staff.has_second_factor,
        has_app=desk.staff.has_app,
        must_set=desk.staff.must_set_factor,
        passkeys=kept,
        passkey_way=way if bound.can_have_passkeys else "closed",
        origin=bound.origin,
        codes_left=recovery_codes_left(desk.db, desk.staff),
        secret=secret,
        square=_square(address_of(secret, desk.staff, firm_name(desk))) if secret else Markup(""),
        shown=shown,
        shown_name=shown_name,
        sessions=sessions(desk.db, desk.staff, session_token(desk)),
        keys=api_keys(desk.db, desk.staff),
    )
    return render(desk.request, "pages/account.html", sheet, 422 if faults else 200)


def _square(address: str) -> Markup:
    """The address as a square code, drawn in the page: it is never sent anywhere."""
    drawn = BytesIO()
    segno.make(address, error="m").save(
        drawn, kind="svg", xmldecl=False, svgns=True, scale=4, nl=False, title="Square code for the app"
    )
    return Markup(drawn.getvalue().decode())  # noqa: S704 - made of digits by the library
