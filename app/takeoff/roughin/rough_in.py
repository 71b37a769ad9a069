"""The rough-in room's entry: everything that runs hidden, routed, sized and warned about."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.job.doing import Do, at_once
from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.framing.records import Framing, Stick
from app.takeoff.layout.records import Layout
from app.takeoff.roughin.cables import Hidden, Wired
from app.takeoff.roughin.circuits import (
    APART_MM,
    Ground,
    devices_of,
    ground_of,
    lay_feeds,
    lay_gas,
    wire_circuit,
    wire_feed,
)
from app.takeoff.roughin.conduits import Cased, case_circuit
from app.takeoff.roughin.cover import with_cover
from app.takeoff.roughin.data_sheets import sheet_differences
from app.takeoff.roughin.dusk import yearly_energy
from app.takeoff.roughin.ends import REACH_MM, deck_level_mm
from app.takeoff.roughin.evening_records import Energy
from app.takeoff.roughin.from_memory import rules_from_memory
from app.takeoff.roughin.lanes import half_widths_mm
from app.takeoff.roughin.levels import neighbour_findings, sound_levels
from app.takeoff.roughin.night import night_of
from app.takeoff.roughin.obstacles import free_area, main_angle_deg, to_plan_mm
from app.takeoff.roughin.outlets import outlet_cautions, outlet_heights, spare_ways, ways_taken
from app.takeoff.roughin.pads import Box, pad_boxes
from app.takeoff.roughin.placement import suggest_places
from app.takeoff.roughin.pull_list import pull_list
from app.takeoff.roughin.reachable import in_the_open, joints_of
from app.takeoff.roughin.records import CircuitReading, GasReading, RoughIn, TransformerReading, WaysReading
from app.takeoff.roughin.routes import APART_MAY_ADD_MM
from app.takeoff.roughin.setting_out import fixed_points, set_out
from app.takeoff.roughin.sound import amplifier_power
from app.takeoff.roughin.transformers import size_transformer
from app.takeoff.roughin.trench import shared_mm, stick_lines, trench_mm

BARE_RUNS = "low-voltage and line-voltage runs that lie in no conduit"
SEPARATION_SOURCE = "NFPA 70 (NEC) 2020, 300.3 and 725.136(I); IEC 60364-5-52:2009, clause 528; from memory"
GAS_SEPARATION_SOURCE = "local fuel gas code, from memory"


@dataclass(frozen=True, slots=True)
class _Wiring:
    """Every circuit, feed and stub laid."""

    wired: tuple[Wired, ...]
    transformers: tuple[TransformerReading, ...]
    gas: tuple[GasReading, ...]
    sizing: tuple[Finding, ...]
    along: tuple[Finding, ...]  # what could not be reached, and what lies side by side
    cut_off: tuple[Finding, ...]


def rough_in(job: Job, layout: Layout, framing: Framing, do: Do = at_once) -> RoughIn:
    """Give every run of a job, its length, and what arrives at its end.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    layout : Layout
        Gives the direction of the main deck field.
    framing : Framing
        Gives the sleepers to cross and the level of the deck.
    do : Do
        How its parts are done.

    Returns
    -------
    rough_in : RoughIn
        The same for the same inputs.

    Notes
    -----
    Planning figures. Line voltage is for a licensed electrician, gas for a licensed gas fitter.

    References
    ----------
    Definition; each module names its own sources.
    """
    level = deck_level_mm(job, framing)
    deck_mm = level or 0.0
    angle = main_angle_deg(job.survey, layout)
    pads = pad_boxes(framing, job.choices, angle)
    laid = do(_wire_everything, job, angle, deck_mm, framing.sticks, pads, do)
    wired, readings = laid.wired, tuple(w.reading for w in laid.wired if w.reading)
    findings = [finding for w in wired for finding in w.findings]
    night, dark = do(night_of, job, deck_mm, do)
    levels = do(sound_levels, job, deck_mm)
    findings += [*laid.sizing, *_power_findings(job, wired), *_amplifier_findings(job)]
    findings += [*neighbour_findings(job, levels), *do(suggest_places, job, deck_mm), *dark]
    findings += [*laid.along, *laid.cut_off, *_hold_point(wired)]
    runs = tuple(run for w in wired for run in w.runs)
    joints, covered = joints_of(job, runs)
    cased, cases = _cased(job, readings)
    findings += [*covered, *cases, *in_the_open(job, runs), *sheet_differences(job)]
    kinds = [run.kind for run in runs]
    findings += rules_from_memory(job, kinds, levels, has_joints=bool(joints))
    return RoughIn(
        runs=runs,
        circuits=readings,
        transformers=laid.transformers,
        gas=laid.gas,
        trench_mm=trench_mm(path for w in wired for path in w.turned_paths),
        findings=tuple(findings),
        assumptions=_assumptions(job, layout, level, angle) if wired else (),
        joints=joints,
        pulls=pull_list(runs, cased),
        ways=_ways(job),
        fixed_points_mm=fixed_points(job) if runs else (),
        set_out=set_out(job, joints) if runs else (),
        levels=levels,
        night=night,
        energy=_energy(job, readings),
    )


def _wire_everything(
    job: Job, angle_deg: float, deck_mm: float, sticks: tuple[Stick, ...], pads: tuple[Box, ...], do: Do
) -> _Wiring:
    """Lay circuits, feeds and gas one after the other, each keeping away from what lies already."""
    half = half_widths_mm(sticks, job.choices.sections)
    slack, cables = job.choices.limits.cable_slack_mm, job.choices.cables
    site = Hidden(slack, stick_lines(sticks), cables, half, np.array(pads, dtype=np.float64).reshape(-1, 4))
    free = with_cover(free_area(job.survey, angle_deg), job)
    ground = ground_of(job, free, site, deck_mm)
    ground.do = do
    fed_from = [(t.id, t.fed_from) for t in job.plan.transformers]
    lay_feeds(ground, [*fed_from, *((a.id, a.fed_from) for a in job.plan.amplifiers)])
    wired = _wire_all(ground)
    transformers, sizing = _transformers(job, tuple(w.reading for w in wired if w.reading))
    ratings = {reading.transformer: reading.rating_w for reading in transformers}
    fed = [(t.id, t.fed_from, ratings[t.id]) for t in job.plan.transformers]
    fed += [(a.id, a.fed_from, a.power_w) for a in job.plan.amplifiers]
    wired += [w for name, source, watts in fed if (w := wire_feed(ground, name, source, watts))]
    pipes, gas = lay_gas(ground)
    wired += pipes
    return _Wiring(
        wired=tuple(wired),
        transformers=transformers,
        gas=tuple(gas),
        sizing=tuple(sizing),
        along=tuple(_separation(wired, ground)),
        cut_off=tuple(ground.findings),
    )


def _wire_all(ground: Ground) -> list[Wired]:
    """Wire the circuits, line voltage first so that the others can keep away; in the order of the plan."""
    circuits = ground.job.plan.circuits
    by_name: dict[str, Wired] = {}
    for circuit in sorted(circuits, key=lambda c: c.kind != "power"):
        wired = wire_circuit(ground, circuit)
        if wired:
            by_name[circuit.id] = wired
    return [by_name[circuit.id] for circuit in circuits if circuit.id in by_name]


def _transformers(
    job: Job, readings: Sequence[CircuitReading]
) -> tuple[tuple[TransformerReading, ...], list[Finding]]:
    """Size every transformer that has something on it."""
    sized: list[TransformerReading] = []
    found: list[Finding] = []
    for transformer in job.plan.transformers:
        circuits = [c for c in job.plan.circuits if c.source == transformer.id and c.kind == "lighting"]
        names = {circuit.id for circuit in circuits}
        load = sum(fixture.power_w for fixture in job.plan.fixtures if fixture.circuit in names)
        reading, findings = size_transformer(
            transformer,
            [r for r in readings if r.circuit in names],
            load,
            job.choices.transformer_sizes,
            job.choices.limits.transformer_loading,
        )
        sized.append(reading)
        found += findings
    return tuple(sized), found


def _cased(job: Job, readings: Sequence[CircuitReading]) -> tuple[dict[str, Cased], list[Finding]]:
    """Give the conduit of every circuit that wants one."""
    cables = {cable.id: cable for cable in job.choices.cables}
    kept = {reading.circuit: cables[reading.cable] for reading in readings if reading.cable in cables}
    cased: dict[str, Cased] = {}
    found: list[Finding] = []
    for circuit in job.plan.circuits:
        if circuit.id in kept:
            cased[circuit.id], findings = case_circuit(circuit, kept[circuit.id], job.choices.conduits)
            found += findings
    return cased, found


def _ways(job: Job) -> tuple[WaysReading, ...]:
    """Count the ways of every power point that feeds something."""
    counted = ((point, ways_taken(job, point.id)) for point in job.survey.power_points)
    return tuple(
        WaysReading(point.id, point.spare_ways, taken, point.spare_ways - taken)
        for point, taken in counted
        if taken
    )


def _energy(job: Job, readings: Sequence[CircuitReading]) -> Energy | None:
    """Reckon the year of the survey; None where the place of the roof is not known."""
    place, year = job.survey.place, job.survey.surveyed_on.year
    return yearly_energy(place, year, job.choices.evening, readings) if place else None


def _power_findings(job: Job, wired: Sequence[Wired]) -> list[Finding]:
    """Say who does the line-voltage work, and what it must have."""
    if not any(run.kind == "power" for w in wired for run in w.runs):
        return []
    text = (
        "Line voltage: routes and sizes here are planning figures only. A licensed electrician designs, "
        "installs "
        "and tests all of it under the local code, with a permit. A conduit or cable close above a sunlit "
        "roof "
        "runs hotter than the air and carries less."
    )
    source = "NFPA 70 (NEC) 2020, 310.15(B)(2) for roofs, from memory; local code"
    found = [Finding("roughin.electrician", "check", "job", text, source=source)]
    for circuit in job.plan.circuits:
        if circuit.kind == "power" and devices_of(job, circuit):
            found += outlet_cautions(circuit.id)
    found += outlet_heights(job.plan.outlets, job.units)
    for point in job.survey.power_points:
        found += spare_ways(point, ways_taken(job, point.id))
    return found


def _amplifier_findings(job: Job) -> list[Finding]:
    """Hold amplifiers against their speakers."""
    found: list[Finding] = []
    for amplifier in job.plan.amplifiers:
        names = {c.id for c in job.plan.circuits if c.source == amplifier.id and c.kind == "sound"}
        found += amplifier_power(amplifier, [s for s in job.plan.speakers if s.circuit in names])
    return found


def _separation(wired: Sequence[Wired], ground: Ground) -> list[Finding]:
    """Say where runs that must be kept apart share a way."""
    kinds = ("low", "power", "gas", "bare low", "bare power")
    paths: dict[str, list[tuple[tuple[float, float], ...]]] = {kind: [] for kind in kinds}
    cased = {circuit.id for circuit in ground.job.plan.circuits if circuit.conduit != "none"}
    for w in wired:
        for run, path in zip(w.runs, w.turned_paths, strict=True):
            kind = "low" if run.kind in ("lighting", "sound") else run.kind
            paths[kind].append(path)
            if kind != "gas" and run.circuit not in cased:
                paths[f"bare {kind}"].append(path)
    pairs = (
        ("roughin.separation", "bare low", "bare power", BARE_RUNS, SEPARATION_SOURCE),
        ("roughin.gas-separation", "gas", "power", "gas pipe and line-voltage runs", GAS_SEPARATION_SOURCE),
        ("roughin.gas-separation", "gas", "low", "gas pipe and low-voltage runs", GAS_SEPARATION_SOURCE),
    )
    spoken = Spoken(ground.job.units)
    found = []
    for code, one, other, names, source in pairs:
        shared, at = shared_mm(paths[one], paths[other], APART_MM)
        if at is None:
            continue
        text = (
            f"{names[0].upper()}{names[1:]} lie less than {spoken.length(APART_MM)} apart over "
            f"{spoken.way(shared)} of way. Keep them in separate ways, behind a barrier or one of them in "
            "conduit, as the local code asks; a licensed person decides."
        )
        place = to_plan_mm(at, ground.free.angle_deg)
        found.append(Finding(code, "check", "job", text, shared, 0.0, "mm", source, place))
    return found


def _hold_point(wired: Sequence[Wired]) -> list[Finding]:
    """Say that boards wait for the runs."""
    runs = [run for w in wired for run in w.runs]
    if not runs:
        return []
    crossed = sum(run.sticks_crossed for run in runs)
    text = (
        f"Hold point: all {len(runs)} runs are laid, tagged, photographed and closed in before any board "
        "goes down; "
        f"they pass {crossed} sleepers."
    )
    return [Finding("roughin.hold-point", "note", "job", text, source="common practice, no source")]


def _assumptions(job: Job, layout: Layout, level: float | None, angle_deg: float) -> tuple[Assumption, ...]:
    """Give what the room took as given."""
    practice, spoken = "common practice, no source", Spoken(job.units)
    found = [
        Assumption(
            "roughin.axes",
            f"Runs lie along and across the courses of the main field, at {angle_deg:g}° on plan, under "
            "all fields.",
            practice,
        ),
        Assumption(
            "roughin.slack",
            f"{spoken.length(job.choices.limits.cable_slack_mm)} of cable is left at each end of every run, "
            "to reach from under the deck and to be joined; gas pipe has none.",
            practice,
        ),
        Assumption(
            "roughin.reach",
            f"A thing up to {spoken.length(REACH_MM)} off the free area is reached straight across from the "
            "nearest place.",
            practice,
        ),
        Assumption(
            "roughin.kept-apart",
            f"Where a way at most a tenth or {spoken.way(APART_MAY_ADD_MM)} longer keeps line voltage, low "
            "voltage and gas apart, that way is taken; else a run is at most a twentieth longer than the "
            "shortest clear of all that is in its way, wherever that can be worked out exactly.",
            practice,
        ),
        Assumption(
            "roughin.all-on",
            "Voltages are with every fixture and outlet on at once; watts are taken as volt-amperes (power "
            "factor 1).",
            practice,
        ),
    ]
    if level is None:
        text = (
            "No deck level is known, so surveyed points are taken to be as high above the deck as above "
            "the datum."
        )
        found.append(Assumption("roughin.deck-level", text, practice))
    angles = {round((field.angle_deg - angle_deg) % 90.0, 3) for field in layout.fields}
    if angles - {0.0, 90.0}:
        text = (
            "A deck field lies at another angle than the main one; runs under it cross its sleepers at "
            "a slant."
        )
        found.append(Assumption("roughin.other-angle", text, practice))
    return tuple(found)
