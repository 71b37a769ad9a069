"""Signing in, signing out, and the first account of a new server."""

from dataclasses import dataclass
from http import HTTPStatus
from urllib.parse import quote

from fastapi import APIRouter, Response

from app.actions.errors import Refused, TooOften
from app.actions.passkeys import waits_for_passkey
from app.actions.sign_in import finish_sign_in, make_owner, needs_owner, sign_in, sign_out
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, missing, typed
from app.web.page import go, render
from app.web.security import give_cookie, take_cookie
from app.web.sheets import Frame
from app.web.visit import SESSION, VISIT, AtDoor, Door, Posted, cookie_name, site, text

router = APIRouter()
_LONGEST_S = 14 * 24 * 3600
_SIGN_IN = (
    Entry("email", "E-mail address", "email", fill="username"),
    Entry("password", "Password", "secret", fill="current-password"),
)
_WITH_CODE = "Your account asks for a second factor: the code of your app, or one of your recovery codes."
_WITH_PASSKEY = (
    "Your account asks for a second factor: your passkey, the code of your app if you have one, or one of "
    "your recovery codes."
)
_CODE = (Entry("code", "Code", "text", fill="one-time-code"),)
_START = (
    Entry("name", "Your name", fill="name"),
    Entry("email", "E-mail address", "email", fill="username"),
    Entry(
        "password",
        "Password",
        "secret",
        "At least 12 characters; a few words in a row do well.",
        fill="new-password",
    ),
)


@dataclass(frozen=True, slots=True)
class SignInSheet:
    """The way in.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    fields : tuple of Field
        What is asked.
    faults : tuple of Fault
        What went wrong with the last try.
    action, button : str
        Where the form is sent, and what its button says.
    text : str
        A sentence above the form.
    next : str
        Page to go to afterwards.
    passkey_origin : str
        The address that passkeys are bound to, where one may go on with a passkey; empty elsewhere.
    """

    frame: Frame
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]
    action: str
    button: str
    text: str
    next: str
    passkey_origin: str = ""


@router.get("/sign-in")
def show_sign_in(door: AtDoor) -> Response:
    """The sign-in form; a server without accounts asks for the owner's first."""
    if needs_owner(door.db):
        return go("/start")
    return _sign_in_page(door, {}, {})


@router.post("/sign-in")
def save_sign_in(door: AtDoor, form: Posted) -> Response:
    """Sign in, with a new session and a new key for forms."""
    values = typed(_SIGN_IN, form)
    faults = missing(_SIGN_IN, values)
    if faults:
        return _sign_in_page(door, values, faults)
    try:
        token, member = sign_in(door.db, values["email"], values["password"], door.now, *seen_from(door))
    except TooOften as wait:
        return _sign_in_page(door, values, {"email": wait.reason}, HTTPStatus.TOO_MANY_REQUESTS)
    except Refused as refusal:
        return _sign_in_page(door, values, {"email": refusal.reason})
    then = _safe_next(str(form.get("next") or ""))
    if not member.has_second_factor:
        return let_in(door, token, then)
    response = go(f"/sign-in/code?next={quote(then)}")
    give_cookie(door.request, response, SESSION, token)
    return response


@router.get("/sign-in/code")
def show_code(door: AtDoor) -> Response:
    """The form for the second factor."""
    return code_page(door, "", HTTPStatus.OK)


@router.post("/sign-in/code")
def save_code(door: AtDoor, form: Posted) -> Response:
    """Finish signing in, with a new session."""
    waiting = waiting_token(door)
    try:
        token, _ = finish_sign_in(door.db, waiting, text(form, "code", 64), door.now, *seen_from(door))
    except TooOften as wait:
        return code_page(door, wait.reason, HTTPStatus.TOO_MANY_REQUESTS)
    except Refused as refusal:
        return code_page(door, refusal.reason, HTTPStatus.UNPROCESSABLE_ENTITY)
    return let_in(door, token, text(form, "next"))


