"""Proving what is kept: hashes of the trail, of offers and of signatures, and the file itself."""

import hashlib
import json
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import select
from sqlalchemy.orm import Session, undefer

from app.store import audit
from app.store.check_papers import paper_faults
from app.store.database import Database, Unreachable
from app.store.jobs import text_sha256
from app.store.models import AuditRow, JobRow, RevisionRow
from app.store.offers import combinations_of
from app.store.signed import SEAL_SHOWN, seal_of


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What was looked at, and every fault found, each as a sentence."""

    audit_rows: int
    jobs: int
    revisions: int
    signatures: int
    faults: tuple[str, ...]


def check(db: Database) -> CheckReport:
    """Look at everything that can prove itself; nothing is changed. Unreachable when there is nothing."""
    if db.path is not None and not db.path.is_file():
        raise Unreachable(f"There is no database at {db.path} yet, so there is nothing to check.")
    faults = list(_file_faults(db))
    if any("database file" in fault for fault in faults):
        # What a damaged file still says is no proof of anything.
        return CheckReport(0, 0, 0, 0, tuple(faults))
    with db.read() as session:
        broken = audit.first_broken_link(session)
        if broken is not None:
            faults.append(f"The trail is broken at entry {broken}: it, or one before it, was changed.")
        entries = len(session.scalars(select(AuditRow.id)).all())
        jobs = _job_faults(session, faults)
        revisions, signatures = _revision_faults(session, faults)
        faults += paper_faults(session)
    return CheckReport(entries, jobs, revisions, signatures, tuple(faults))


def _file_faults(db: Database) -> tuple[str, ...]:
    """Ask SQLite whether its file is whole; a database server looks after its own."""
    if db.path is None:
        return ()
    try:
        with closing(sqlite3.connect(f"{db.path.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            found = [str(row[0]) for row in connection.execute("PRAGMA integrity_check")]
            orphans = connection.execute("PRAGMA foreign_key_check").fetchall()
    except sqlite3.DatabaseError as fault:
        return (f"The database file cannot be read: {fault}.",)
    faults = [f"The database file is damaged: {line}." for line in found if line != "ok"]
    return (*faults, *(f"A row of {row[0]} points to a row of {row[2]} that is gone." for row in orphans))


def _job_faults(session: Session, faults: list[str]) -> int:
    """Hold every job file against the hash kept beside it."""
    rows = session.execute(select(JobRow.id, JobRow.document, JobRow.document_sha256)).all()
    for job_id, document, kept in rows:
        if text_sha256(document) != kept:
            faults.append(f"The job file of job {job_id} is not the one that was saved.")
    return len(rows)


def _revision_faults(session: Session, faults: list[str]) -> tuple[int, int]:
    """Hold every offer against its fingerprint, its PDF's hash and its signature."""
    whole = (undefer(RevisionRow.inputs), undefer(RevisionRow.results), undefer(RevisionRow.pdf))
    count = signed = 0
    # One at a time: a firm's PDFs of a year need not fit into memory together.
    for row in session.scalars(select(RevisionRow).options(*whole).execution_options(yield_per=1)):
        count += 1
        name = f"Revision {row.number} of job {row.job_id}"
        frozen = f'{{"inputs":{row.inputs},"results":{row.results}}}'
        if text_sha256(frozen) != row.fingerprint:
            faults.append(f"{name} is not what its fingerprint says.")
        if hashlib.sha256(row.pdf).hexdigest() != row.document_sha256:
            faults.append(f"The PDF of revision {row.number} of job {row.job_id} is not the one offered.")
        if not _agrees(row):
            faults.append(f"{name}: the total or the currency beside it is not that of its results.")
        marks = {"": row.fingerprint}
        for codes, mark, text in combinations_of(session, row.id):
            marks[codes] = mark
            if text_sha256(text) != mark:
                faults.append(f"{name} with the options {codes} is not what its fingerprint says.")
        if row.sign_off is None:
            continue
        signed += 1
        faults += _signature_faults(session, row, name)
        agreed = marks.get(row.sign_off.combination)
        if (row.sign_off.fingerprint, row.sign_off.document_sha256) != (agreed, row.document_sha256):
            faults.append(f"{name} is not the document that was signed.")
    return count, signed


def _agrees(row: RevisionRow) -> bool:
    """Hold what lists and invoices read of an offer against what was frozen with it."""
    estimate = json.loads(row.results).get("estimate")
    # Results of before there were estimates in them say nothing.
    return estimate is None or (Decimal(estimate["total"]), estimate["currency"]) == (row.total, row.currency)


def _signature_faults(session: Session, row: RevisionRow, name: str) -> list[str]:
    """Hold a signature's evidence against the trail, and the firm's own against what was signed."""
    faults = []
    assert row.sign_off is not None
    told = session.scalars(
        select(AuditRow.what).where(AuditRow.subject == f"job:{row.job_id}", AuditRow.what.like("%, seal %"))
    ).all()
    seals = [what.rpartition(", seal ")[2] for what in told if f"signed revision {row.number}" in what]
    # Signatures from before there were seals have none in the trail.
    if seals and seal_of(row.sign_off)[:SEAL_SHOWN] not in seals:
        faults.append(f"{name}: what is kept of the signature is not what was kept when it was given.")
    if row.counter_sign is not None and row.counter_sign.fingerprint != row.sign_off.fingerprint:
        faults.append(f"{name}: the firm signed something else than the client.")
    return faults
