"""A plan is accepted: as proposed, or with something supposed that is expected from then on."""

from dataclasses import replace
from datetime import datetime

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.plans import PlanView, plan_view, suppose
from app.actions.records import StaffMember
from app.schedule.supposed import Supposed
from app.schedule.work_rules import Absence
from app.store import audit, plans
from app.store.sessions import Session

_SUBJECT = "joint plan"


def accept(
    db: Database, staff: StaffMember, seen: str, why: str, now: datetime, view: PlanView | None = None
) -> int:
    """Let the plan with this fingerprint hold; Refused when another one would be proposed by now."""
    today = now.astimezone().date()
    view = view or plan_view(db, today)
    if view.fingerprint != seen:
        raise Refused("Something changed since you looked at this plan; look at it again before accepting.")
    with db.write() as session:
        return _accept(session, staff, view, why, now)


def take_in(
    db: Database, staff: StaffMember, supposed: Supposed, seen: str, why: str, now: datetime
) -> tuple[int, PlanView]:
    """Expect from now on what was supposed, and let the plan that was seen hold; Refused when it changed."""
    view = suppose(db, now.astimezone().date(), (supposed,))
    if view.fingerprint != seen:
        raise Refused("Something changed since you looked at this plan; look at it again before accepting.")
    with db.write() as session:
        rules = plans.work_rules(session)
        if supposed.kind == "away":
            gone = Absence(supposed.on, supposed.on, supposed.crew, reason=why.strip()[:120] or "away")
            new = replace(rules, absences=(*rules.absences, gone))
        else:
            kept = tuple(one for one in rules.expected if not _is_same_goods(one, supposed))
            new = replace(rules, expected=(*kept, supposed))
        plans.put_work_rules(session, new, staff.name, now)
        return _accept(session, staff, view, why, now), view


def forget(db: Database, staff: StaffMember, number: int, now: datetime) -> None:
    """Expect something no more, by its place in the list; nobody's days change until a plan is accepted."""
    with db.write() as session:
        rules = plans.work_rules(session)
        kept = tuple(one for place, one in enumerate(rules.expected) if place != number)
        if kept != rules.expected:
            plans.put_work_rules(session, replace(rules, expected=kept), staff.name, now)
            gone = rules.expected[number]
            audit.note(session, now, staff.name, f"no longer expects {gone.kind} on {gone.on}", _SUBJECT)


def _is_same_goods(one: Supposed, other: Supposed) -> bool:
    """Whether two expectations are of the same goods: the later one counts."""
    return (one.kind, one.job, one.task) == ("goods", other.job, other.task)


def _accept(session: Session, staff: StaffMember, view: PlanView, why: str, now: datetime) -> int:
    held = plans.held_plan(session)
    if (held.id if held else None) != (view.held.id if view.held else None):
        raise Refused("Somebody accepted another plan meanwhile; look at what is different now.")
    plan_id = plans.accept_plan(session, view.proposed, why.strip()[:400], staff.name, now)
    moved = len(view.change.tasks)
    what = f"accepted plan {plan_id}, {moved} tasks on other days" + (f": {why.strip()}" if why else "")
    audit.note(session, now, staff.name, what[:400], _SUBJECT)
    return plan_id
