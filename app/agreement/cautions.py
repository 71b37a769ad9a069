"""What a client must know before signing: the findings grouped, in plain words, equal ones in one line."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from app.job.findings import Finding

Subject = Literal[
    "To settle before anything is built",
    "Water and drains",
    "Weight and wind",
    "Guards, steps and openings",
    "Electricity and light",
    "Gas",
    "Sound and neighbours",
    "In use",
]
SUBJECTS: tuple[Subject, ...] = (
    "To settle before anything is built",
    "Water and drains",
    "Weight and wind",
    "Guards, steps and openings",
    "Electricity and light",
    "Gas",
    "Sound and neighbours",
    "In use",
)
_FIRST: Subject = "To settle before anything is built"
_WATER: Subject = "Water and drains"
_LOADS: Subject = "Weight and wind"
_EDGES: Subject = "Guards, steps and openings"
_POWER: Subject = "Electricity and light"
_GAS: Subject = "Gas"
_SOUND: Subject = "Sound and neighbours"
_USE: Subject = "In use"

# What a layperson is told for each kind of finding; {} is where the places stand.
PLAIN: dict[str, tuple[Subject, str]] = {
    "roof.no-overflow": (
        _WATER,
        "No second way off the roof was found for water. With the drain blocked it would stand on the whole "
        "roof, and water is heavy: a roofer or the local building office must say where it is to go.",
    ),
    "roof.drain-under-deck": (
        _WATER,
        "A drain lies under the boards ({}). Lift the panel over it and clean it, at least twice a year.",
    ),
    "framing.uplift": (
        _LOADS,
        "The deck lies loose on the roof ({}). Its weight alone does not show that it stays down in wind: a "
        "licensed engineer must say how it is held.",
    ),
    "framing.outside-joist-table": (
        _LOADS,
        "The timber under the boards is lower than the published tables for decks begin with ({}): a "
        "licensed engineer and the local code decide whether it will do.",
    ),
    "framing.pad-repeated-load": (
        _LOADS,
        "Under people and furniture the pads are pressed harder than the trade advises ({}): their maker "
        "must say that they bear it.",
    ),
    "framing.no-insulation-limit": (
        _LOADS,
        "Nobody has said yet what the layer under the roof skin may bear ({}): its maker must give a figure.",
    ),
    "totals.worst-place": (
        _LOADS,
        "The heaviest place on the roof is at {}. Whether the roof carries it is for a licensed engineer.",
    ),
    "totals.dead-load-near": (
        _LOADS,
        "The load comes close to what the roof is allowed to carry ({}): add nothing heavy there; a licensed "
        "engineer decides.",
    ),
    "layout.wall-fixing": (
        _LOADS,
        "The cladding hangs on a wall that is there already ({}). A licensed engineer must say whether the "
        "wall, the fixings and the wind on it are in order.",
    ),
    "roof.guard-climb": (
        _EDGES,
        "Somebody, a child above all, could stand on this and be too high for the guard beside it: {}. The "
        "local code may ask for a higher guard or another place.",
    ),
    "roof.skylight": (
        _EDGES,
        "A skylight beside the deck may not carry a person who steps or falls on it ({}): ask its maker and "
        "the local building office for a guard or a screen over it.",
    ),
    "layout.bench-lid": (
        _EDGES,
        "A lid that falls can crush fingers and shut a child in ({}): it needs a stay, a gap for fingers, "
        "holes for air, and no latch.",
    ),
    "roughin.electrician": (
        _POWER,
        "Everything at line voltage is planned only. A licensed electrician designs, installs and tests it "
        "under the local code, with a permit.",
    ),
    "roughin.ground-fault": (
        _POWER,
        "Outlets outdoors usually need protection that cuts off at once when current leaks ({}): the "
        "electrician and the local code decide.",
    ),
    "roughin.in-use-cover": (
        _POWER,
        "Outlets in the wet need a cover that stays closed with a plug in ({}): the electrician sees to it.",
    ),
    "roughin.glare": (
        _POWER,
        "Lights that can shine into the eyes of somebody who sits or comes in: {}. They are to be turned, "
        "shielded or set lower.",
    ),
    "roughin.gas-clearance": (
        _GAS,
        "What burns gas needs its distance from boards, plants and all above it, by its maker and the fire "
        "code, and a shut-off within reach ({}). Nothing here is held against those distances.",
    ),
    "roughin.gas-fitter": (
        _GAS,
        "The way of the gas pipe is planned only ({}). A licensed gas fitter sizes, lays, tests and connects "
        "it under the local code.",
    ),
    "roughin.neighbour-level": (
        _SOUND,
        "At full power the speakers are louder than was set as the limit at: {}. They must be turned down "
        "there; the local noise rules govern.",
    ),
    "layout.winter-gap": (
        _USE,
        "In hard frost the gaps at the board ends open ({}); a heel or a chair leg may catch.",
    ),
}

# For those who build and those who keep the figures: told in the appendix alone.
FOR_THE_CREW = frozenset(
    {
        "framing.drain-crowded",
        "framing.lift-out-panel",
        "framing.many-shims",
        "framing.pad-crowded",
        "layout.joint-off-furring",
        "layout.narrow-rip",
        "roughin.conduit-memory",
        "roughin.feed-cord",
        "roughin.from-memory",
        "roughin.hold-point",
        "roughin.holes",
        "roughin.joint-covered",
        "roughin.separation",
        "roughin.spare-ways",
        "totals.from-memory",
        "totals.stock-not-carried",
        "totals.timber-wet",
        "totals.too-heavy-for-a-trip",
    }
)
_BY_ROOM: dict[str, Subject] = {"layout": _USE, "roof": _WATER, "roughin": _POWER}
_BY_CODE: dict[str, Subject] = {
    "roof.edge-unknown": _EDGES,
    "roof.guard-drop-unknown": _EDGES,
    "roof.guard-low": _EDGES,
    "roof.hole-edge": _EDGES,
    "roof.door-step": _EDGES,
    "roof.level-outside-window": _EDGES,
    "roof.level-step": _EDGES,
    "roof.zone-step": _EDGES,
    "roof.no-allowable-load": _LOADS,
    "roof.no-live-load": _LOADS,
    "layout.wall-snow": _LOADS,
    "layout.wall-wind": _LOADS,
    "roughin.gas-length": _GAS,
    "roughin.gas-separation": _GAS,
    "roughin.gas-size": _GAS,
}
_NUMBERED = re.compile(r"(.*\D)(\d+)")
_SHORTEST_ROW = 3


@dataclass(frozen=True, slots=True)
class Cautions:
    """What a client must know about one subject.

    Attributes
    ----------
    subject : str
        One of `SUBJECTS`.
    lines : tuple of str
        Plain sentences, each once.
    """

    subject: Subject
    lines: tuple[str, ...]


def client_cautions(findings: Sequence[Finding], names: Mapping[str, str]) -> tuple[Cautions, ...]:
    """Give what a client must know, by subject.

    Parameters
    ----------
    findings : sequence of Finding
        All of the engine; the order is kept within a subject.
    names : mapping of str to str
        Names that things were given, by their ids; what has none is called by its id.

    Returns
    -------
    cautions : tuple of Cautions
        Subjects with at least one line, in the order of `SUBJECTS`. A stop keeps its own words; what only
        the crew needs is left out here and stands with all the rest in the appendix.

    References
    ----------
    Definition.
    """
    lines: dict[Subject, list[str]] = {subject: [] for subject in SUBJECTS}
    places: dict[str, list[str]] = {}
    for finding in findings:
        places.setdefault(finding.code, []).append(finding.place)
    for finding in findings:
        if finding.grade == "stop":
            subject, text = _FIRST, finding.text
        elif finding.code in FOR_THE_CREW:
            continue
        elif finding.code in PLAIN:
            subject, plain = PLAIN[finding.code]
            text = plain.replace("{}", listed(places[finding.code], names))
        else:
            subject, text = subject_of(finding.code), finding.text
        if text not in lines[subject]:
            lines[subject].append(text)
    return tuple(Cautions(subject, tuple(found)) for subject, found in lines.items() if found)


def subject_of(code: str) -> Subject:
    """Give the subject under which a finding stands.

    Parameters
    ----------
    code : str
        Of the finding: ``roof.guard-low``.

    Returns
    -------
    subject : str
        One of `SUBJECTS`, never the first.

    Examples
    --------
    >>> subject_of("roof.guard-low"), subject_of("framing.span-too-long")
    ('Guards, steps and openings', 'Weight and wind')

    References
    ----------
    Definition.
    """
    if code in PLAIN:
        return PLAIN[code][0]
    return _BY_CODE.get(code) or _BY_ROOM.get(code.partition(".")[0], _LOADS)


def listed(places: Iterable[str], names: Mapping[str, str]) -> str:
    """Give places in one line, rows of numbered ones drawn together.

    Parameters
    ----------
    places : iterable of str
        Ids, in any order, perhaps more than once.
    names : mapping of str to str
        Names that things were given, by their ids.

    Returns
    -------
    line : str
        Each place once, in the order given.

    Examples
    --------
    >>> listed(["step-1", "step-2", "step-3", "spot-4", "main"], {"main": "Main deck"})
    'step-1 … step-3, spot-4, Main deck'

    References
    ----------
    Definition.
    """
    rows: list[list[str]] = []
    for place in dict.fromkeys(names.get(place) or place for place in places):
        if rows and _follows(rows[-1][-1], place):
            rows[-1].append(place)
        else:
            rows.append([place])
    parts: list[str] = []
    for row in rows:
        parts += [f"{row[0]} … {row[-1]}"] if len(row) >= _SHORTEST_ROW else row
    return ", ".join(parts)


def _follows(before: str, after: str) -> bool:
    """Tell whether two places are numbered one after the other."""
    first, second = _NUMBERED.fullmatch(before), _NUMBERED.fullmatch(after)
    return bool(
        first
        and second
        and first.group(1) == second.group(1)
        and int(second.group(2)) == int(first.group(2)) + 1
    )
