"""Who may ask for what: one table of every address, and the one place where it is enforced.

An address that is not in the table is the owner's alone, and a test fails until it has its row.
"""

from collections.abc import Mapping
from typing import Any, Literal

from fastapi import Request
from fastapi.concurrency import run_in_threadpool

from app.actions.errors import NotFound
from app.actions.of_job import must_be_of_job
from app.actions.records import Role, StaffMember
from app.web.visit import (
    MOST_ID,
    MustChange,
    MustSetFactor,
    NeedsSignIn,
    NotAllowed,
    database,
    signed_in,
)

Right = Literal["anyone", "client", "crew", "office", "owner"]

_ANYONE = """
GET /feeds/{token}.ics
GET /h/{token}
GET /h/{token}/file.pdf
GET /robots.txt
GET /roof-worker.js
GET /s/{token}
GET /sign-in
GET /sign-in/code
GET /start
POST /h/{token}
POST /sign-in
POST /sign-in/code
POST /sign-in/passkey
POST /sign-in/passkey/question
POST /sign-out
POST /start
"""

# The client's link opens these, by its cookie; each looks up what the cookie opens, and nothing else.
_CLIENT = """
GET /offer
GET /offer/certificate
GET /offer/certificate.pdf
GET /offer/changes
GET /offer/changes/{change_id}.pdf
GET /offer/proposal.pdf
GET /offer/thanks
POST /offer/ask
POST /offer/cancel
POST /offer/changes
POST /offer/code
POST /offer/decline
POST /offer/records
POST /offer/seen
POST /offer/sign
"""

# What the people on the roof need: where things lie, what happens when, what was done. No price, no wage.
_CREW = """
GET /
GET /api/days
GET /api/jobs/{job_id}
GET /api/jobs/{job_id}/days
GET /api/openapi.json
GET /days
GET /jobs
GET /jobs/{job_id}
GET /jobs/{job_id}/day-sheet
GET /jobs/{job_id}/day-sheet/{on}.pdf
GET /jobs/{job_id}/days
GET /jobs/{job_id}/drawings/plan.dxf
GET /jobs/{job_id}/drawings/plan.pdf
GET /jobs/{job_id}/drawings/plan.svg
GET /jobs/{job_id}/loads
GET /jobs/{job_id}/log
GET /jobs/{job_id}/notes
GET /jobs/{job_id}/photos/{photo_id}.jpg
GET /jobs/{job_id}/plan
GET /jobs/{job_id}/rough-in
GET /jobs/{job_id}/rough-in.pdf
GET /jobs/{job_id}/section
GET /jobs/{job_id}/survey
GET /jobs/{job_id}/view
GET /jobs/{job_id}/walls
GET /me
POST /api/jobs/{job_id}/notes
POST /jobs/{job_id}/hold-points
POST /jobs/{job_id}/hold-points/refuse
POST /jobs/{job_id}/log
POST /jobs/{job_id}/notes
POST /jobs/{job_id}/punch
POST /jobs/{job_id}/rough-in/checks
POST /jobs/{job_id}/rough-in/elsewhere
POST /me/factor
POST /me/factor/codes
POST /me/factor/remove
POST /me/keys
POST /me/keys/remove
POST /me/passkeys
POST /me/passkeys/name
POST /me/passkeys/question
POST /me/passkeys/remove
POST /me/password
POST /me/sessions
POST /shop/people/sign-out
"""

_OWNER = """
GET /shop/people
GET /shop/specimen
POST /shop
POST /shop/assemblies
POST /shop/assembly
POST /shop/calendar
POST /shop/crews
POST /shop/law
POST /shop/law/checked
POST /shop/law/own
POST /shop/law/preset
POST /shop/mail
POST /shop/open
POST /shop/people
POST /shop/people/second-factor
POST /shop/people/{staff_id}
POST /shop/rules
POST /shop/terms
POST /shop/terms/not-needed
POST /shop/terms/words
POST /shop/warranty
POST /shop/wording
POST /shop/work
"""

