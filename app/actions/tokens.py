"""Secrets that people carry: 256 random bits in a link or cookie; only their SHA-256 is kept."""

import base64
import hashlib
import secrets


def new_token() -> str:
    """Make a token nobody can guess."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """Give what is kept of a token. Looking up a hash tells a guesser nothing about tokens near it."""
    return hashlib.sha256(token.encode()).hexdigest()


def new_recovery_code() -> str:
    """Make a code to be written on paper: 120 random bits, so that its plain hash tells nothing.

    OWASP ASVS 5.0.0, 6.5.2: secrets under 112 bits would need a slow hash.
    """
    text = base64.b32encode(secrets.token_bytes(15)).decode()
    return "-".join(text[at : at + 6] for at in range(0, len(text), 6))
