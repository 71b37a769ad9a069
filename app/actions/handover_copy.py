"""Handing over: the handover file frozen as it is given, proved later, and received by the client."""

import hashlib
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any

from app.actions.brake import count_guess, refuse_guessers
from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.day_records import HandoverCopy
from app.actions.errors import NotFound, Refused
from app.actions.handover_file import KIND, handover_inputs, handover_paper
from app.actions.records import StaffMember
from app.actions.sheet import found, subject
from app.actions.takeoff import firm_of
from app.actions.tokens import token_hash
from app.agreement.fingerprint import canonical_json
from app.documents.handover_file import HandoverInputs, handover_pdf
from app.store import audit, handover, jobs, secret_addresses, site
from app.store.check_papers import handover_fingerprint
from app.store.records import Paper

_GUESSES = 30
RECEIPT = "I have received this file. My signature here takes no right away from me."


@dataclass(frozen=True, slots=True)
class ClientsFile:
    """What the client's address shows: the file as it stands, or as it was handed over."""

    firm_name: str
    job_number: str
    job_title: str
    copy: HandoverCopy | None


def hand_over(db: Database, staff: StaffMember, job_id: int, now: datetime) -> int:
    """Freeze the handover file as it stands and give its number; what it lacks is printed on it."""
    inputs = handover_inputs(db, job_id, day_of(now))
    pdf = handover_pdf(inputs)
    document_sha256 = hashlib.sha256(pdf).hexdigest()
    text = canonical_json(plain(inputs))
    mark = handover_fingerprint(text, document_sha256)
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        number = handover.next_number(session, job_id)
        new = HandoverCopy(0, job_id, number, mark, document_sha256, inputs.missing, now, staff.name)
        handover.add_copy(session, new, text, pdf)
        what = f"handed over file {number}, fingerprint {mark[:12]}, lacking {len(inputs.missing)} things"
        audit.note(session, now, staff.name, what, subject(job_id))
    return number


def handover_copies(db: Database, job_id: int) -> tuple[HandoverCopy, ...]:
    """The files handed over for a job, newest first."""
    with db.read() as session:
        return handover.copies(session, job_id)


def copy_paper(db: Database, job_id: int, number: int) -> tuple[str, bytes]:
    """One file exactly as it was handed over; NotFound."""
    with db.read() as session:
        job = found(jobs.find_job(session, job_id), job_id)
        copy = next((one for one in handover.copies(session, job_id) if one.number == number), None)
        pdf = handover.pdf_of(session, copy.id) if copy else None
    if pdf is None:
        raise NotFound("handover file", number)
    return f"{job.number}-handover-{number}.pdf", pdf


def clients_file(db: Database, token: str, now: datetime, address: str = "") -> ClientsFile:
    """What a secret address opens; NotFound, TooOften."""
    job_id = _opened(db, token, now, address)
    with db.read() as session:
        job = found(jobs.find_job(session, job_id), job_id)
        made = handover.copies(session, job_id)
    firm = firm_of(db)
    return ClientsFile(firm.firm.name, job.number, job.title, made[0] if made else None)


def handover_for(db: Database, token: str, now: datetime, address: str = "") -> tuple[str, bytes]:
    """The file behind a secret address: as handed over, else as it stands; NotFound, TooOften."""
    job_id = _opened(db, token, now, address)
    made = handover_copies(db, job_id)
    return copy_paper(db, job_id, made[0].number) if made else handover_paper(db, job_id, day_of(now))


def receive(
    db: Database, token: str, answer: tuple[str, bool, str], where: tuple[str, str], now: datetime
) -> None:
    """Note the client's receipt (name, consent, fingerprint seen) for the newest file, once; Refused."""
    name, has_agreed, seen = answer[0].strip()[:200], answer[1], answer[2]
    job_id = _opened(db, token, now, where[0])
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        made = handover.copies(session, job_id)
        if not made:
            raise Refused("Nothing is handed over yet; ask the firm.")
        if made[0].received_at is not None:
            return
        if not name or not has_agreed:
            raise Refused("Type your full name and tick the box to say that you received the file.")
        if seen != made[0].fingerprint:
            raise Refused("A newer file was handed over since you opened this page; look at it again.")
        handover.add_receipt(session, made[0], name, where, now)
        note = f"{name}, {now:%Y-%m-%d}, file {made[0].number}, fingerprint {made[0].fingerprint[:12]}"
        site.put_paper(session, job_id, Paper("receipt", note, now, f"client: {name}"[:120]))
        what = f"received handover file {made[0].number}, fingerprint {made[0].fingerprint[:12]}"
        audit.note(session, now, f"client: {name}", what, subject(job_id))


def plain(inputs: HandoverInputs) -> dict[str, Any]:
    """Give the inputs as they are frozen: each photo by its words and the SHA-256 of the one on file."""
    values = {field.name: getattr(inputs, field.name) for field in fields(inputs)}
    values["photos"] = tuple((photo.words, photo.sha256) for photo in inputs.photos)
    return values


def _opened(db: Database, token: str, now: datetime, address: str) -> int:
    """Give the job that a secret address opens; wrong guesses are counted."""
    limits = ((f"from {address}", _GUESSES),) if address else ()
    refuse_guessers(db, KIND, limits, now)
    with db.read() as session:
        opened = secret_addresses.opened(session, KIND, token_hash(token))
    if opened is None:
        count_guess(db, KIND, limits, now)
        raise NotFound("handover file", "at this address")
    return int(opened.key)
