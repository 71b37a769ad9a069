"""Findings: what the engine has to say about a job, graded, with place and numbers."""

from dataclasses import dataclass
from typing import Literal

Grade = Literal["stop", "check", "note"]
GRADES: tuple[Grade, ...] = ("stop", "check", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing worth knowing before building.

    Attributes
    ----------
    code : str
        Room and short noun, never renumbered: ``framing.pad-out-of-range``.
    grade : str
        ``stop``: settle before offering or building; ``check``: a licensed person or the local code
        must confirm; ``note``: worth knowing.
    place : str
        Id of the thing in the job file it is about, or ``"job"``.
    text : str
        One or two plain sentences a carpenter would say, with the numbers and units in them.
    value, limit : float or None
        The number found and the number it was held against, both in `unit`.
    unit : str
        Unit of the two numbers, as printed; empty when there are none.
    source : str
        Where the limit comes from (standard, edition, table), or "common practice, no source".
    at_mm : tuple of float or None
        Where on the plan, if it has one spot. [mm]
    """

    code: str
    grade: Grade
    place: str
    text: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = ""
    at_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something the engine took as given.

    Attributes
    ----------
    code : str
        Room and short noun.
    text : str
        What was assumed, in one sentence with its numbers.
    source : str
        Where it comes from.
    """

    code: str
    text: str
    source: str
