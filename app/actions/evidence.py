"""What is kept with a signature beside name, time and fingerprint, so that it can be shown later."""

import json
import re
from datetime import datetime
from decimal import Decimal

from app.actions.frozen import FrozenInputs
from app.actions.records import RevisionCard
from app.actions.sheet import subject
from app.store import audit, links
from app.store.links import Opening
from app.store.sessions import Session

# Strokes of a finger or pen as SVG path data, in a box of 600 by 200.
_STROKES = re.compile(r"(?:[ML]-?\d{1,4}(?:\.\d)?,-?\d{1,4}(?:\.\d)?){2,4000}")
ACT = "Accepts the proposal, revision {number}, for {total} {currency}, with fingerprint {mark}."


def evidence_of(
    session: Session,
    opening: Opening,
    card: RevisionCard,
    inputs: FrozenInputs,
    total: Decimal,
    fingerprint: str,
    drawn: str,
    now: datetime,
) -> str:
    """Give the evidence of one signature as JSON: presentation, consent, intent, attribution, integrity."""
    visit = links.visit_of(session, opening)
    return json.dumps(
        {
            "act": ACT.format(number=card.number, total=total, currency=card.currency, mark=fingerprint),
            "total": str(total),
            "currency": card.currency,
            "options": list(inputs.ticked),
            "document_sha256": card.document_sha256,
            "program": inputs.package_version,
            "wording": [[text.code, text.source] for text in inputs.wording],
            "withdrawal": inputs.withdrawal,
            "withdrawal_source": inputs.clock.source if inputs.clock else "",
            "unsaid": [list(point) for point in inputs.unsaid],
            "language": inputs.terms.language,
            "link": opening.link.id,
            "link_made_at": _instant(opening.link.made_at),
            "events": [[_instant(at), what] for at, what in links.events(session, opening.link.id)],
            "records_consent_at": _instant(visit.records_consent_at),
            "records_consent_words": _records_words(inputs),
            "code_given_at": _instant(visit.code_given_at),
            "code_sent_to": visit.code_sent_to,
            "drawn": strokes(drawn),
            "signed_at": _instant(now),
            "time_zone": inputs.time_zone or "server",
            "trail": audit.last_of(session, subject(card.job_id)),
        },
        ensure_ascii=False,
        sort_keys=True,
    )


def strokes(drawn: str) -> str:
    """Give a drawn signature as path data; empty when there is none or it is something else."""
    text = drawn.strip().replace(" ", "")
    return text if _STROKES.fullmatch(text) else ""


def _records_words(inputs: FrozenInputs) -> str:
    return next((text.text for text in inputs.wording if text.code == "records"), "")


def _instant(at: datetime | None) -> str:
    return "" if at is None else at.isoformat(timespec="seconds")