_OFFICE = """
GET /api/jobs/{job_id}/board
GET /api/jobs/{job_id}/board/materials/{other_id}
GET /api/jobs/{job_id}/board/picture
GET /api/jobs/{job_id}/view
GET /api/jobs/{job_id}/price
GET /api/jobs/{job_id}/takeoff
GET /clients
GET /clients/new
GET /clients/{client_id}
GET /days/search
GET /jobs/new
GET /jobs/{job_id}/board
GET /jobs/{job_id}/board/picture.jpg
GET /jobs/{job_id}/changes
GET /jobs/{job_id}/changes/{change_id}.pdf
GET /jobs/{job_id}/handover
GET /jobs/{job_id}/handover.pdf
GET /jobs/{job_id}/handover/{copy_id}.pdf
GET /jobs/{job_id}/invoices/{invoice_id}.pdf
GET /jobs/{job_id}/job-file
GET /jobs/{job_id}/job-file.json
GET /jobs/{job_id}/money
GET /jobs/{job_id}/options
GET /jobs/{job_id}/orders
GET /jobs/{job_id}/price
GET /jobs/{job_id}/price/line
GET /jobs/{job_id}/proposal
GET /jobs/{job_id}/proposal/{revision_id}.pdf
GET /jobs/{job_id}/proposal/{revision_id}/certificate.pdf
GET /jobs/{job_id}/purchase-orders/{order_id}.{kind}
GET /jobs/{job_id}/takeoff
GET /jobs/{job_id}/takeoff/cut-plan.pdf
GET /jobs/{job_id}/{stem}/{name}
GET /shop
GET /shop/assemblies
GET /shop/assembly
GET /shop/calendar
GET /shop/crews
GET /shop/crews/feed
GET /shop/imports
GET /shop/imports/{import_id}
GET /shop/items/new
GET /shop/mail
GET /shop/open
GET /shop/prices
GET /shop/prices.{kind}
GET /shop/prices/{item}
GET /shop/rack
GET /shop/rules
GET /shop/terms
GET /shop/warranty
GET /shop/wording
GET /shop/work
POST /api/jobs/{job_id}/board/dxf
POST /api/jobs/{job_id}/board/look
POST /api/jobs/{job_id}/board/picture
POST /api/jobs/{job_id}/board/picture/remove
POST /api/jobs/{job_id}/board/read
POST /api/jobs/{job_id}/board/walk
POST /api/jobs/{job_id}/board/wall
POST /clients/new
POST /clients/{client_id}
POST /days
POST /days/search
POST /jobs/new
POST /jobs/{job_id}/changes
POST /jobs/{job_id}/costs
POST /jobs/{job_id}/days
POST /jobs/{job_id}/deliveries
POST /jobs/{job_id}/feed
POST /jobs/{job_id}/handover
POST /jobs/{job_id}/handover/copies
POST /jobs/{job_id}/handover/link
POST /jobs/{job_id}/invoices
POST /jobs/{job_id}/job-file
POST /jobs/{job_id}/job-file/replace
POST /jobs/{job_id}/links
POST /jobs/{job_id}/links/{link_id}/revoke
POST /jobs/{job_id}/options
POST /jobs/{job_id}/orders
POST /jobs/{job_id}/price
POST /jobs/{job_id}/price/line
POST /jobs/{job_id}/promise
POST /jobs/{job_id}/proposal
POST /jobs/{job_id}/proposal/{revision_id}/copies
POST /jobs/{job_id}/proposal/{revision_id}/sign
POST /jobs/{job_id}/purchase-orders
POST /jobs/{job_id}/purchase-orders/confirm
POST /jobs/{job_id}/questions
POST /jobs/{job_id}/receipts
POST /jobs/{job_id}/state
POST /jobs/{job_id}/takeoff/rack
POST /jobs/{job_id}/tasks
POST /jobs/{job_id}/{stem}/{name}
POST /shop/crews/feed
POST /shop/imports
POST /shop/imports/{import_id}
POST /shop/items/new
POST /shop/prices/{item}
POST /shop/rack
PUT /api/jobs/{job_id}
PUT /api/jobs/{job_id}/board
PUT /api/jobs/{job_id}/board/picture
"""

_TABLE: Mapping[Right, str] = {
    "anyone": _ANYONE,
    "client": _CLIENT,
    "crew": _CREW,
    "office": _OFFICE,
    "owner": _OWNER,
}
RIGHTS: Mapping[str, Right] = {
    address: right for right, rows in _TABLE.items() for address in rows.split("\n") if address
}
_REACH: Mapping[Role, frozenset[Right]] = {
    "owner": frozenset({"crew", "office", "owner"}),
    "office": frozenset({"crew", "office"}),
    "crew": frozenset({"crew"}),
}
# What is numbered across all jobs, by the names under which a number is sent: in an address or a form.
THINGS: Mapping[str, str] = {
    "change": "change order",
    "change_id": "change order",
    "close": "punch item",
    "invoice": "invoice",
    "invoice_id": "invoice",
    "link_id": "link",
    "order_id": "purchase order",
    "photo_id": "photo",
    "revision": "revision",
    "revision_id": "revision",
}
# Open to somebody whose first password is still that of the owner, or who has yet to set a second factor.
_OWN_CARE = ("/me", "/sign-out")


def right_of(method: str, path: str) -> Right:
    """What it takes to ask for an address; the owner's role when the table does not know it."""
    return RIGHTS.get(f"{method} {path}", "owner")


def may(staff: StaffMember, method: str, path: str) -> bool:
    """Whether somebody signed in may ask for an address, written as in the table."""
    return right_of(method, path) in _REACH[staff.role] | {"anyone"}


async def permitted(request: Request) -> None:
    """Let a request through to its handler, or raise NeedsSignIn, NotAllowed, MustChange, MustSetFactor."""
    path = getattr(request.scope.get("route"), "path", "")
    _refuse_odd_ids(request)
    right = right_of(request.method, path)
    if right in ("anyone", "client"):
        return
    staff = await run_in_threadpool(signed_in, request)
    if staff is None:
        raise NeedsSignIn
    if right not in _REACH[staff.role]:
        raise NotAllowed(staff.role)
    if staff.must_change and not path.startswith(_OWN_CARE):
        raise MustChange
    if staff.must_set_factor and not path.startswith(_OWN_CARE):
        raise MustSetFactor
    await _refuse_others(request)


async def _refuse_others(request: Request) -> None:
    """Say that a thing is not there when it is one of another job, wherever its number is sent."""
    job_id = str(request.path_params.get("job_id", ""))
    if not job_id.isdecimal():
        return
    sent: dict[str, Any] = dict(request.path_params)
    if request.method == "POST" and not request.url.path.startswith("/api/"):
        sent |= {name: value for name, value in (await request.form()).items() if name in THINGS}
    for name, kind in THINGS.items():
        value = str(sent.get(name, ""))
        if value.isdecimal() and len(value) <= len(str(MOST_ID)):
            await run_in_threadpool(must_be_of_job, database(request), kind, int(value), int(job_id))


def _refuse_odd_ids(request: Request) -> None:
    """Say that there is nothing where a number is greater than any that a database gives."""
    for name, value in request.path_params.items():
        if name.endswith("_id") and str(value).lstrip("-").isdecimal() and abs(int(value)) > MOST_ID:
            raise NotFound(name.removesuffix("_id"), value)
