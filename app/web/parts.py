"""The parts of a job file that are edited together: which fields, on which sheet, under which name."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from app.job.choices import Choices
from app.job.plan import Plan
from app.job.record import Record, key_in_job_file
from app.job.survey import Survey
from app.web.forms.asks import Asked, ask_of
from app.web.forms.drawn import Drawn, Sketch, Table, draw_asks

Stem = Literal["survey", "plan", "choices"]
_RECORDS: Mapping[str, type[Record]] = {"survey": Survey, "plan": Plan, "choices": Choices}


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the job file, edited on one page.

    `stem` is survey, plan or choices; `name` stands in the address; `fields` are fields of the record.
    """

    stem: Stem
    name: str
    title: str
    fields: tuple[str, ...]

    @property
    def asks(self) -> tuple[Asked, ...]:
        """What the part asks."""
        return tuple(ask_of(_RECORDS[self.stem], field) for field in self.fields)

    @property
    def keys(self) -> tuple[str, ...]:
        """The part's keys in the job file."""
        return tuple(key_in_job_file(field) for field in self.fields)


@dataclass(frozen=True, slots=True)
class Drawing:
    """A part as it stands, to be read, with the way to change it."""

    name: str
    title: str
    drawn: tuple[Drawn, ...]
    change_path: str

    @property
    def is_wide(self) -> bool:
        """Whether a table of this part wants the whole width of the sheet."""
        return any(isinstance(node, Table) and node.rows and len(node.columns) > 6 for node in self.drawn)


SURVEY: tuple[Part, ...] = (
    Part("survey", "visit", "The visit", ("surveyed_on", "surveyed_by", "datum", "north_deg", "notes")),
    Part("survey", "outline", "Roof outline", ("outline_mm", "holes_mm")),
    Part("survey", "edges", "Edges", ("edges",)),
    Part("survey", "heights", "Spot heights", ("spot_heights",)),
    Part("survey", "zones", "Zones and folds of the roof", ("zones", "folds")),
    Part("survey", "drains", "Drains", ("drains",)),
    Part("survey", "penetrations", "Penetrations", ("penetrations",)),
    Part("survey", "doors", "Doors", ("doors",)),
    Part("survey", "way-up", "Way up", ("way_up",)),
    Part(
        "survey",
        "loads",
        "Allowable load, live load, snow and wind",
        ("allowable_load", "allowable_areas", "live_load", "snow", "wind"),
    ),
    Part("survey", "membrane", "Membrane", ("membrane",)),
    Part("survey", "temperatures", "Temperatures", ("temperatures",)),
    Part("survey", "services", "Service points", ("power_points", "gas_points", "water_points")),
    Part("survey", "neighbours", "Neighbours", ("neighbours",)),
)
PLAN: tuple[Part, ...] = (
    Part("plan", "level", "Level of the deck", ("level",)),
    Part("plan", "deck-fields", "Deck fields", ("deck_fields",)),
    Part("plan", "stone-beds", "Stone beds", ("stone_beds",)),
    Part("plan", "planters", "Planters", ("planters",)),
    Part("plan", "benches", "Benches", ("benches",)),
    Part("plan", "counters", "Counters", ("counters",)),
    Part("plan", "steps", "Steps", ("steps",)),
    Part("plan", "feature-walls", "Feature walls", ("feature_walls",)),
    Part("plan", "furniture", "Loose furniture", ("furniture",)),
    Part("plan", "sources", "Transformers and amplifiers", ("transformers", "amplifiers")),
    Part("plan", "circuits", "Circuits", ("circuits",)),
    Part("plan", "fixtures", "Fixtures", ("fixtures",)),
    Part("plan", "outlets", "Outlets", ("outlets",)),
    Part("plan", "speakers", "Speakers", ("speakers",)),
    Part("plan", "gas-stubs", "Gas stubs", ("gas_stubs",)),
)
CHOICES: tuple[Part, ...] = (
    Part("choices", "boards", "Boards", ("boards",)),
    Part("choices", "sections", "Timber sections", ("sections",)),
    Part("choices", "pads", "Pads", ("pads",)),
    Part("choices", "pedestals", "Pedestals", ("pedestals",)),
    Part("choices", "media", "Growing media and stone", ("media", "stones")),
    Part("choices", "tops", "Counter tops", ("tops",)),
    Part("choices", "cables", "Cables and transformers", ("cables", "transformer_sizes")),
    Part("choices", "fastening", "Fastening and small items", ("fastening",)),
    Part("choices", "cutting", "Cutting", ("cutting",)),
    Part("choices", "masses", "Masses of small goods", ("masses",)),
    Part("choices", "limits", "Limits looked at", ("limits",)),
)
_BY_PATH: Mapping[tuple[str, str], Part] = {
    (part.stem, part.name): part for part in (*SURVEY, *PLAN, *CHOICES)
}


def part_at(stem: str, name: str) -> Part | None:
    """The part of that name, or None."""
    return _BY_PATH.get((stem, name))


def draw_part(part: Part, document: Mapping[str, Any], faults: Mapping[str, str]) -> tuple[Drawn, ...]:
    """A part as a form: its fields with what stands in the document."""
    values = document.get(part.stem) or {}
    return draw_asks(part.asks, values, part.stem, Sketch(document, faults))


def read_parts(parts: tuple[Part, ...], job_id: int, document: Mapping[str, Any]) -> tuple[Drawing, ...]:
    """Parts as they stand, to be read on a sheet."""
    return tuple(
        Drawing(
            part.name,
            part.title,
            draw_part(part, document, {}),
            f"/jobs/{job_id}/{part.stem}/{part.name}",
        )
        for part in parts
    )
