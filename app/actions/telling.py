"""Once a plan is accepted, those whose days it changed are told by the firm's own mail."""

from collections.abc import Iterable
from datetime import date, datetime

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.mail import Letter, mail_server, send
from app.actions.plans import PlanView
from app.schedule.comparing import MovedTask, change_between
from app.store import plans
from app.store import shop as shop_store


def can_tell(db: Database) -> bool:
    """Whether there is a mail server and somebody to tell."""
    with db.read() as session:
        return bool(plans.work_rules(session).tell) and mail_server(db) is not None


def tell_of_change(
    db: Database, view: PlanView, plan_id: int, why: str, now: datetime
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Send each crew and outsider with an address its changed days; gives who was told and what failed."""
    told, faults = [], []
    for who, address, text in changed_days(db, view, why):
        letter = Letter(address, f"Changed days (plan {plan_id})", text)
        try:
            send(db, letter, now)
            told.append(who)
        except Refused as refusal:
            faults.append(f"The plan holds, but {who} could not be told: {refusal.reason}")
    return tuple(told), tuple(faults)


def changed_days(db: Database, view: PlanView, why: str) -> tuple[tuple[str, str, str], ...]:
    """Who has an address and other days than before: name, address, and what to tell."""
    with db.read() as session:
        tell = plans.work_rules(session).tell
        names = {crew.code: crew.name for crew in shop_store.list_crews(session)}
    change = change_between(view.held.plan, view.proposed) if view.held else view.change
    doing = {(task.job, task.code): task.who for task in view.proposed.tasks}
    if view.held is not None:
        doing = {(task.job, task.code): task.who for task in view.held.plan.tasks} | doing
    numbers = {job.job: f"{job.number} {job.title}" for job in view.proposed.jobs}
    found = []
    for who, address in tell:
        mine = [moved for moved in change.tasks if doing.get((moved.job, moved.code)) == who]
        if mine:
            name = names.get(who, who)
            found.append((name, address, _letter(name, mine, numbers, why)))
    return tuple(found)


def _letter(name: str, moved: Iterable[MovedTask], numbers: dict[str, str], why: str) -> str:
    lines = [f"For {name}: these days have changed.", ""]
    if why.strip():
        lines += [f"Why: {why.strip()}", ""]
    for one in sorted(moved, key=lambda one: (one.now_on or date.max, one.job)):
        lines.append(f"{numbers.get(one.job, one.job)}: {one.name}")
        lines.append(f"  {_span(one.now_on, one.now_end_on)}, before: {_span(one.then_on, one.then_end_on)}")
    return "\n".join([*lines, "", "Days not named here stay as they were."])


def _span(first: date | None, last: date | None) -> str:
    """Write the days of a task."""
    if first is None or last is None:
        return "not planned"
    if first == last:
        return f"{first:%a} {first.isoformat()}"
    return f"{first:%a} {first.isoformat()} to {last:%a} {last.isoformat()}"
