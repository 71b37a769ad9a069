"""What every answer carries: a strict content policy, no sniffing, no store on private pages; cookies."""

from http import HTTPStatus
from typing import Any

from fastapi import FastAPI, Request, Response
from starlette.datastructures import MutableHeaders
from starlette.responses import JSONResponse, PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from app.web.visit import VISIT, cookie_name, is_secure

CONTENT_POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
MOST_BYTES = 4_000_000  # of one request; the largest job file is far below
_HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}
_YEAR_S = 31_536_000
_OPEN = ("/static/", "/health")


class Headers:
    """Adds the headers to every answer and refuses a body that is too long."""

    def __init__(self, app: ASGIApp, secure: bool) -> None:
        self.app = app
        self.secure = secure

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, with both ends watched."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        path = scope["path"]

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                self._add(MutableHeaders(scope=message), path)
            await send(message)

        if _announced_bytes(scope) > MOST_BYTES:
            await _too_long(path)(scope, receive, send_with_headers)
            return
        await self.app(scope, _counted(receive), send_with_headers)

    def _add(self, headers: MutableHeaders, path: str) -> None:
        add_headers(headers, path, secure=self.secure)


def add_headers(headers: MutableHeaders, path: str, *, secure: bool) -> None:
    """Put the headers on one answer; the page for an unforeseen failure is made outside the rest."""
    for name, value in _HEADERS.items():
        headers.setdefault(name, value)
    if secure:
        headers.setdefault("strict-transport-security", f"max-age={_YEAR_S}; includeSubDomains")
    if not path.startswith(_OPEN):
        headers["cache-control"] = "no-store"
        headers.setdefault("x-robots-tag", "noindex, nofollow")
    else:
        # Kept by the browser, but asked for by its ETag each time: a file's name does not tell its version.
        headers.setdefault("cache-control", "no-cache")


def _too_long(path: str) -> Response:
    """The refusal of a body that nobody has read: in the API's own shape, or as a line."""
    status, text = HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "That is more than 4 MB; a job file is far smaller."
    if path.startswith("/api/"):
        return failure(status, "Too much at once", text)
    return PlainTextResponse(text, status_code=status)


def failure(status: int, title: str, text: str, **more: Any) -> JSONResponse:
    """The one shape of every failure of the JSON API."""
    error = {"status": int(status), "title": title, "text": text, "details": [], "reference": ""}
    return JSONResponse({"error": error | more}, status_code=status)


def _announced_bytes(scope: Scope) -> int:
    for name, value in scope["headers"]:
        if name == b"content-length" and value.isdigit():
            return int(value)
    return 0


def _counted(receive: Receive) -> Receive:
    """Cut a body off that grows past the limit without having announced it."""
    taken = 0

    async def receive_counted() -> Message:
        nonlocal taken
        message = await receive()
        if message["type"] == "http.request":
            taken += len(message.get("body", b""))
            if taken > MOST_BYTES:
                return {"type": "http.disconnect"}
        return message

    return receive_counted


def install(app: FastAPI) -> None:
    """Put the headers on every answer of this app; `app.state.is_secure` must be set before."""
    app.add_middleware(Headers, secure=bool(app.state.is_secure))


def keep_visit(request: Request, response: Response) -> None:
    """Hand the visitor the random value that forms are bound to, if it is new."""
    fresh = getattr(request.state, "new_visit", "")
    if fresh:
        give_cookie(request, response, VISIT, fresh)


def give_cookie(
    request: Request, response: Response, name: str, value: str, seconds: int | None = None
) -> None:
    """Set a cookie that scripts cannot read and other sites cannot send along with a post."""
    response.set_cookie(
        cookie_name(request, name),
        value,
        max_age=seconds,
        path="/",
        secure=is_secure(request),
        httponly=True,
        samesite="lax",
    )


def take_cookie(request: Request, response: Response, name: str) -> None:
    """Take a cookie back."""
    response.delete_cookie(
        cookie_name(request, name), path="/", secure=is_secure(request), httponly=True, samesite="lax"
    )
