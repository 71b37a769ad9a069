"""The brake on guessing, kept in the database so that all server processes share it."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from app.actions.database import Database
from app.actions.errors import TooOften
from app.store import people

WINDOW = timedelta(minutes=15)

Limit = tuple[str, int]


def refuse_guessers(db: Database, kind: str, limits: Iterable[Limit], now: datetime) -> None:
    """Raise TooOften when any sender has used up its wrong guesses."""
    with db.read() as session:
        for sender, most in limits:
            count, first = people.guesses(session, kind, sender, now, WINDOW)
            if count >= most and first is not None:
                raise TooOften(int((first + WINDOW - now).total_seconds()) + 1)


def count_guess(db: Database, kind: str, limits: Iterable[Limit], now: datetime) -> None:
    """Count one wrong guess against each sender."""
    with db.write() as session:
        people.forget_old_guesses(session, now - WINDOW)
        for sender, _ in limits:
            people.add_guess(session, kind, sender, now)
