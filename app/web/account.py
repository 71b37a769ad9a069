"""One's own account: password, second factor, sessions, keys of the JSON API."""

from dataclasses import dataclass, replace
from io import BytesIO
from typing import cast

import segno
from fastapi import APIRouter, Response
from markupsafe import Markup

from app.actions.accounts import change_password
from app.actions.api_keys import Scope, add_api_key, api_keys, remove_api_key
from app.actions.errors import Refused
from app.actions.records import ApiKey, SessionCard
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
from app.web.visit import SESSION, AtDesk, Desk, Posted, cookie_name, number, text

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
_CODE = (Entry("code", "Code of the app", "count", "Six digits.", fill="one-time-code"),)
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
    password, code, remove, key : tuple of Field
        The forms: the password, the first code, the last one, a new key.
    has_factor : bool
        Whether a second factor is set.
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
    remove: tuple[Field, ...]
    key: tuple[Field, ...]
    has_factor: bool
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
    return _page(desk)


@router.post("/me/password")
def save_password(desk: AtDesk, form: Posted) -> Response:
    """Change one's own password; every other session ends."""
    values = typed(_PASSWORD, form)
    faults = missing(_PASSWORD, values)
    if not faults:
        try:
            change_password(desk.db, desk.staff, values["old"], values["new"], desk.now, _token(desk))
            return go("/me?said=password")
        except Refused as refusal:
            faults = {"old" if "old password is not" in refusal.reason else "new": refusal.reason}
    return _page(desk, faults)


@router.post("/me/factor")
def save_factor(desk: AtDesk, form: Posted) -> Response:
    """Set a second factor once its first code is right, and show the recovery codes."""
    secret, code = text(form, "secret", 64), text(form, "code", 12)
    try:
        codes = set_second_factor(desk.db, desk.staff, secret, code, desk.now)
    except Refused as refusal:
        return _page(desk, {"code": refusal.reason}, secret=secret)
    return _page(_with_factor(desk), shown=codes, shown_name="Recovery codes")


@router.post("/me/factor/codes")
def save_new_codes(desk: AtDesk, form: Posted) -> Response:
    """Make new recovery codes and show them."""
    codes = new_recovery_codes(desk.db, desk.staff, desk.now)
    return _page(desk, shown=codes, shown_name="Recovery codes")


@router.post("/me/factor/remove")
def save_no_factor(desk: AtDesk, form: Posted) -> Response:
    """Remove the second factor, with a right code."""
    try:
        remove_second_factor(desk.db, desk.staff, text(form, "last_code", 64), desk.now)
    except Refused as refusal:
        return _page(desk, {"last_code": refusal.reason})
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
            return _page(desk, shown=(key,), shown_name="Key of the JSON API")
        except Refused as refusal:
            faults = {"days" if "days" in refusal.reason else "key_name": refusal.reason}
    return _page(desk, faults, values)


@router.post("/me/keys/remove")
def save_key_removal(desk: AtDesk, form: Posted) -> Response:
    """Take a key away."""
    remove_api_key(desk.db, desk.staff, number(form, "key_id"), desk.now)
    return go("/me?said=key-removed")


def _with_factor(desk: Desk) -> Desk:
    return replace(desk, staff=replace(desk.staff, has_second_factor=True))


def _token(desk: Desk) -> str:
    return desk.request.cookies.get(cookie_name(desk.request, SESSION), "")


def _page(
    desk: Desk,
    faults: dict[str, str] | None = None,
    values: dict[str, str] | None = None,
    *,
    secret: str = "",
    shown: tuple[str, ...] = (),
    shown_name: str = "",
) -> Response:
    faults = faults or {}
    secret = "" if desk.staff.has_second_factor else secret or new_secret()
    sheet = AccountSheet(
        frame=desk_frame(desk, "Your account", at="/me", is_wrong=bool(faults)),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
        password=draw(_PASSWORD, {}, faults),
        code=draw(_CODE, {}, faults),
        remove=draw(_REMOVE, {}, faults),
        key=draw(_KEY, values or {"days": "90"}, faults),
        has_factor=desk.staff.has_second_factor,
        codes_left=recovery_codes_left(desk.db, desk.staff),
        secret=secret,
        square=_square(address_of(secret, desk.staff, firm_name(desk))) if secret else Markup(""),
        shown=shown,
        shown_name=shown_name,
        sessions=sessions(desk.db, desk.staff, _token(desk)),
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
