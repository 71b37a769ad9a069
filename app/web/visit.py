"""What one request brings: the database, the clock, who is asking, and the posted form."""

import hashlib
import hmac
import secrets
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Annotated, Any
from urllib.parse import urlsplit

from fastapi import Depends, Request
from fastapi.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from app.actions.api_keys import staff_for_key
from app.actions.database import Database
from app.actions.errors import NotFound
from app.actions.passkeys import Site
from app.actions.records import Renderer, StaffMember
from app.actions.sign_in import staff_for

SESSION, VISIT, OFFER = "session", "visit", "offer"
TOKEN_FIELD = "form_token"  # noqa: S105 - the name of a field
MOST_FIELDS = 20_000
MOST_ID = 2**31 - 1  # what a database's own numbers go up to
_UNSAFE = frozenset({"POST", "PUT", "PATCH", "DELETE"})


class NeedsSignIn(Exception):
    """Nobody is signed in: show the sign-in page, and come back afterwards."""


class NotAllowed(Exception):
    """Somebody signed in asks for what another role may do."""

    def __init__(self, role: str) -> None:
        super().__init__(f"This is not for the role {role}. Ask the owner, who can change it.")


class MustChange(Exception):
    """The first password, which two people know, is to be changed before anything else."""


class MustSetFactor(Exception):
    """The shop asks this person for a second factor before anything else."""


class ForgedForm(Exception):
    """A form that this server did not hand to this visitor."""


@dataclass(frozen=True, slots=True)
class Desk:
    """What a page for staff works with."""

    request: Request
    db: Database
    staff: StaffMember
    now: datetime
    today: date


@dataclass(frozen=True, slots=True)
class Door:
    """What a page works with before anybody is known."""

    request: Request
    db: Database
    now: datetime
    today: date


def database(request: Request) -> Database:
    """The database this server was started with."""
    db: Database = request.app.state.database
    return db


def renderer(request: Request) -> Renderer:
    """The function that prints a proposal."""
    printer: Renderer = request.app.state.renderer
    return printer


def is_secure(request: Request) -> bool:
    """Whether this server is reached over https."""
    return bool(request.app.state.is_secure)


def site(request: Request) -> Site:
    """What passkeys are bound to: the address as set on the server, never what a request says."""
    found: Site = request.app.state.site
    return found


def instant(request: Request) -> datetime:
    """Now, in UTC; tests put their own clock on the app."""
    clock: Callable[[], datetime] | None = getattr(request.app.state, "clock", None)
    return clock() if clock else datetime.now(UTC)


async def at_door(request: Request) -> Door:
    """The visit of somebody not known."""
    now = instant(request)
    return Door(request, database(request), now, now.astimezone().date())


def signed_in(request: Request) -> StaffMember | None:
    """Who asks: by the session's cookie, or by a key of the JSON API; looked up once a request."""
    if not hasattr(request.state, "staff"):
        request.state.staff = _by_key(request) if bearer(request) else _by_session(request)
    found: StaffMember | None = request.state.staff
    return found


def _by_session(request: Request) -> StaffMember | None:
    token = request.cookies.get(cookie_name(request, SESSION), "")
    return staff_for(database(request), token, instant(request)) if token else None


def _by_key(request: Request) -> StaffMember | None:
    """Whom a key speaks for; NotAllowed when it only reads and the request would change something."""
    found = staff_for_key(database(request), bearer(request), instant(request))
    if found is None:
        return None
    if found[1] == "read" and request.method in _UNSAFE:
        raise NotAllowed("of a key that only reads")
    return found[0]


def bearer(request: Request) -> str:
    """The key of the JSON API sent along, for its own addresses only; empty when there is none."""
    if not request.url.path.startswith("/api/"):
        return ""
    kind, _, key = request.headers.get("authorization", "").partition(" ")
    return key.strip()[:200] if kind.lower() == "bearer" else ""


async def at_desk(request: Request) -> Desk:
    """The visit of staff; NeedsSignIn when the session is missing or over."""
    # Whoever may ask was looked up before, as a rule: then nothing waits, and no thread is gone through.
    is_known = hasattr(request.state, "staff")
    staff = signed_in(request) if is_known else await run_in_threadpool(signed_in, request)
    now = instant(request)
    if staff is None:
        raise NeedsSignIn
    return Desk(request, database(request), staff, now, now.astimezone().date())


AtDesk = Annotated[Desk, Depends(at_desk)]
AtDoor = Annotated[Door, Depends(at_door)]


def cookie_name(request: Request, name: str) -> str:
    """The cookie's name: with the ``__Host-`` prefix where the browser will accept it."""
    return f"__Host-{name}" if is_secure(request) else name


def visit_key(request: Request) -> str:
    """A random value known to this visitor's browser alone; made on the first page."""
    known = request.cookies.get(cookie_name(request, VISIT), "")
    if len(known) < 32:
        known = getattr(request.state, "new_visit", "") or secrets.token_urlsafe(32)
        request.state.new_visit = known
    return known


def form_token(request: Request) -> str:
    """The token a form carries: bound to the visit and to the session, or to the client's link."""
    is_client = request.url.path.startswith("/offer")
    bound = request.cookies.get(cookie_name(request, OFFER if is_client else SESSION), "")
    return hmac.new(visit_key(request).encode(), bound.encode(), hashlib.sha256).hexdigest()


async def posted(request: Request) -> FormData:
    """The posted form, once it is shown to come from one of our pages."""
    form = await request.form(max_fields=MOST_FIELDS, max_files=2)
    given = str(form.get(TOKEN_FIELD) or "")
    if not is_from_here(request) or not hmac.compare_digest(given.encode(), form_token(request).encode()):
        raise ForgedForm
    return form


Posted = Annotated[FormData, Depends(posted)]


def is_from_here(request: Request) -> bool:
    """Whether the browser says that one of our own pages sent this."""
    site = request.headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    origin = request.headers.get("origin")
    return origin is None or urlsplit(origin).netloc == request.headers.get("host")


async def checked(request: Request) -> AsyncIterator[None]:
    """Refuse every unsafe request that is neither our own form nor JSON from our own page."""
    try:
        if request.method in _UNSAFE and request.url.path.startswith("/api/"):
            kind = request.headers.get("content-type", "").partition(";")[0].strip()
            # A browser sends a key only when a page of ours puts it there: no other site can.
            if kind != "application/json" or not (bearer(request) or is_from_here(request)):
                raise ForgedForm
        elif request.method in _UNSAFE:
            await posted(request)
        yield
    finally:
        await request.close()  # with the files sent along


def text(form: FormData, name: str, most: int = 400) -> str:
    """A typed text, trimmed, never longer than `most`."""
    return str(form.get(name) or "").strip()[:most]


def number(form: FormData, name: str) -> int:
    """A whole number that the page itself put into the form; NotFound when somebody changed it."""
    value: Any = form.get(name)
    if not str(value or "").isdecimal() or len(str(value)) > 18 or int(str(value)) > MOST_ID:
        raise NotFound(name.replace("_", " "), value)
    return int(str(value))
