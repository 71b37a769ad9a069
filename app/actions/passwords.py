"""Passwords: what is refused, and how one becomes a hash."""

from functools import cache
from itertools import pairwise

from pwdlib import PasswordHash

from app.actions.errors import Refused
from app.actions.tokens import new_token

LEAST_LENGTH = 12
MOST_LENGTH = 200
# The roots of what people choose first. From memory: OWASP ASVS 5.0.0 6.2.4 asks for a list of the 3000
# commonest of a length that is allowed; few of those have twelve characters, and these roots carry them.
_COMMON = frozenset(
    [
        "password",
        "passwort",
        "passw0rd",
        "letmein",
        "welcome",
        "qwerty",
        "qwertyuiop",
        "asdfgh",
        "asdfghjkl",
        "zxcvbn",
        "zxcvbnm",
        "qazwsx",
        "1qaz2wsx",
        "iloveyou",
        "monkey",
        "dragon",
        "football",
        "baseball",
        "basketball",
        "superman",
        "batman",
        "sunshine",
        "princess",
        "master",
        "shadow",
        "michael",
        "jennifer",
        "jordan",
        "hunter",
        "trustno",
        "admin",
        "administrator",
        "login",
        "secret",
        "changeme",
        "default",
        "guest",
        "summer",
        "winter",
        "spring",
        "autumn",
        "charlie",
        "freedom",
        "whatever",
        "starwars",
        "computer",
        "internet",
        "samsung",
        "google",
        "abc",
        "abcd",
        "abcdef",
        "abcdefgh",
        "abc123",
        "123abc",
        "test",
        "testing",
        "hello",
        "world",
        "correcthorsebatterystaple",
        "access",
        "flower",
        "cheese",
        "killer",
        "pepper",
        "ginger",
        "buster",
        "soccer",
        "hockey",
        "harley",
        "ranger",
        "thomas",
        "robert",
        "daniel",
        "andrew",
        "joshua",
        "matthew",
        "ashley",
        "jessica",
        "amanda",
        "nicole",
        "chelsea",
        "january",
        "february",
        "october",
        "november",
        "december",
        "monday",
        "friday",
        "sunday",
        "upstand",
        "rooftop",
        "deck",
        "carpenter",
    ]
)
_SWAPS = str.maketrans(
    {"0": "o", "1": "l", "3": "e", "4": "a", "5": "s", "7": "t", "@": "a", "$": "s", "!": ""}
)


def checked_hash(name: str, email: str, password: str) -> str:
    """Give the hash of a new password; Refused when it is short, long or easy to guess."""
    if not LEAST_LENGTH <= len(password) <= MOST_LENGTH:
        raise Refused(f"A password has {LEAST_LENGTH} to {MOST_LENGTH} characters; this one {len(password)}.")
    account = email.strip().lower()
    known = {account, account.partition("@")[0], name.strip().lower()}
    if _is_easy(password, known):
        raise Refused("That password is easy to guess. Four unrelated words would do.")
    return hasher().hash(password)


def _is_easy(password: str, known: set[str]) -> bool:
    """Tell whether little is left of a password once its common words and the owner's names are taken out."""
    for text in (password.lower(), password.lower().translate(_SWAPS)):
        left = text
        for word in sorted(known | _COMMON, key=len, reverse=True):
            left = left.replace(word, "") if len(word) > 2 else left
        if len(set(left)) < 6 and (len(left) < len(text) or len(set(text)) < 6):
            return True
        if left.strip("0123456789.,-_!?#*+ ") == "" and len(left) < LEAST_LENGTH:
            return True
    return _is_a_row(password)


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
