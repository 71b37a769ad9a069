"""Records of what happened on site: signatures at hold points, log entries, the punch list."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal


@dataclass(frozen=True, slots=True)
class HoldSignature:
    """A named person let the work go on.

    Attributes
    ----------
    code : str
        Of the hold point.
    name : str
        Who signed, as typed.
    signed_at : datetime
        Aware, UTC.
    note : str
    """

    code: str
    name: str
    signed_at: datetime
    note: str = ""


@dataclass(frozen=True, slots=True)
class HoldPoint:
    """One hold point of the day plan, and how it stands.

    Attributes
    ----------
    code, name : str
    who : str
        Who is expected to sign.
    planned_on : date or None
        None when the plan no longer holds it, but somebody signed it.
    state : str
        ``open``, ``due`` (planned for today or earlier, not signed) or ``signed``.
    holds_back : tuple of str
        Codes of the tasks that wait for it.
    signature : HoldSignature or None
    """

    code: str
    name: str
    who: str
    planned_on: date | None
    state: Literal["open", "due", "signed"]
    holds_back: tuple[str, ...]
    signature: HoldSignature | None


@dataclass(frozen=True, slots=True)
class LogHours:
    """Hours worked on one day, as noted in the site log.

    Attributes
    ----------
    on : date
    hours_h : float
        Labour hours, all people together. [h]
    phase : str
        Phase of the estimate; empty when it was not said.
    """

    on: date
    hours_h: float
    phase: str = ""


@dataclass(frozen=True, slots=True)
class PunchItem:
    """One thing to put right.

    Attributes
    ----------
    id : str
    text, place : str
        What, and where on the sheet.
    raised_on : date
    due_on, closed_on : date or None
    """

    id: str
    text: str
    place: str
    raised_on: date
    due_on: date | None = None
    closed_on: date | None = None
