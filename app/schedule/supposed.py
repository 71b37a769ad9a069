"""Something supposed or expected: weather on a day, a crew away, goods that come."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

SupposedKind = Literal["rain", "cold", "wind", "away", "goods"]


@dataclass(frozen=True, slots=True)
class Supposed:
    """Something supposed, to see what it would change; once taken in, something expected.

    Attributes
    ----------
    kind : str
        ``rain``, ``cold`` or ``wind`` on a day for every job; ``away``: a crew is not there; ``goods``: the
        goods of a task of a job come on a day.
    on : date
    crew : str
        For ``away``.
    job, task : str
        For ``goods``.
    measure : float or None
        How cold in degrees Celsius, or how windy in kilometres an hour; None: too much for every such rule.
    """

    kind: SupposedKind
    on: date
    crew: str = ""
    job: str = ""
    task: str = ""
    measure: float | None = None
