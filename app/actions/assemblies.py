"""Assemblies: versions, where they are used, what a change would do to a job, and rates learned from logs."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.jobs import list_jobs
from app.actions.log import hours
from app.actions.price import save_assembly
from app.actions.records import StaffMember, WorkedOut
from app.actions.sheet import job_sheet
from app.actions.takeoff import shop_of, work_out, work_out_sheet
from app.build.learning import DoneJob, LearnedRate, learned_rates
from app.job.errors import InputErrors
from app.pricing.records import Assembly, EstimateLine
from app.store import audit, prices
from app.store.records import AssemblyVersion

__all__ = ["AssemblyVersion", "LearnedRate"]

_AT_WORK = ("surveyed", "priced", "offered", "signed", "on the roof")
_MOST_JOBS = 20


@dataclass(frozen=True, slots=True)
class UsedIn:
    """One job that an assembly brings lines to."""

    job_id: int
    number: str
    title: str
    lines: int
    cost: Decimal
    currency: str


@dataclass(frozen=True, slots=True)
class LineMove:
    """One line before and after; None where it is not there."""

    id: str
    text: str
    before: Decimal | None
    after: Decimal | None


@dataclass(frozen=True, slots=True)
class TryOut:
    """What an assembly not saved yet would do to one job."""

    job_id: int
    number: str
    title: str
    currency: str
    before: Decimal
    after: Decimal
    moves: tuple[LineMove, ...]
    findings: tuple[str, ...]


def assembly(db: Database, code: str) -> Assembly:
    """The newest version of one assembly; NotFound."""
    with db.read() as session:
        found = next((one for one in prices.list_assemblies(session) if one.code == code), None)
    if found is None:
        raise NotFound("assembly", code)
    return found


def assembly_versions(db: Database, code: str) -> tuple[AssemblyVersion, ...]:
    """Every version of one assembly, newest first."""
    with db.read() as session:
        return prices.list_versions(session, code)


def save_new_version(db: Database, staff: StaffMember, version: int, changed: Assembly, now: datetime) -> int:
    """Save what was changed from a version, 0 for a new one; Refused when that is not the newest."""
    versions = assembly_versions(db, changed.code)
    newest = versions[0].version if versions else 0
    if version != newest:
        if not version:
            raise Refused(f"There is an assembly {changed.code} already; give the copy a code of its own.")
        raise Refused(
            f"Version {newest} was saved while you worked on {version}. Open it and change that one."
        )
    return save_assembly(db, staff, changed, now)


def item_used_in(db: Database, item: str, today: date) -> tuple[UsedIn, ...]:
    """The jobs at work that buy an item."""
    return _used(db, today, lambda line: line.item == item)


def where_used(db: Database, code: str, today: date) -> tuple[UsedIn, ...]:
    """The jobs at work that an assembly brings lines to."""
    return _used(db, today, lambda line: line.assembly == code)


def _used(db: Database, today: date, is_one: Callable[[EstimateLine], bool]) -> tuple[UsedIn, ...]:
    """Give the jobs at work that have such lines, and what these cost."""
    found = []
    for worked in _jobs_at_work(db, today):
        lines = [line for line in worked.answer.estimate.lines if is_one(line)]
        if lines:
            sheet = worked.sheet
            cost = sum((line.cost for line in lines), Decimal(0))
            currency = worked.answer.estimate.currency
            found.append(UsedIn(sheet.id, sheet.number, sheet.title, len(lines), cost, currency))
    return tuple(found)


def try_on(db: Database, changed: Assembly, job_id: int, today: date) -> TryOut:
    """What an assembly not saved yet would do to one job; nothing is written."""
    sheet = job_sheet(db, job_id)
    book, firm = shop_of(db, today)
    before = work_out_sheet(sheet, book, firm, today)
    known = [one.code for one in book.assemblies]
    assemblies = (
        tuple(changed if one.code == changed.code else one for one in book.assemblies)
        if changed.code in known
        else (*book.assemblies, changed)
    )
    after = work_out_sheet(sheet, replace(book, assemblies=assemblies), firm, today)
    old, new = before.answer.estimate, after.answer.estimate
    return TryOut(
        job_id=sheet.id,
        number=sheet.number,
        title=sheet.title,
        currency=new.currency,
        before=old.total,
        after=new.total,
        moves=_moves(old.lines, new.lines),
        findings=tuple(f"{f.grade}: {f.text}" for f in new.findings if f not in old.findings),
    )


def rates_learned(db: Database, today: date) -> tuple[LearnedRate, ...]:
    """Rates that jobs handed over speak for, from the hours in their logs; none that was left as it is,
    until another job speaks.
    """
    done: list[DoneJob] = []
    for card in list_jobs(db):
        if card.state == "handed over" and len(done) < _MOST_JOBS:
            worked = work_out(db, card.id, today)
            done.append(DoneJob(card.number, worked.answer.estimate, hours(db, card.id, today)))
    with db.read() as session:
        kept = prices.list_assemblies(session)
        declined = prices.declined_rates(session)
    found = learned_rates(kept, done)
    return tuple(one for one in found if one.jobs > declined.get((one.assembly, one.part), 0))


def take_over_rate(
    db: Database, staff: StaffMember, code: str, part: int, today: date, now: datetime
) -> Decimal:
    """Take a learned rate over as the next version of its assembly and give it; NotFound."""
    rate = _learned(db, code, part, today)
    old = assembly(db, code)
    parts = tuple(
        replace(one, rate=rate.proposed, people=Decimal(0), output=Decimal(0)) if number == part else one
        for number, one in enumerate(old.parts, start=1)
    )
    save_assembly(db, staff, replace(old, parts=parts), now)
    return rate.proposed


def leave_rate(
    db: Database, staff: StaffMember, code: str, part: int, today: date, now: datetime
) -> LearnedRate:
    """Leave a rate as it is although the logs speak for another, and give that one; NotFound."""
    rate = _learned(db, code, part, today)
    with db.write() as session:
        prices.decline_rate(session, code, part, rate.proposed, rate.jobs, staff.name, now)
        what = f"left {rate.text} at {rate.rate} h; {rate.proposed} h was proposed, from jobs: {rate.jobs}"
        audit.note(session, now, staff.name, what, f"assembly:{code}")
    return rate


def _learned(db: Database, code: str, part: int, today: date) -> LearnedRate:
    rate = next((one for one in rates_learned(db, today) if (one.assembly, one.part) == (code, part)), None)
    if rate is None:
        raise NotFound("learned rate", f"{code}/{part}")
    return rate


def _jobs_at_work(db: Database, today: date) -> list[WorkedOut]:
    """Give the jobs at work that can be worked out, newest first."""
    found: list[WorkedOut] = []
    for card in list_jobs(db):
        if card.state in _AT_WORK and len(found) < _MOST_JOBS:
            try:
                found.append(work_out(db, card.id, today))
            except InputErrors:  # a job that cannot be read uses nothing
                continue
    return found


def _moves(old: tuple[EstimateLine, ...], new: tuple[EstimateLine, ...]) -> tuple[LineMove, ...]:
    """Give the lines that differ, in the order of the new estimate, those that go last."""
    before = {line.id: line for line in old}
    after = {line.id: line for line in new}
    found = []
    for line_id in [*after, *(line_id for line_id in before if line_id not in after)]:
        was, now = before.get(line_id), after.get(line_id)
        if was is None or now is None or was.cost != now.cost or was.text != now.text:
            text = (now or was).text  # type: ignore[union-attr]
            found.append(LineMove(line_id, text, was.cost if was else None, now.cost if now else None))
    return tuple(found)
