"""What a client's link or cookie opens, or why it does not."""

from datetime import datetime

from app.actions.errors import LinkClosed
from app.actions.tokens import token_hash
from app.store import links
from app.store.links import Opening
from app.store.sessions import Session


def open_link(session: Session, cookie: str, now: datetime) -> Opening:
    """Give what a browser's cookie opens; LinkClosed."""
    return open_or_closed(links.opened_by_cookie(session, token_hash(cookie), now))


def open_or_closed(opening: Opening | None) -> Opening:
    """Give an opening that is live; LinkClosed."""
    if opening is None:
        raise LinkClosed("unknown")
    if opening.link.state != "live":
        raise LinkClosed(opening.link.state)
    return opening
