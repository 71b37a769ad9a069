"""Passwords: what is refused, and how one becomes a hash."""

import re
from datetime import timedelta
from functools import cache
from itertools import pairwise

from pwdlib import PasswordHash
from zxcvbn import zxcvbn

from app.actions.errors import Refused
from app.actions.tokens import new_token

LEAST_LENGTH = 12
MOST_LENGTH = 200
FIRST_HOLDS = timedelta(days=7)  # how long a first password, known to two people, opens the door
# How many guesses a password must stand, by an estimate that knows the 30,000 commonest of those that were
# breached, names, dates, keyboards and swaps. Common practice: the estimate's own highest class begins here.
LEAST_GUESSES_LOG10 = 10.0
# What an outsider would try with a firm like this.
_OUR_WORDS = ("upstand", "rooftop", "deck", "carpenter")


def checked_hash(name: str, email: str, password: str) -> str:
    """Give the hash of a new password; Refused when it is short, long or easy to guess."""
    if not LEAST_LENGTH <= len(password) <= MOST_LENGTH:
        raise Refused(f"A password has {LEAST_LENGTH} to {MOST_LENGTH} characters; this one {len(password)}.")
    account = email.strip().lower()
    known = [account, *re.split(r"[@.]", account), *name.strip().lower().split(), *_OUR_WORDS]
    found = zxcvbn(password, [word for word in known if len(word) > 2], max_length=MOST_LENGTH)
    if found["guesses_log10"] < LEAST_GUESSES_LOG10 or _is_a_row(password):
        raise Refused("That password is easy to guess. Four unrelated words would do.")
    return hasher().hash(password)


def _is_a_row(password: str) -> bool:
    """Tell whether a password is one step repeated: 123456789012, abcdefghijkl, aaaaaaaaaaaa."""
    steps = {(ord(after) - ord(before)) % 10 for before, after in pairwise(password)}
    return len(steps) == 1


@cache
def hasher() -> PasswordHash:
    """Argon2id with 64 MiB, three passes: above OWASP ASVS 5.0.0, appendix C (46 MiB, one pass)."""
    return PasswordHash.recommended()


@cache
def nobodys_hash() -> str:
    """Give a hash that no password has, so that an unknown address takes as long as a known one."""
    return hasher().hash(new_token())
