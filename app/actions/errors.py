"""What can go wrong in an action, each with what a person can do about it."""

from dataclasses import dataclass
from typing import Any, Literal


class NotFound(Exception):
    """Nothing by that id: say so, offer the list."""

    def __init__(self, what: str, key: object) -> None:
        super().__init__(f"There is no {what} {key}.")
        self.what = what
        self.key = key


@dataclass(frozen=True, slots=True)
class Saved:
    """One side of a stale save: a version and what stands in it."""

    version: int
    by: str
    content: dict[str, Any]


class StaleSave(Exception):
    """Somebody saved first: `theirs` is in the database, `yours` is what you sent; neither is lost."""

    def __init__(self, theirs: Saved, yours: Saved) -> None:
        super().__init__(
            f"{theirs.by} saved version {theirs.version} while you worked on version {yours.version}."
        )
        self.theirs = theirs
        self.yours = yours


class Refused(Exception):
    """A rule of the job says no; `reason` is a sentence for the person, `details` the points behind it."""

    def __init__(self, reason: str, details: tuple[str, ...] = ()) -> None:
        super().__init__(reason)
        self.reason = reason
        self.details = details


class TooOften(Refused):
    """Too many wrong guesses; wait `seconds`."""

    def __init__(self, seconds: int) -> None:
        super().__init__(
            f"Too many wrong attempts. Wait {max(1, round(seconds / 60))} minutes and try again."
        )
        self.seconds = seconds


LinkState = Literal["unknown", "expired", "revoked", "superseded"]

_LINK_SENTENCES: dict[LinkState, str] = {
    "unknown": "This link is not one of ours. Ask the firm for a new one.",
    "expired": "This link has run out. Ask the firm for a new one.",
    "revoked": "This link was withdrawn by the firm. Ask the firm for a new one.",
    "superseded": "There is a newer version of this proposal. Ask the firm for its link.",
}


class LinkClosed(Exception):
    """The client's link does not open; `kind` says why, `language` is that of the offer it led to, if any."""

    def __init__(self, kind: LinkState, language: str = "") -> None:
        super().__init__(_LINK_SENTENCES[kind])
        self.kind = kind
        self.language = language
