"""The handover file: what belongs in it for this job, what is there, and what is missing."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.build.punch_list import PunchState
from app.build.records import HoldPoint

# Papers that somebody puts on file; code, what it is, and the measured basis it is needed for ("" always).
PAPERS: tuple[tuple[str, str, str], ...] = (
    ("drawings", "drawings as built, with the ways of hidden runs", ""),
    (
        "rough-in-as-built",
        "the rough-in sheet as built: tags, lengths and places as they were left",
        "roughin.",
    ),
    ("load-letter", "the engineer's letter on allowable load", ""),
    ("permit", "the permit, and the building office's final", ""),
    ("membrane-consent", "the membrane maker's or owner's consent", ""),
    ("product-papers", "makers' papers, with batch and colour", ""),
    ("photos", "photos taken before anything was covered", "frame."),
    ("electrical-test", "the licensed electrician's test paper", "power."),
    ("gas-test", "the licensed gas fitter's test paper", "gas."),
    ("lighting-sheet", "the lighting sheet: transformer load, voltages, switching", "light."),
    ("care", "care through the year", ""),
    ("paid", "the statement of payments", ""),
    ("receipt", "the client's receipt for this file", ""),
)

_NAMED = 6


@dataclass(frozen=True, slots=True)
class HandoverFacts:
    """What is known of a finished job.

    Attributes
    ----------
    is_signed : bool
        Whether a signed proposal is kept.
    bases : frozenset of str
        Measured bases with a quantity: they tell which papers the job needs.
    papers : frozenset of str
        Codes of the papers on file.
    hold_points : tuple of HoldPoint
    punch : PunchState
    has_runs : bool
        Whether anything runs hidden.
    open_runs : tuple of str
        Hidden runs not ticked off, each with what it lacks.
    """

    is_signed: bool
    bases: frozenset[str]
    papers: frozenset[str]
    hold_points: tuple[HoldPoint, ...]
    punch: PunchState
    has_runs: bool = False
    open_runs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HandoverItem:
    """One thing that the file should hold.

    Attributes
    ----------
    code : str
    text : str
        What it is, or what is missing.
    is_present : bool
    """

    code: str
    text: str
    is_present: bool


def handover_list(facts: HandoverFacts) -> tuple[HandoverItem, ...]:
    """Give the list of a handover file.

    Parameters
    ----------
    facts : HandoverFacts
        What is known of the job.

    Returns
    -------
    items : tuple of HandoverItem
        In the order of the file; papers for work that the job does not have are left out.

    Raises
    ------
    ValueError
        If a paper on file is none that the list knows.

    References
    ----------
    Common practice, no source.
    """
    unknown = facts.papers - {code for code, _, _ in PAPERS}
    if unknown:
        raise ValueError(f"Papers by these codes are not known: {', '.join(sorted(unknown))}.")
    held = [point for point in facts.hold_points if point.state != "signed"]
    left = facts.punch.open
    papers = [
        HandoverItem(code, text, code in facts.papers)
        for code, text, basis in PAPERS
        if not basis or any(measured.startswith(basis) for measured in facts.bases)
    ]
    runs = HandoverItem(
        "hidden-runs",
        _with_names("every hidden run seen, photographed and tested", facts.open_runs),
        not facts.open_runs,
    )
    return (
        HandoverItem("proposal", "the signed proposal", facts.is_signed),
        HandoverItem("hold-points", _with_names("hold points signed", (p.name for p in held)), not held),
        HandoverItem("punch-list", _with_names("punch list closed", (p.text for p in left)), not left),
        *((runs,) if facts.has_runs else ()),
        *papers,
    )


def is_complete(items: Iterable[HandoverItem]) -> bool:
    """Tell whether nothing is missing.

    Parameters
    ----------
    items : iterable of HandoverItem
        The list.

    Returns
    -------
    is_complete : bool
        True for a list without gaps.

    References
    ----------
    Definition.
    """
    return all(item.is_present for item in items)


def _with_names(text: str, missing: Iterable[str]) -> str:
    """Say what is missing behind what it is."""
    names = tuple(missing)
    if not names:
        return text
    more = f"; and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return f"{text}, still open: {'; '.join(names[:_NAMED])}{more}"
