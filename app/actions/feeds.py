"""Calendar feeds by secret address: one for each crew, one for each job."""

from datetime import datetime

from app.actions.brake import count_guess, refuse_guessers
from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.plans import dated, held_plan
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from app.actions.tokens import new_token, token_hash
from app.documents.calendar_feed import FeedEvent, calendar_feed
from app.store import audit, jobs, secret_addresses
from app.store import shop as shop_store
from app.store.day_records import SecretAddress

CREW, JOB = "crew feed", "job feed"
_GUESSES = 60


def make_feed(db: Database, staff: StaffMember, kind: str, key: str, now: datetime) -> str:
    """Make the secret address of a feed and give its token, shown this once; an earlier one is withdrawn."""
    token = new_token()
    with db.write() as session:
        crews = {crew.code for crew in shop_store.list_crews(session)}
        is_job = key.isdecimal() and jobs.find_job(session, int(key)) is not None
        if (kind == CREW and key not in crews) or (kind == JOB and not is_job) or kind not in (CREW, JOB):
            raise NotFound(kind, key)
        secret_addresses.add_address(session, kind, key, token_hash(token), staff.name, now)
        audit.note(session, now, staff.name, f"made the {kind} of {key}", f"{kind}:{key}"[:80])
    return token


def revoke_feed(db: Database, staff: StaffMember, kind: str, key: str, now: datetime) -> None:
    """Withdraw the address of a feed."""
    with db.write() as session:
        secret_addresses.revoke(session, kind, key, now)
        audit.note(session, now, staff.name, f"withdrew the {kind} of {key}", f"{kind}:{key}"[:80])


def feeds(db: Database, kind: str) -> dict[str, SecretAddress]:
    """The feeds of a kind that open, by crew or job."""
    with db.read() as session:
        return secret_addresses.live_addresses(session, kind)


def feed(db: Database, token: str, now: datetime, address: str = "") -> bytes:
    """The calendar behind a secret address; NotFound, TooOften."""
    limits = ((f"from {address}", _GUESSES),) if address else ()
    refuse_guessers(db, "feed", limits, now)
    with db.read() as session:
        hashed = token_hash(token)
        opened = secret_addresses.opened(session, CREW, hashed) or secret_addresses.opened(
            session, JOB, hashed
        )
    if opened is None:
        count_guess(db, "feed", limits, now)
        raise NotFound("calendar", "at this address")
    if opened.kind == JOB:
        return _job_feed(db, int(opened.key), now)
    return _crew_feed(db, opened.key, now)


def _job_feed(db: Database, job_id: int, now: datetime) -> bytes:
    worked = dated(db, work_out(db, job_id, now.astimezone().date()))
    sheet = worked.sheet
    events = tuple(
        FeedEvent(
            f"{sheet.number}-{planned.task.code}".replace(" ", "-"),
            f"{sheet.number} {planned.task.name}",
            planned.start_on,
            planned.end_on,
            f"{planned.task.who}. {planned.because}",
            sheet.client.address,
        )
        for planned in worked.answer.days.tasks
    )
    return calendar_feed(f"{sheet.number} {sheet.title}", events, now)


def _crew_feed(db: Database, crew_code: str, now: datetime) -> bytes:
    held = held_plan(db)
    if held is None:
        raise Refused("No plan over all jobs has been accepted yet.")
    with db.read() as session:
        crews = {crew.code: crew.name for crew in shop_store.list_crews(session)}
        numbers = {str(job.job): job for job in held.plan.jobs}
        places = {
            code: stored.client.address
            for code in numbers
            if (stored := jobs.find_job(session, int(code))) is not None
        }
    mine = {code for code, job in numbers.items() if job.crew == crew_code}
    events = tuple(
        FeedEvent(
            f"{numbers[task.job].number}-{task.code}".replace(" ", "-"),
            f"{numbers[task.job].number} {task.name}" + (" (hold point)" if task.is_hold_point else ""),
            task.start_on,
            task.end_on,
            f"{task.who}. {task.because}",
            places.get(task.job, ""),
        )
        for task in held.plan.tasks
        if task.job in mine and task.job in numbers
    )
    return calendar_feed(crews.get(crew_code, crew_code), events, now)
