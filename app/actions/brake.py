"""The brake on guessing, kept in the database so that all server processes share it."""

import logging
from collections.abc import Sequence
from datetime import datetime, timedelta

from app.actions.database import Database
from app.actions.errors import TooOften
from app.store import people

WINDOW = timedelta(minutes=15)

Limit = tuple[str, int]
log = logging.getLogger("upstand.guesses")


def refuse_guessers(db: Database, kind: str, limits: Sequence[Limit], now: datetime) -> None:
    """Raise TooOften when any sender has used up its wrong guesses."""
    with db.read() as session:
        for sender, most in limits:
            count, first = people.guesses(session, kind, sender, now, WINDOW)
            if count >= most and first is not None:
                log.warning("refused: too many wrong guesses, %s%s", kind, _where(limits))
                raise TooOften(int((first + WINDOW - now).total_seconds()) + 1)


def count_guess(db: Database, kind: str, limits: Sequence[Limit], now: datetime) -> None:
    """Count one wrong guess against each sender, and leave a line for whoever watches."""
    log.warning("wrong guess, %s%s", kind, _where(limits))
    with db.write() as session:
        people.forget_old_guesses(session, now - WINDOW)
        for sender, _ in limits:
            people.add_guess(session, kind, sender, now)


def _where(limits: Sequence[Limit]) -> str:
    """Give the address a guess came from; never the name or what was guessed."""
    return "".join(f", {sender}" for sender, _ in limits if sender.startswith("from "))
