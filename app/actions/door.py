"""What a client's link or cookie opens, or why it does not."""

from datetime import datetime

from app.actions.errors import LinkClosed
from app.actions.frozen import read_inputs
from app.actions.tokens import token_hash
from app.agreement.terms import Language
from app.store import links, offers
from app.store.links import Opening
from app.store.sessions import Session


def open_link(session: Session, cookie: str, now: datetime) -> Opening:
    """Give what a browser's cookie opens; LinkClosed."""
    return open_or_closed(session, links.opened_by_cookie(session, token_hash(cookie), now))


def open_or_closed(session: Session, opening: Opening | None) -> Opening:
    """Give an opening that is live; LinkClosed."""
    if opening is None:
        raise LinkClosed("unknown")
    if opening.link.state != "live":
        raise LinkClosed(opening.link.state, language_of(session, opening.link.revision_id))
    return opening


def language_of(session: Session, revision_id: int) -> Language:
    """Give the language in which a revision was offered."""
    frozen = offers.frozen_with(session, revision_id)
    return read_inputs(frozen.inputs).terms.language if frozen else "en"
