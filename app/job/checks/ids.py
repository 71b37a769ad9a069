"""Ids and references: each id is used once, and each reference points to something of the right kind."""

from collections.abc import Iterator, Sequence
from typing import Any

from app.job.errors import InputError, path_text
from app.job.job import Job
from app.job.record import Record, key_in_job_file

# Where a reference stands, its field, where it must point, and what to call the thing there.
_REFERENCES: tuple[tuple[str, str, str, str], ...] = (
    ("plan.deck_fields", "board", "choices.boards", "board"),
    ("plan.deck_fields", "sleeper", "choices.sections", "section"),
    ("plan.deck_fields", "pad", "choices.pads", "pad"),
    ("plan.deck_fields", "fascia", "choices.boards", "board"),
    ("plan.stone_beds", "stone", "choices.stones", "stone"),
    ("plan.planters", "medium", "choices.media", "medium"),
    ("plan.planters", "cladding", "choices.boards", "board"),
    ("plan.planters", "frame", "choices.sections", "section"),
    ("plan.benches", "board", "choices.boards", "board"),
    ("plan.benches", "frame", "choices.sections", "section"),
    ("plan.counters", "cladding", "choices.boards", "board"),
    ("plan.counters", "frame", "choices.sections", "section"),
    ("plan.counters", "top", "choices.tops", "top"),
    ("plan.steps", "upper", "plan.deck_fields", "deck field"),
    ("plan.steps", "lower", "plan.deck_fields", "deck field"),
    ("plan.steps", "board", "choices.boards", "board"),
    ("plan.steps", "frame", "choices.sections", "section"),
    ("plan.feature_walls", "cladding", "choices.boards", "board"),
    ("plan.feature_walls", "furring", "choices.sections", "section"),
    ("survey.spot_heights", "zone", "survey.zones", "zone"),
    ("plan.transformers", "fed_from", "survey.power_points", "power point"),
    ("plan.amplifiers", "fed_from", "survey.power_points", "power point"),
    ("plan.gas_stubs", "source", "survey.gas_points", "gas point"),
    ("plan.circuits", "cable", "choices.cables", "cable"),
    ("plan.fixtures", "circuit", "plan.circuits", "circuit"),
    ("plan.fixtures", "model", "choices.fixture_kinds", "kind of light"),
    ("plan.outlets", "circuit", "plan.circuits", "circuit"),
    ("plan.speakers", "circuit", "plan.circuits", "circuit"),
)
_SOURCES = {
    "lighting": ("plan.transformers", "transformer"),
    "power": ("survey.power_points", "power point"),
    "sound": ("plan.amplifiers", "amplifier"),
}
_KIND_OF_CIRCUIT = {"plan.fixtures": "lighting", "plan.outlets": "power", "plan.speakers": "sound"}


def _listed(job: Job, place: str) -> tuple[Any, ...]:
    """Give the records of one list of the job."""
    part, name = place.split(".")
    return tuple(getattr(getattr(job, part), name))


def _records(
    record: Record, place: tuple[str | int, ...] = ()
) -> Iterator[tuple[tuple[str | int, ...], Record]]:
    """Walk all records with their place in the file."""
    yield place, record
    for name in type(record).model_fields:
        value = getattr(record, name)
        here = (*place, key_in_job_file(name))
        if isinstance(value, Record):
            yield from _records(value, here)
        elif isinstance(value, tuple):
            for number, item in enumerate(value):
                if isinstance(item, Record):
                    yield from _records(item, (*here, number))


def id_faults(job: Job) -> tuple[InputError, ...]:
    """Find ids that stand at two places; findings and drawings name things by their id.

    Parameters
    ----------
    job : Job
        Whole job.

    Returns
    -------
    faults : tuple of InputError
        At the second place of each.

    References
    ----------
    Definition.
    """
    faults: list[InputError] = []
    first_at: dict[str, str] = {}
    for place, record in _records(job):
        name = getattr(record, "id", None)
        if name is None or not place:
            continue
        path = path_text((*place, "id"))
        if name in first_at:
            wanted = f"The id {name} is already used at {first_at[name]}. Give this one another id."
            faults.append(InputError(path, name, wanted))
        first_at.setdefault(name, path)
    return tuple(faults)


def _points_nowhere(path: str, name: str, known: Sequence[Any], word: str) -> InputError | None:
    """Say which ids there are when a reference points to none of them."""
    ids = [thing.id for thing in known]
    if name in ids:
        return None
    there = f"Those there are: {', '.join(ids)}." if ids else f"The job file lists no {word} yet."
    return InputError(path, name, f"There is no {word} called {name}. {there}")


def reference_faults(job: Job) -> tuple[InputError, ...]:
    """Find references that point to nothing.

    Parameters
    ----------
    job : Job
        Whole job.

    Returns
    -------
    faults : tuple of InputError
        At the reference, each naming the ids that would do.

    References
    ----------
    Definition.
    """
    found: list[InputError | None] = []
    for place, field, target, word in _REFERENCES:
        for number, thing in enumerate(_listed(job, place)):
            name = getattr(thing, field)
            if name is not None:
                found.append(_points_nowhere(f"{place}[{number}].{field}", name, _listed(job, target), word))
    for number, circuit in enumerate(job.plan.circuits):
        target, word = _SOURCES[circuit.kind]
        path = f"plan.circuits[{number}].source"
        found.append(_points_nowhere(path, circuit.source, _listed(job, target), word))
    profiles = (*job.choices.boards, *job.choices.sections)
    for number, offcut in enumerate(job.choices.cutting.kept_offcuts):
        path = f"choices.cutting.kept_offcuts[{number}].profile"
        found.append(_points_nowhere(path, offcut.profile, profiles, "board or section"))
    return tuple(fault for fault in found if fault is not None)


def kind_faults(job: Job) -> tuple[InputError, ...]:
    """Find devices on a circuit of another kind, and circuits on a cable for another use.

    Parameters
    ----------
    job : Job
        Whole job.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    faults: list[InputError] = []
    kinds = {circuit.id: circuit.kind for circuit in job.plan.circuits}
    for place, wanted in _KIND_OF_CIRCUIT.items():
        for number, device in enumerate(_listed(job, place)):
            kind = kinds.get(device.circuit, wanted)
            if kind != wanted:
                text = f"{device.circuit} is a {kind} circuit. Name a {wanted} circuit."
                faults.append(InputError(f"{place}[{number}].circuit", device.circuit, text))
    uses = {cable.id: cable.use for cable in job.choices.cables}
    for number, circuit in enumerate(job.plan.circuits):
        use = uses.get(circuit.cable or "", circuit.kind)
        if use != circuit.kind:
            text = f"{circuit.cable} is a cable for {use}. Name one for {circuit.kind}."
            faults.append(InputError(f"plan.circuits[{number}].cable", circuit.cable, text))
    return tuple(faults)
