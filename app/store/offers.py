"""Frozen revisions of offers."""

import json
from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import bindparam, func, select, update
from sqlalchemy.orm import Session, undefer

from app.agreement.records import SignOff
from app.store.models import CombinationRow, LinkRow, RevisionRow, SignOffRow
from app.store.records import Frozen, NewRevision, RevisionCard, RevisionState
from app.store.signed import cancellation_of, counter_sign_of

# Made once: every sheet of a job shows its revisions.
_OF_JOB = (
    select(RevisionRow).where(RevisionRow.job_id == bindparam("job")).order_by(RevisionRow.number.desc())
)


def next_number(session: Session, job_id: int) -> int:
    """Give the number of a job's next revision."""
    return (session.scalar(select(func.max(RevisionRow.number)).where(RevisionRow.job_id == job_id)) or 0) + 1


def add_revision(session: Session, job_id: int, number: int, who: str, new: NewRevision) -> int:
    """Freeze a revision and give its id."""
    row = RevisionRow(
        job_id=job_id,
        number=number,
        offered_at=new.offered_at,
        offered_on=new.offered_on,
        valid_until_on=new.valid_until_on,
        offered_by=who,
        total=new.total,
        currency=new.currency,
        fingerprint=new.fingerprint,
        inputs=new.inputs,
        results=new.results,
        pdf=new.pdf,
        document_sha256=new.document_sha256,
        declined_at=None,
        decline_reason="",
    )
    session.add(row)
    session.flush()
    session.add_all(
        CombinationRow(revision_id=row.id, codes=one.codes, fingerprint=one.fingerprint, results=one.text)
        for one in new.combinations
    )
    session.flush()
    return row.id


def list_revisions(session: Session, job_id: int, today: date) -> tuple[RevisionCard, ...]:
    """Give all revisions of a job, newest first."""
    rows = session.scalars(_OF_JOB, {"job": job_id}).all()
    return tuple(_card(row, rows[0].number, today) for row in rows)


def find_revision(session: Session, revision_id: int, today: date) -> RevisionCard | None:
    """Give one revision, or None."""
    row = session.get(RevisionRow, revision_id)
    return _card(row, next_number(session, row.job_id) - 1, today) if row else None


def pdf_of(session: Session, revision_id: int) -> bytes | None:
    """Give the PDF exactly as it was offered, or None."""
    return session.scalar(select(RevisionRow.pdf).where(RevisionRow.id == revision_id))


def frozen_with(session: Session, revision_id: int, codes: str | None = None) -> Frozen | None:
    """Give the inputs and results that were frozen with a revision, or None.

    Without `codes` those of the options that were signed, if any were; else of the combination asked for.
    """
    query = select(RevisionRow).where(RevisionRow.id == revision_id)
    row = session.scalar(query.options(undefer(RevisionRow.inputs), undefer(RevisionRow.results)))
    if row is None:
        return None
    wanted = codes if codes is not None else (row.sign_off.combination if row.sign_off else "")
    if not wanted:
        return Frozen(row.inputs, row.results, row.fingerprint)
    chosen = select(CombinationRow).where(
        CombinationRow.revision_id == revision_id, CombinationRow.codes == wanted
    )
    found = session.scalar(chosen)
    if found is None:
        return None
    whole = json.loads(found.results)
    return Frozen(_again(whole["inputs"]), _again(whole["results"]), found.fingerprint)


def combinations_of(session: Session, revision_id: int) -> tuple[tuple[str, str, str], ...]:
    """Give codes, fingerprint and frozen text of every combination of a revision."""
    query = (
        select(CombinationRow).where(CombinationRow.revision_id == revision_id).order_by(CombinationRow.id)
    )
    return tuple((row.codes, row.fingerprint, row.results) for row in session.scalars(query))


def _again(part: object) -> str:
    """Write a part of canonical JSON as it was."""
    return json.dumps(part, sort_keys=True, separators=(",", ":"), ensure_ascii=True)


def decline(session: Session, revision_id: int, reason: str, now: datetime) -> None:
    """Note that the client declined, in the two columns kept for it; the frozen ones stay out of reach."""
    session.execute(
        update(RevisionRow)
        .where(RevisionRow.id == revision_id)
        .values(declined_at=now, decline_reason=reason)
    )
    session.expire_all()


def add_sign_off(
    session: Session, revision_id: int, link_id: int, fingerprint: str, sign_off: SignOff
) -> None:
    """Bind a consent to one revision and its options; a second one breaks the table's rule."""
    session.add(
        SignOffRow(
            revision_id=revision_id,
            link_id=link_id,
            name=sign_off.name,
            consent=sign_off.consent,
            fingerprint=fingerprint,
            document_sha256=sign_off.document_sha256,
            signed_at=sign_off.signed_at,
            address=sign_off.address[:80],
            browser=sign_off.browser[:400],
            combination="+".join(sign_off.options),
            evidence=sign_off.evidence,
        )
    )
    session.flush()
    session.expire_all()


def lock_revision(session: Session, revision_id: int) -> None:
    """Hold a revision until the end of the transaction, so that it is signed once."""
    session.execute(select(RevisionRow.id).where(RevisionRow.id == revision_id).with_for_update())
    # What was read before the lock may be old by now.
    session.expire_all()


def link_of_signature(session: Session, revision_id: int) -> int | None:
    """Give the link through which a revision was signed; None when it was not."""
    return session.scalar(select(SignOffRow.link_id).where(SignOffRow.revision_id == revision_id))


def links_opened(session: Session, job_id: int) -> int:
    """Give how often the links of a job were opened."""
    query = select(func.sum(LinkRow.opened)).join(RevisionRow).where(RevisionRow.job_id == job_id)
    return session.scalar(query) or 0


def _card(row: RevisionRow, newest: int, today: date) -> RevisionCard:
    signed = _signed(row)
    return RevisionCard(
        id=row.id,
        job_id=row.job_id,
        number=row.number,
        offered_on=row.offered_on,
        valid_until_on=row.valid_until_on,
        total=_total(row),
        currency=row.currency,
        fingerprint=row.fingerprint,
        document_sha256=row.document_sha256,
        state=_state(row, newest, today),
        sign_off=None if row.cancellation else signed,
        declined_at=row.declined_at,
        decline_reason=row.decline_reason,
        counter_sign=counter_sign_of(row.counter_sign),
        cancelled=cancellation_of(row.cancellation),
        was_signed=signed,
    )


def _signed(row: RevisionRow) -> SignOff | None:
    signed = row.sign_off
    if signed is None:
        return None
    return SignOff(
        signed.name,
        signed.consent,
        signed.signed_at,
        signed.address,
        signed.browser,
        signed.document_sha256,
        tuple(filter(None, signed.combination.split("+"))),
        signed.fingerprint,
        signed.evidence,
    )


def _total(row: RevisionRow) -> Decimal:
    """Give what was signed, options in; before that, what was offered without any."""
    if row.sign_off is None or not row.sign_off.combination:
        return row.total
    return Decimal(json.loads(row.sign_off.evidence)["total"])


def _state(row: RevisionRow, newest: int, today: date) -> RevisionState:
    if row.cancellation is not None:
        return "cancelled"
    if row.sign_off is not None:
        return "signed"
    if row.declined_at is not None:
        return "declined"
    if row.number < newest:
        return "superseded"
    return "run out" if today > row.valid_until_on else "live"
