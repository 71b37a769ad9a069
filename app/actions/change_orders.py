"""Changes after signing: what differs, change orders made of it or as agreed by word, and taken back."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from app.actions.changes import difference
from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.door import language_of
from app.actions.errors import NotFound, Refused
from app.actions.never_kept import refuse_numbers
from app.actions.records import Difference, StaffMember
from app.actions.sheet import found, subject
from app.actions.since_last import Row, end_before, rows_since, stands
from app.actions.takeoff import firm_of
from app.agreement.contract_sum import ChangeAmount, ContractSum, contract_sum
from app.agreement.fingerprint import canonical_json
from app.agreement.records import Party
from app.agreement.terms import Language
from app.documents.change_order import ChangeOrderInputs, change_order_pdf
from app.pricing.records import PHASES
from app.store import audit, change_orders, jobs
from app.store.day_records import ChangeOrder

_OPEN = ("verbal", "offered")


@dataclass(frozen=True, slots=True)
class ChangesView:
    """The change orders of a job, and what the contract comes to."""

    orders: tuple[ChangeOrder, ...]
    whole: ContractSum
    currency: str
    difference: Difference
    unbilled: Decimal
    unbilled_days: int
    covered: tuple[ChangeOrder, ...] = ()


def changes_view(db: Database, job_id: int, today: date) -> ChangesView:
    """The change orders and the running contract sum; Refused when nothing is signed."""
    now = difference(db, job_id, today)
    with db.read() as session:
        orders = change_orders.change_orders(session, job_id)
    mine = since(orders, now.revision.number)
    from_plan = [
        one for one in mine if one.document.get("kind") == "plan" and one.state in ("offered", "signed")
    ]
    covered = sum((one.price_change for one in from_plan), Decimal(0))
    return ChangesView(
        orders=orders,
        whole=contract_sum(now.total_then, _amounts(mine)),
        currency=now.currency,
        difference=now,
        unbilled=now.total_change - covered,
        unbilled_days=now.working_days_change - sum(one.days_change for one in from_plan),
        covered=tuple(from_plan),
    )


def make_change_order(
    db: Database, staff: StaffMember, job_id: int, title: str, reason: str, now: datetime
) -> int:
    """Make a change order of what differs from what was signed; give its id. Refused when nothing does."""
    view = changes_view(db, job_id, day_of(now))
    if view.unbilled == 0 and view.unbilled_days == 0:
        raise Refused("Nothing differs in price or days from what is signed and sent already.")
    figures = (view.unbilled, view.unbilled_days)
    rows = rows_since(view.difference, view.covered, view.unbilled, _language(db, view))
    return _make(db, staff, job_id, ("plan", title, reason, "", None), figures, (view, rows), now)


def note_verbal_change(
    db: Database,
    staff: StaffMember,
    job_id: int,
    words: tuple[str, str],
    said: tuple[str, date],
    figures: tuple[Decimal, int],
    now: datetime,
    phase: str = "",
) -> int:
    """Note a change agreed by word: title and reason, who and when, price and days; flagged till signed.

    Its days lengthen the phase named, or are a task of their own.
    """
    if not words[0].strip() or not said[0].strip():
        raise Refused("Give what is to change, and who said so.")
    refuse_numbers(*words, said[0])
    if phase and phase not in PHASES:
        raise Refused(f"“{phase}” is no part of the work.")
    if figures[1] < 0 and not phase:
        raise Refused("Fewer days come off a part of the work: choose which.")
    if abs(figures[1]) > 200:
        raise Refused(f"{figures[1]} days cannot be; give at most 200.")
    view = changes_view(db, job_id, day_of(now))
    new = _blank(job_id, words[0].strip()[:200], words[1].strip()[:2000], now, staff.name)
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        number = change_orders.next_number(session, job_id)
        document = {"kind": "typed", "base_revision": view.difference.revision.number, "phase": phase}
        verbal = ChangeOrder(
            **{
                **new,
                "number": number,
                "state": "verbal",
                "is_verbal": True,
                "said_by": said[0].strip()[:200],
                "said_on": said[1],
                "price_change": figures[0],
                "days_change": figures[1],
                "currency": view.currency,
                "document": document,
            }
        )
        change_id = change_orders.add_change_order(session, verbal, None)
        what = f"noted a verbal change {number}: {verbal.title}, said by {verbal.said_by}"
        audit.note(session, now, staff.name, what[:400], subject(job_id))
    return change_id


def send_verbal_change(db: Database, staff: StaffMember, change_id: int, now: datetime) -> int:
    """Make a change order to be signed of a verbal one and give its id; the note of it is settled."""
    with db.read() as session:
        verbal = change_orders.find(session, change_id)
    if verbal is None:
        raise NotFound("change order", change_id)
    if verbal.state != "verbal":
        raise Refused("This change is not a verbal one any more.")
    view = changes_view(db, verbal.job_id, day_of(now))
    words = ("typed", verbal.title, verbal.reason, verbal.said_by, verbal.said_on)
    figures = (verbal.price_change, verbal.days_change)
    carried = {"phase": verbal.document.get("phase", ""), "first_number": verbal.number}
    made = _make(db, staff, verbal.job_id, words, figures, (view, ()), now, carried)
    with db.write() as session:
        change_orders.settle(session, change_id, "taken back", staff.name, {"made into": made}, now)
    return made


def take_back(db: Database, staff: StaffMember, change_id: int, now: datetime) -> None:
    """Take a change order back that is not settled; Refused, NotFound."""
    with db.write() as session:
        order = change_orders.find(session, change_id, for_change=True)
        if order is None:
            raise NotFound("change order", change_id)
        if order.state not in _OPEN:
            raise Refused(f"Change order {order.number} is {order.state}; it stays as it is.")
        change_orders.settle(session, change_id, "taken back", staff.name, {}, now)
        audit.note(session, now, staff.name, f"took back change order {order.number}", subject(order.job_id))


def change_order_paper(db: Database, change_id: int) -> tuple[str, bytes]:
    """The document of a change order exactly as it was made; NotFound."""
    with db.read() as session:
        order = change_orders.find(session, change_id)
        made = change_orders.pdf_of(session, change_id)
        job = jobs.find_job(session, order.job_id) if order else None
    if order is None or job is None or made is None:
        raise NotFound("document of change order", change_id)
    return f"{job.number}-change-{order.number}.pdf", made


def _make(
    db: Database,
    staff: StaffMember,
    job_id: int,
    words: tuple[str, str, str, str, date | None],
    figures: tuple[Decimal, int],
    shown: tuple[ChangesView, tuple[Row, ...]],
    now: datetime,
    carried: Mapping[str, object] = MappingProxyType({}),
) -> int:
    """Print, fingerprint and keep one change order."""
    kind, title, reason, said_by, said_on = words
    view, rows = shown
    if not title.strip():
        raise Refused("Give the change a title; the client reads it first.")
    refuse_numbers(title, reason)
    with db.read() as session:
        number = change_orders.next_number(session, job_id)
        job = found(jobs.find_job(session, job_id), job_id)
    firm = firm_of(db)
    client = Party(job.client.name, job.client.address, job.client.phone, job.client.email)
    inputs = ChangeOrderInputs(
        firm=firm.firm,
        client=client,
        job_number=job.number,
        job_title=job.title,
        number=number,
        title=title.strip()[:200],
        reason=reason.strip()[:2000],
        rows=rows,
        price_change=figures[0],
        days_change=figures[1],
        sum_before=view.whole.total,
        sum_after=view.whole.total + figures[0],
        end_before_on=end_before(view.difference, view.covered),
        end_after_on=view.difference.end_now_on,
        currency=view.currency,
        said_by=said_by,
        said_on=said_on,
        made_on=day_of(now),
        language=_language(db, view),
    )
    made = change_order_pdf(inputs)
    text = canonical_json(inputs)
    mark = hashlib.sha256(text.encode() + made).hexdigest()
    new = _blank(job_id, inputs.title, inputs.reason, now, staff.name)
    order = ChangeOrder(
        **{
            **new,
            "number": number,
            "state": "offered",
            "is_verbal": bool(said_by),
            "said_by": said_by,
            "said_on": said_on,
            "price_change": figures[0],
            "days_change": figures[1],
            "currency": view.currency,
            "document": {
                "kind": kind,
                **carried,
                "base_revision": view.difference.revision.number,
                "inputs": text,
                **stands(view.difference),
            },
            "fingerprint": mark,
        }
    )
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        if change_orders.next_number(session, job_id) != number:
            raise Refused("Somebody made another change order meanwhile; look at it first.")
        change_id = change_orders.add_change_order(session, order, made)
        what = f"made change order {number}: {figures[0]} {view.currency}, fingerprint {mark[:12]}"
        audit.note(session, now, staff.name, what, subject(job_id))
    return change_id


def _blank(job_id: int, title: str, reason: str, now: datetime, who: str) -> dict[str, Any]:
    return {
        "id": 0,
        "job_id": job_id,
        "title": title,
        "reason": reason,
        "fingerprint": "",
        "said_by": "",
        "said_on": None,
        "made_at": now,
        "made_by": who,
        "settled_at": None,
        "settled_name": "",
        "has_pdf": False,
    }


def since(orders: Iterable[ChangeOrder], revision: int) -> list[ChangeOrder]:
    """The change orders made to one signed revision."""
    return [one for one in orders if one.document.get("base_revision") == revision]


def _language(db: Database, view: ChangesView) -> Language:
    """The language of what was signed; the client reads its changes in it."""
    with db.read() as session:
        return language_of(session, view.difference.revision.id)


def _amounts(orders: Iterable[ChangeOrder]) -> list[ChangeAmount]:
    return [
        ChangeAmount(one.number, one.title, one.state, one.price_change, one.days_change) for one in orders
    ]
