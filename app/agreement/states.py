"""The states of a job, the moves between them, and why a move is refused."""

from dataclasses import dataclass
from typing import Literal

JobState = Literal[
    "enquiry", "surveyed", "priced", "offered", "signed", "on the roof", "handed over", "let go"
]
STATES: tuple[JobState, ...] = (
    "enquiry",
    "surveyed",
    "priced",
    "offered",
    "signed",
    "on the roof",
    "handed over",
    "let go",
)

# A step back is allowed while nobody has signed: a survey is measured again, an offer is drawn up anew.
MOVES: dict[JobState, tuple[JobState, ...]] = {
    "enquiry": ("surveyed", "let go"),
    "surveyed": ("priced", "enquiry", "let go"),
    "priced": ("offered", "surveyed", "let go"),
    "offered": ("signed", "priced", "let go"),
    "signed": ("on the roof", "let go"),
    "on the roof": ("handed over",),
    "handed over": (),
    "let go": ("enquiry",),
}


@dataclass(frozen=True, slots=True)
class JobFacts:
    """What a move depends on.

    Attributes
    ----------
    has_survey : bool
        A survey that the engine can read.
    has_price : bool
        An estimate with lines.
    open_stops : tuple of str
        Texts of the stop findings that stand.
    has_live_offer : bool
        A revision neither expired nor superseded.
    is_signed : bool
        A sign-off on the newest revision.
    is_withdrawal_running : bool
        The client may still cancel.
    open_hold_points : tuple of str
        Names of those not signed.
    reason : str
        Why the job is let go.
    """

    has_survey: bool = False
    has_price: bool = False
    open_stops: tuple[str, ...] = ()
    has_live_offer: bool = False
    is_signed: bool = False
    is_withdrawal_running: bool = False
    open_hold_points: tuple[str, ...] = ()
    reason: str = ""


def why_not(now: JobState, then: JobState, facts: JobFacts) -> str:
    """Say why a job may not move to another state.

    Parameters
    ----------
    now : str
        State it is in.
    then : str
        State asked for.
    facts : JobFacts
        What is known of the job.

    Returns
    -------
    reason : str
        A sentence for a person; empty when the move is allowed.

    Examples
    --------
    >>> why_not("enquiry", "signed", JobFacts())
    'A job goes from enquiry to surveyed or let go, not to signed.'
    >>> why_not("enquiry", "surveyed", JobFacts(has_survey=True))
    ''

    References
    ----------
    Definition, in our own words for the states.
    """
    if now == then:
        return f"The job is {now} already."
    allowed = MOVES[now]
    if then not in allowed:
        if not allowed:
            return f"A job that is {now} stays so."
        return f"A job goes from {now} to {' or '.join(allowed)}, not to {then}."
    return _missing(then, facts) if _is_forward(now, then) else ""


def _is_forward(now: JobState, then: JobState) -> bool:
    """Tell whether a move goes on, so that its gate must be passed."""
    return then == "let go" or (now != "let go" and STATES.index(then) > STATES.index(now))


def _missing(then: JobState, facts: JobFacts) -> str:
    """Say what is missing before a state can be entered."""
    stops = f"{len(facts.open_stops)} stops stand: " if len(facts.open_stops) > 1 else "A stop stands: "
    gates: dict[JobState, tuple[tuple[bool, str], ...]] = {
        "surveyed": ((facts.has_survey, "There is no survey to go by."),),
        "priced": ((facts.has_price, "There is no estimate with lines."),),
        "offered": (
            (not facts.open_stops, stops + " ".join(facts.open_stops)),
            (facts.has_live_offer, "No proposal has been frozen that still holds."),
        ),
        "signed": ((facts.is_signed, "The client has not signed the newest proposal."),),
        "on the roof": (
            (facts.is_signed, "The client has not signed."),
            (not facts.is_withdrawal_running, "The client may still cancel; no work starts before that."),
        ),
        "handed over": (
            (not facts.open_hold_points, f"Not signed yet: {', '.join(facts.open_hold_points)}."),
        ),
        "let go": ((bool(facts.reason.strip()), "Say why the job is let go."),),
    }
    return next((text for is_met, text in gates.get(then, ()) if not is_met), "")
