"""Every way a request can fail, as a plain page or as JSON, in one place."""

import logging
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any
from urllib.parse import quote

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from app.actions.database import NotKept
from app.actions.errors import LinkClosed, NotFound, Refused, StaleSave, TooOften
from app.agreement.terms import LANGUAGES, Language
from app.documents.words import words_of
from app.job.errors import InputError, InputErrors
from app.web.page import go, render
from app.web.rights import RIGHTS
from app.web.security import add_headers, failure
from app.web.sheets import Frame
from app.web.visit import ForgedForm, MustChange, MustSetFactor, NeedsSignIn, NotAllowed, is_secure
from app.web.watching import known_method, pattern_of

log = logging.getLogger("upstand.web")


@dataclass(frozen=True, slots=True)
class ErrorSheet:
    """A plain page that says what went wrong and what to do.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    text : str
        What went wrong, in a sentence.
    details : tuple of str
        The points behind it.
    reference : str
        What to quote when asking about it; empty when there is nothing to look up.
    way_on, way_on_name : str
        Where to go now, and what it is called; empty on the client's pages.
    """

    frame: Frame
    text: str
    details: tuple[str, ...] = ()
    reference: str = ""
    way_on: str = "/"
    way_on_name: str = "This week"


def install(app: FastAPI) -> None:
    """Register the handlers on this app."""
    app.add_exception_handler(NeedsSignIn, _needs_sign_in)
    app.add_exception_handler(NotAllowed, _not_allowed)
    app.add_exception_handler(MustChange, _must_change)
    app.add_exception_handler(MustSetFactor, _must_set_factor)
    app.add_exception_handler(ForgedForm, _forged)
    app.add_exception_handler(NotKept, _not_kept)
    app.add_exception_handler(NotFound, _not_found)
    app.add_exception_handler(LinkClosed, _link_closed)
    app.add_exception_handler(StaleSave, _stale)
    app.add_exception_handler(InputErrors, _input_errors)
    app.add_exception_handler(Refused, _refused)
    app.add_exception_handler(RequestValidationError, _odd_address)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(Exception, _unexpected)


def _is_api(request: Request) -> bool:
    return request.url.path.startswith("/api/")


def _answer(
    request: Request,
    status: int,
    title: str,
    text: str,
    *,
    details: tuple[str, ...] = (),
    reference: str = "",
    extra: dict[str, Any] | None = None,
    language: str = "",
) -> Response:
    """The one shape of a failure: a page for people, an object for programs."""
    if _is_api(request):
        more: dict[str, Any] = {"details": list(details), "reference": reference, **(extra or {})}
        return failure(status, title, text, **more)
    is_client = request.url.path.startswith(("/s/", "/offer"))
    spoken = _spoken(request, language) if is_client else "en"
    say = words_of(spoken)
    sheet = ErrorSheet(
        frame=Frame(title=say(title), firm="Upstand", language=spoken),
        text=say(text),
        details=tuple(map(say, details)),
        reference=reference,
        way_on="" if is_client else "/",
    )
    return render(request, "pages/error.html", sheet, status)


def _spoken(request: Request, language: str) -> Language:
    """The language of a client's page: that of its offer if it is known, else what its browser asks for."""
    asked = language or request.headers.get("accept-language", "")
    return next((known for known in LANGUAGES if asked.lower().startswith(known)), "en")


def _needs_sign_in(request: Request, error: Exception) -> Response:
    if _is_api(request):
        return _answer(request, HTTPStatus.UNAUTHORIZED, "Sign in", "Sign in first.")
    if request.method == "GET" and request.url.path != "/":
        return go(f"/sign-in?next={quote(request.url.path)}")
    return go("/sign-in")


def _note_refusal(request: Request, what: str) -> None:
    """Leave a line for whoever watches: what was refused, where, whom; no value of the request is in it."""
    staff = getattr(request.state, "staff", None)
    method, pattern = known_method(request.method), pattern_of(request.scope)
    log.warning("refused: %s, %s %s, person %s", what, method, pattern, getattr(staff, "id", "unknown"))


def _not_allowed(request: Request, error: Exception) -> Response:
    _note_refusal(request, "not for this role or key")
    return _answer(request, HTTPStatus.FORBIDDEN, "Not for your role", str(error))


def _must_change(request: Request, error: Exception) -> Response:
    if _is_api(request):
        return _answer(
            request, HTTPStatus.FORBIDDEN, "Change the password", "Change the first password first."
        )
    return go("/me?said=change-password")


def _must_set_factor(request: Request, error: Exception) -> Response:
    if _is_api(request):
        return _answer(
            request, HTTPStatus.FORBIDDEN, "Set a second factor", "Set a second factor on your account first."
        )
    return go("/me?said=set-factor")


