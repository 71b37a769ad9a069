"""Secrets that people carry: 256 random bits in a link or cookie; only their SHA-256 is kept."""

import hashlib
import secrets


def new_token() -> str:
    """Make a token nobody can guess."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """Give what is kept of a token. Looking up a hash tells a guesser nothing about tokens near it."""
    return hashlib.sha256(token.encode()).hexdigest()
