"""The client's side: open the link, read, sign or decline."""

from datetime import datetime

from app.actions.database import Database
from app.actions.records import OfferView


def exchange(db: Database, token: str, now: datetime, address: str = "") -> str:
    """Trade a link's token for a cookie token; LinkClosed, TooOften."""
    raise NotImplementedError


def offer_for(db: Database, cookie: str, now: datetime) -> OfferView:
    """What the client may see; LinkClosed."""
    raise NotImplementedError


def offer_pdf(db: Database, cookie: str, now: datetime) -> bytes:
    """The PDF as offered; LinkClosed."""
    raise NotImplementedError


def sign(
    db: Database,
    cookie: str,
    name: str,
    consent: bool,
    fingerprint_seen: str,
    now: datetime,
    address: str,
    browser: str,
) -> OfferView:
    """Sign off one fingerprint; signing again changes nothing; Refused, LinkClosed."""
    raise NotImplementedError


def decline(db: Database, cookie: str, reason: str, now: datetime) -> OfferView:
    """Decline the offer with a reason."""
    raise NotImplementedError
