"""A one-time code by mail before the signature, wherever the firm's mail is set up."""

import secrets
from datetime import datetime, timedelta

from app.actions.database import Database
from app.actions.door import open_link
from app.actions.errors import Refused
from app.actions.frozen import read_inputs
from app.actions.mail import Letter, mail_server, send
from app.actions.tokens import token_hash
from app.store import links, offers

HOLDS = timedelta(minutes=10)  # OWASP ASVS 5.0.0, 6.5.5
MOST_TRIES = 5
WAIT = timedelta(seconds=30)


def needs_code(db: Database) -> bool:
    """Tell whether a code comes before the signature: wherever mail is set up."""
    return mail_server(db) is not None


def send_code(db: Database, cookie: str, now: datetime) -> None:
    """Send a code of six figures to the client's address; LinkClosed, Refused."""
    with db.read() as session:
        opening = open_link(session, cookie, now)
        frozen = offers.frozen_with(session, opening.link.revision_id, "")
        assert frozen is not None
        inputs = read_inputs(frozen.inputs)
        sent_at = links.code_sent_at(session, opening)
    if sent_at is not None and now - sent_at < WAIT:
        raise Refused("A code was sent just now; wait half a minute before asking for another.")
    if not inputs.client.email:
        raise Refused("The firm has no e-mail address of yours; ask it to add one.")
    code = f"{secrets.randbelow(1_000_000):06d}"
    with db.write() as session:
        opening = open_link(session, cookie, now)
        links.add_code(session, opening, _hash(opening.visit_id, code), inputs.client.email, now)
        links.add_event(session, opening.link.id, "code sent by mail", now)
    minutes = int(HOLDS.total_seconds() // 60)
    text = (
        f"Your code to sign the proposal {inputs.job_number} of {inputs.firm.name} is\n\n    {code}\n\n"
        f"It holds for {minutes} minutes. Nobody of the firm will ever ask you for it.\n"
    )
    send(db, Letter(inputs.client.email, f"Your code: {inputs.job_number}", text, opening.job_id), now)


def give_code(db: Database, cookie: str, code: str, now: datetime) -> None:
    """Hold a typed code against the one that was sent; LinkClosed, Refused."""
    figures = "".join(letter for letter in code if letter.isdecimal())
    with db.write() as session:
        opening = open_link(session, cookie, now)
        is_right = links.try_code(
            session, opening, _hash(opening.visit_id, figures), now, now - HOLDS, MOST_TRIES
        )
    if not is_right:
        raise Refused(
            "That is not the code, or it has run out. Have a new one sent and enter its six figures."
        )


def _hash(visit_id: int, code: str) -> str:
    """Bind a code to the browser it is for; six figures are few, so tries are counted too."""
    return token_hash(f"{visit_id}:{code}")
