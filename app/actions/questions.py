"""Questions and answers between client and office, on the link's own page."""

from datetime import datetime

from app.actions.database import Database
from app.actions.door import open_link
from app.actions.errors import Refused
from app.actions.never_kept import refuse_numbers
from app.actions.records import StaffMember
from app.actions.sheet import found, subject
from app.store import audit, jobs, links, questions
from app.store.questions import Said

__all__ = ["Said"]

LONGEST = 2000
MOST_FROM_A_LINK = 100


def ask(db: Database, cookie: str, name: str, text: str, now: datetime) -> None:
    """Keep a question of the client; Refused when empty or too many, LinkClosed."""
    words = _words(text)
    refuse_numbers(words)
    with db.write() as session:
        opening = open_link(session, cookie, now)
        if questions.count_from(session, opening.link.id) >= MOST_FROM_A_LINK:
            raise Refused("This page has taken as many questions as it can; call or write to the firm.")
        questions.add_question(session, opening.job_id, opening.link.id, name.strip() or "client", words, now)
        links.add_event(session, opening.link.id, "asked", now)
        audit.note(session, now, "client", f"asked: {words[:200]}", subject(opening.job_id))


def answer(db: Database, staff: StaffMember, job_id: int, text: str, now: datetime) -> None:
    """Keep an answer of the office; NotFound, Refused when empty."""
    words = _words(text)
    refuse_numbers(words)
    with db.write() as session:
        found(jobs.find_job(session, job_id), job_id)
        questions.add_question(session, job_id, None, staff.name, words, now)
        audit.note(session, now, staff.name, f"answered: {words[:200]}", subject(job_id))


def said_about(db: Database, job_id: int) -> tuple[Said, ...]:
    """All that was asked and answered about a job, in order."""
    with db.read() as session:
        return questions.list_questions(session, job_id)


def _words(text: str) -> str:
    words = text.strip()
    if not words:
        raise Refused("Write what you want to ask or say.")
    if len(words) > LONGEST:
        raise Refused(f"Write it in at most {LONGEST} characters; this is {len(words)}.")
    return words
