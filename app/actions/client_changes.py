"""Changes as the client sees and answers them, on the link by which it signed."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from app.actions.change_orders import change_order_paper, since
from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.door import language_of, open_link
from app.actions.errors import NotFound, Refused
from app.actions.sheet import found, subject
from app.actions.takeoff import firm_of
from app.agreement.records import Party
from app.agreement.terms import Language
from app.documents.change_order import CONSENT
from app.documents.words import words_of
from app.store import audit, change_orders, jobs, links, offers


@dataclass(frozen=True, slots=True)
class ClientChange:
    """One change order as the client sees it: no cost, wage or hour."""

    id: int
    number: int
    title: str
    reason: str
    state: str
    price_change: Decimal
    days_change: int
    sum_before: Decimal
    sum_after: Decimal
    currency: str
    fingerprint: str
    settled_at: datetime | None
    settled_name: str


@dataclass(frozen=True, slots=True)
class ClientChanges:
    """What a client's link shows of the changes of a job."""

    firm: Party
    job_number: str
    job_title: str
    consent: str
    changes: tuple[ClientChange, ...]
    language: Language


def changes_for(db: Database, cookie: str, now: datetime) -> ClientChanges:
    """What the client's link shows of changes; LinkClosed."""
    with db.read() as session:
        opening = open_link(session, cookie, now)
        orders = change_orders.change_orders(session, opening.job_id)
        job = found(jobs.find_job(session, opening.job_id), opening.job_id)
        cards = offers.list_revisions(session, opening.job_id, day_of(now))
        language = language_of(session, opening.link.revision_id)
    firm = firm_of(db)
    signed = next((card for card in cards if card.sign_off), None)
    shown: list[ClientChange] = []
    if signed is not None:
        running = signed.total
        for one in since(orders, signed.number):
            if one.state not in ("offered", "signed", "declined"):
                continue
            after = running + one.price_change
            shown.append(
                ClientChange(
                    one.id,
                    one.number,
                    one.title,
                    one.reason,
                    one.state,
                    one.price_change,
                    one.days_change,
                    running,
                    after,
                    one.currency,
                    one.fingerprint,
                    one.settled_at,
                    one.settled_name,
                )
            )
            if one.state == "signed":
                running = after
    consent = words_of(language)(CONSENT)
    return ClientChanges(firm.firm, job.number, job.title, consent, tuple(shown), language)


def client_paper(db: Database, cookie: str, change_id: int, now: datetime) -> tuple[str, bytes]:
    """The document of a change order of the client's own job; LinkClosed, NotFound."""
    if change_id not in {one.id for one in changes_for(db, cookie, now).changes}:
        raise NotFound("change order", change_id)
    return change_order_paper(db, change_id)


def answer_change(
    db: Database,
    cookie: str,
    change_id: int,
    answer: tuple[bool, str, bool, str],
    now: datetime,
    where: tuple[str, str],
) -> None:
    """Sign or decline a change order (yes or no, name, consent, fingerprint seen), once."""
    is_yes, name, has_consented, seen = answer
    with db.write() as session:
        opening = open_link(session, cookie, now)
        order = change_orders.find(session, change_id, for_change=True)
        if order is None or order.job_id != opening.job_id:
            raise NotFound("change order", change_id)
        if order.state in ("signed", "declined"):
            return
        if order.state != "offered":
            raise Refused("This change order was taken back; ask the firm.")
        if is_yes and (not name.strip() or not has_consented):
            raise Refused("Type your full name and tick the box to say that you agree.")
        if seen != order.fingerprint:
            raise Refused("This is not the change order that you were shown; read it again.")
        evidence: dict[str, Any] = {
            "link": opening.link.id,
            "address": where[0][:80],
            "browser": where[1][:400],
            "fingerprint": order.fingerprint,
            "consent": words_of(language_of(session, opening.link.revision_id))(CONSENT) if is_yes else "",
        }
        state = "signed" if is_yes else "declined"
        who = name.strip()[:200]
        change_orders.settle(session, change_id, "signed" if is_yes else "declined", who, evidence, now)
        links.add_event(session, opening.link.id, f"change {order.number} {state}"[:40], now)
        what = f"{state} change order {order.number}, fingerprint {order.fingerprint[:12]}"
        audit.note(session, now, f"client: {who}" if who else "client", what, subject(order.job_id))
