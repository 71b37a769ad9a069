"""Passkeys: added, named and removed on one's own account, and asked for after the password."""

from http import HTTPStatus

from fastapi import APIRouter, Response
from starlette.responses import JSONResponse

from app.actions.accounts import prove_password
from app.actions.errors import Refused, TooOften
from app.actions.passkeys import (
    add_passkey,
    ask_for_passkey,
    ask_to_add,
    name_passkey,
    remove_passkey,
    sign_in_with_passkey,
)
from app.web.account import account_page, password_of, session_token, with_factor
from app.web.page import go
from app.web.sheets import firm_name
from app.web.sign_in import code_page, let_in, seen_from, waiting_token
from app.web.visit import AtDesk, AtDoor, Posted, number, site, text

router = APIRouter()
_LONGEST_ANSWER = 20_000  # of a browser's passkey; some send a certificate along


@router.post("/me/passkeys/question")
def save_question_to_add(desk: AtDesk, form: Posted) -> Response:
    """Put the question that makes a passkey, once the password is shown again."""
    try:
        prove_password(desk.db, desk.staff, password_of(form, "passkey_password"), desk.now)
        firm, token = firm_name(desk), session_token(desk)
        return _question(ask_to_add(desk.db, desk.staff, site(desk.request), firm, token, desk.now))
    except Refused as refusal:
        return _no_question(refusal)


@router.post("/me/passkeys")
def save_passkey(desk: AtDesk, form: Posted) -> Response:
    """Add the passkey that answers, and show recovery codes where there were none."""
    name, answer = text(form, "passkey_name", 80), text(form, "answer", _LONGEST_ANSWER)
    try:
        codes = add_passkey(
            desk.db, desk.staff, site(desk.request), name, answer, session_token(desk), desk.now
        )
    except Refused as refusal:
        return account_page(desk, {"passkey_name": refusal.reason}, {"passkey_name": name})
    if not codes:
        return go("/me?said=passkey")
    shown = with_factor(desk, has_app=desk.staff.has_app)
    return account_page(shown, shown=codes, shown_name="Recovery codes")


@router.post("/me/passkeys/name")
def save_passkey_name(desk: AtDesk, form: Posted) -> Response:
    """Give a passkey another name."""
    name_passkey(desk.db, desk.staff, number(form, "passkey_id"), text(form, "name", 80), desk.now)
    return go("/me?said=passkey-named")


@router.post("/me/passkeys/remove")
def save_passkey_removal(desk: AtDesk, form: Posted) -> Response:
    """Take a passkey away, once the password is shown again."""
    passkey_id = number(form, "passkey_id")
    prove_password(desk.db, desk.staff, password_of(form, "password"), desk.now)
    remove_passkey(desk.db, desk.staff, passkey_id, desk.now, session_token(desk))
    return go("/me?said=passkey-removed")


@router.post("/sign-in/passkey/question")
def save_question_to_sign_in(door: AtDoor, form: Posted) -> Response:
    """Put the question to whoever has shown the password."""
    try:
        return _question(ask_for_passkey(door.db, waiting_token(door), site(door.request), door.now))
    except Refused as refusal:
        return _no_question(refusal)


@router.post("/sign-in/passkey")
def save_passkey_sign_in(door: AtDoor, form: Posted) -> Response:
    """Finish signing in, with a new session."""
    answer = text(form, "answer", _LONGEST_ANSWER)
    waiting, bound = waiting_token(door), site(door.request)
    try:
        token, _ = sign_in_with_passkey(door.db, waiting, bound, answer, door.now, seen_from(door))
    except TooOften as wait:
        return code_page(door, wait.reason, HTTPStatus.TOO_MANY_REQUESTS)
    except Refused as refusal:
        return code_page(door, refusal.reason, HTTPStatus.UNPROCESSABLE_ENTITY)
    return let_in(door, token, text(form, "next"))


def _question(options: str) -> Response:
    return Response(options, media_type="application/json")


def _no_question(refusal: Refused) -> Response:
    is_braked = isinstance(refusal, TooOften)
    status = HTTPStatus.TOO_MANY_REQUESTS if is_braked else HTTPStatus.UNPROCESSABLE_ENTITY
    return JSONResponse({"text": refusal.reason}, status_code=status)