def _forged(request: Request, error: Exception) -> Response:
    _note_refusal(request, "a form or call of another origin")
    text = "This form was not sent from a page of ours, or the page was open for too long."
    details = ("Go back, load the page again, and send it once more. Nothing was saved.",)
    return _answer(request, HTTPStatus.FORBIDDEN, "Not accepted", text, details=details)


def _not_kept(request: Request, error: Exception) -> Response:
    details = ("What you typed is still in your browser: go back to find it.",)
    title = "Not saved" if request.method != "GET" else "Not to be had"
    return _answer(request, HTTPStatus.SERVICE_UNAVAILABLE, title, str(error), details=details)


def _not_found(request: Request, error: Exception) -> Response:
    return _answer(request, HTTPStatus.NOT_FOUND, "Not found", str(error))


def _link_closed(request: Request, error: Exception) -> Response:
    kind = error.kind if isinstance(error, LinkClosed) else "unknown"
    status = HTTPStatus.NOT_FOUND if kind == "unknown" else HTTPStatus.GONE
    language = error.language if isinstance(error, LinkClosed) else ""
    return _answer(request, status, "This link does not open", str(error), language=language)


def _stale(request: Request, error: Exception) -> Response:
    assert isinstance(error, StaleSave)
    extra = {
        "theirs": error.theirs.content,
        "theirs_version": error.theirs.version,
        "yours": error.yours.content,
    }
    return _answer(request, HTTPStatus.CONFLICT, "Somebody saved first", str(error), extra=extra)


def _input_errors(request: Request, error: Exception) -> Response:
    assert isinstance(error, InputErrors)
    details = tuple(f"{fault.path}: {fault.wanted}" for fault in error.errors)
    faults = [{"path": fault.path, "value": fault.value, "wanted": fault.wanted} for fault in error.errors]
    text = "Some values cannot be read. Nothing was saved."
    return _answer(
        request,
        HTTPStatus.UNPROCESSABLE_ENTITY,
        "There is a problem",
        text,
        details=details,
        extra={"faults": faults},
    )


def _refused(request: Request, error: Exception) -> Response:
    details = error.details if isinstance(error, Refused) else ()
    status = HTTPStatus.TOO_MANY_REQUESTS if isinstance(error, TooOften) else HTTPStatus.UNPROCESSABLE_ENTITY
    return _answer(request, status, "That cannot be done now", str(error), details=details)


def _odd_address(request: Request, error: Exception) -> Response:
    """Say what cannot be read: an id in the address leads nowhere, the rest is a fault like any other."""
    assert isinstance(error, RequestValidationError)
    faults = error.errors()
    if any(fault["loc"][0] == "path" for fault in faults):
        return _answer(request, HTTPStatus.NOT_FOUND, "Not found", "There is nothing at this address.")
    # What was sent is not said back: it may hold a secret, and it is the sender's own.
    return _input_errors(request, InputErrors(tuple(_unread(fault) for fault in faults)))


def _unread(fault: Mapping[str, Any]) -> InputError:
    where, *inner = (str(part) for part in fault["loc"])
    if fault["type"] == "json_invalid":
        return InputError("body", None, f"Send JSON; it cannot be read at place {inner[0] if inner else 0}.")
    if not inner:
        return InputError(where, None, "Send an object of JSON, such as {}.")
    return InputError(".".join(inner), None, f"{fault['msg']}.")


def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else HTTPStatus.BAD_REQUEST
    if status == HTTPStatus.NOT_FOUND:
        return _answer(request, status, "Not found", "There is nothing at this address.")
    if status == HTTPStatus.METHOD_NOT_ALLOWED:
        takes = ", ".join(_methods_of(pattern_of(request.scope)))
        text = f"This address does not take {known_method(request.method)}; it takes {takes or 'nothing'}."
        answer = _answer(request, status, "Not in this way", text)
        answer.headers["allow"] = takes  # RFC 9110, 15.5.6
        return answer
    return _answer(request, status, HTTPStatus(status).phrase, "The request could not be read.")


def _methods_of(pattern: str) -> tuple[str, ...]:
    """The methods that an address of ours takes."""
    rows = (row.split(" ", 1) for row in RIGHTS)
    return tuple(sorted(method for method, path in rows if path == pattern))


def _unexpected(request: Request, error: Exception) -> Response:
    reference = secrets.token_hex(4).upper()
    log.error(
        "reference %s: %s on %s failed", reference, request.method, pattern_of(request.scope), exc_info=error
    )
    text = "Something went wrong on our side. What you typed is still in your browser: go back to find it."
    answer = _answer(
        request, HTTPStatus.INTERNAL_SERVER_ERROR, "Something went wrong", text, reference=reference
    )
    add_headers(answer.headers, request.url.path, secure=is_secure(request))
    return answer