def let_in(door: Door, token: str, then: str) -> Response:
    """Hand out the session and take back what forms were bound to before it."""
    response = go(_safe_next(then))
    give_cookie(door.request, response, SESSION, token, _LONGEST_S)
    take_cookie(door.request, response, VISIT)
    return response


@router.post("/sign-out")
def save_sign_out(door: AtDoor, form: Posted) -> Response:
    """End this session, here and on the server."""
    sign_out(door.db, door.request.cookies.get(cookie_name(door.request, SESSION), ""))
    response = go("/sign-in?said=signed-out")
    take_cookie(door.request, response, SESSION)
    response.headers["clear-site-data"] = '"cache"'
    return response


@router.get("/start")
def show_start(door: AtDoor) -> Response:
    """The owner's account, while there is none."""
    return _start_page(door, {}, {}) if needs_owner(door.db) else go("/sign-in")


@router.post("/start")
def save_start(door: AtDoor, form: Posted) -> Response:
    """Make the owner's account, then ask to sign in with it."""
    values = typed(_START, form)
    faults = missing(_START, values)
    if faults:
        return _start_page(door, values, faults)
    try:
        make_owner(door.db, values["name"], values["email"], values["password"], door.now)
    except Refused as refusal:
        return _start_page(door, values, {"password": refusal.reason})
    return go("/sign-in")


def seen_from(door: Door) -> tuple[str, str]:
    """Where somebody signs in from: address and browser."""
    address = door.request.client.host if door.request.client else ""
    return address, door.request.headers.get("user-agent", "")[:300]


def waiting_token(door: Door) -> str:
    """The token of whoever has shown the password and not yet the second factor."""
    return door.request.cookies.get(cookie_name(door.request, SESSION), "")


def code_page(door: Door, fault: str, status: int) -> Response:
    """The form for the second factor, and the way by a passkey for whoever has one."""
    has_passkey = waits_for_passkey(door.db, waiting_token(door), door.now)
    faults = {"code": fault} if fault else {}
    sheet = SignInSheet(
        frame=Frame("Enter the code", "Upstand", is_wrong=bool(fault)),
        fields=draw(_CODE, {}, faults),
        faults=_faults(faults),
        action="/sign-in/code",
        button="Go on",
        text=_WITH_PASSKEY if has_passkey else _WITH_CODE,
        next=_safe_next(door.request.query_params.get("next", "")),
        passkey_origin=site(door.request).origin if has_passkey else "",
    )
    return render(door.request, "pages/sign_in.html", sheet, status)


def _sign_in_page(
    door: Door, values: dict[str, str], faults: dict[str, str], status: int = HTTPStatus.UNPROCESSABLE_ENTITY
) -> Response:
    is_out = door.request.query_params.get("said") == "signed-out"
    sheet = SignInSheet(
        frame=Frame(
            "Sign in", "Upstand", is_wrong=bool(faults), said="You are signed out." if is_out else ""
        ),
        fields=draw(_SIGN_IN, values, faults),
        faults=_faults(faults),
        action="/sign-in",
        button="Sign in",
        text="",
        next=_safe_next(door.request.query_params.get("next", "")),
    )
    return render(door.request, "pages/sign_in.html", sheet, status if faults else HTTPStatus.OK)


def _start_page(door: Door, values: dict[str, str], faults: dict[str, str]) -> Response:
    sheet = SignInSheet(
        frame=Frame("Make the owner's account", "Upstand", is_wrong=bool(faults)),
        fields=draw(_START, values, faults),
        faults=_faults(faults),
        action="/start",
        button="Make the account",
        text="This server has no account yet. Whoever makes the first one owns it.",
        next="/",
    )
    return render(door.request, "pages/sign_in.html", sheet, 422 if faults else 200)


def _faults(faults: dict[str, str]) -> tuple[Fault, ...]:
    return tuple(Fault(words, field_id(name)) for name, words in faults.items())


def _safe_next(path: str) -> str:
    """Only a path of our own: never another site."""
    is_ours = path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable()
    return path if is_ours else "/"
