"""Every circuit, feed and stub of the plan, routed and wired one after the other."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from app.job.doing import Do, at_once
from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import Circuit, Fixture, Outlet, Speaker
from app.job.spoken import Spoken
from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.asked import ask, routed
from app.takeoff.roughin.cables import Hidden, Wired, run_length_mm, runs_of
from app.takeoff.roughin.ends import (
    End,
    OnDeck,
    Surveyed,
    ends_beside,
    ends_of_survey,
    ends_off_pads,
    ends_on_deck,
    lanes_on_walls,
)
from app.takeoff.roughin.gas import Pipe, size_stubs
from app.takeoff.roughin.in_the_way import in_the_way
from app.takeoff.roughin.legs import Leg
from app.takeoff.roughin.lighting import light
from app.takeoff.roughin.obstacles import FreeArea, standing_in, to_turned_mm
from app.takeoff.roughin.outlets import Draw, power
from app.takeoff.roughin.records import GasReading, Path
from app.takeoff.roughin.routes import Topology
from app.takeoff.roughin.sound import sound
from app.takeoff.roughin.trench import spans_of, turned_lines

Device = Fixture | Outlet | Speaker
APART_MM = 50.0  # NEC 725.136(I), 2 in, from memory; used for gas too, common practice, no source
SOURCE_NAMES = {"lighting": "a transformer", "power": "a power point", "sound": "an amplifier"}


@dataclass(slots=True)
class Ground:
    """The site while its circuits are being wired.

    Attributes
    ----------
    job : Job
    free : FreeArea
    site : Hidden
    points, devices, feeds : dict of str to End
        Surveyed points, things on the deck, and where line voltage meets transformers and amplifiers.
    findings : list of Finding
        What could not be routed.
    laid : dict of str to list of Path
        Ways so far of low voltage, line voltage and gas, in turned axes.
    bare : dict of str to list of Path
        Of them, those in no conduit.
    do : Do
        How each circuit is routed.
    feed_legs : dict of str to tuple of Leg
        The runs to transformers and amplifiers, by what they feed.
    """

    job: Job
    free: FreeArea
    site: Hidden
    points: dict[str, End]
    devices: dict[str, End]
    feeds: dict[str, End]
    findings: list[Finding] = field(default_factory=list)
    laid: dict[str, list[Path]] = field(default_factory=lambda: {"low": [], "power": [], "gas": []})
    feed_legs: dict[str, tuple[Leg, ...]] = field(default_factory=dict)
    bare: dict[str, list[Path]] = field(default_factory=lambda: {"low": [], "power": [], "gas": []})
    do: Do = at_once

    def apart_from(self, kind: str, *, is_bare: bool) -> Apart:
        """Give what a run of one kind keeps away from: the ways of the other kinds, and which it must."""
        others = [path for other, paths in self.laid.items() if other != kind for path in paths]
        known = self.bare if is_bare and kind != "gas" else {"gas": self.laid["gas"]}
        known = self.laid if kind == "gas" else {**known, "gas": self.laid["gas"]}
        must = [path for other, paths in known.items() if other != kind for path in paths]
        sticks = turned_lines(self.site.stick_lines_mm, self.free.angle_deg)
        site = self.site
        return Apart(spans_of(others), APART_MM, sticks, site.stick_half_mm, site.pads_mm, spans_of(must))


def ground_of(job: Job, free: FreeArea, site: Hidden, deck_mm: float) -> Ground:
    """Give the site with the ends of all its runs.

    Parameters
    ----------
    job : Job
        Survey and plan.
    free : FreeArea
        Where runs may lie.
    site : Hidden
        Cables, slack, sticks.
    deck_mm : float
        Top of the boards above the datum. [mm]

    Returns
    -------
    ground : Ground

    References
    ----------
    Definition.
    """
    plan = job.plan
    things: tuple[OnDeck, ...] = (*plan.transformers, *plan.amplifiers, *plan.gas_stubs)
    things = (*things, *plan.fixtures, *plan.outlets, *plan.speakers)
    surveyed: tuple[Surveyed, ...] = (*job.survey.power_points, *job.survey.gas_points)
    sticks = turned_lines(site.stick_lines_mm, free.angle_deg)
    lanes = lanes_on_walls(free, (*things, *surveyed), deck_mm)
    fed: tuple[OnDeck, ...] = (*plan.transformers, *plan.amplifiers)
    points, devices, feeds = (
        ends_off_pads(
            ends_beside(ends, free, sticks, site.stick_half_mm),
            free,
            sticks,
            site.stick_half_mm,
            site.pads_mm,
        )
        for ends in (
            ends_of_survey(free, surveyed, deck_mm, lanes),
            ends_on_deck(free, things, lanes),
            ends_on_deck(free, fed, lanes, "power"),
        )
    )
    return Ground(job, free, site, points, devices, feeds)


def _legs(
    ground: Ground,
    name: str,
    kind: str,
    topology: Topology,
    ends: tuple[End, Sequence[End]],
    *,
    is_bare: bool = True,
) -> tuple[Leg, ...]:
    """Give the legs of one circuit, and a stop for everything that cannot be reached."""
    source, devices = ends
    apart = ground.apart_from(kind, is_bare=is_bare)
    found = ground.do(routed, ask(ground.free, name, topology, source, devices, apart))
    paths = [leg.turned_mm for leg in found.legs]
    ground.laid[kind] += paths
    if is_bare:
        ground.bare[kind] += paths
    ground.findings += in_the_way(name, paths, apart, ground.free.angle_deg, ground.job.units)
    for end in found.cut_off:
        reason = standing_in(ground.free, to_turned_mm(end.plan_mm, ground.free.angle_deg))
        if end is source:
            text = f"{end.id} {reason}: no run of {name} can leave it."
        else:
            text = f"{end.id} {reason}: no run of {name} from {source.id} can reach it."
        text += " Move it to where a run can come to it over the roof."
        ground.findings.append(
            Finding(
                "roughin.no-way", "stop", end.id, text, source="geometry of the survey", at_mm=end.plan_mm
            )
        )
    return found.legs


def _reached(legs: Sequence[Leg]) -> set[str]:
    """Give the ids at the ends of legs."""
    return {leg.to_id for leg in legs} | {leg.from_id for leg in legs}


def _no_source(ground: Ground, name: str, wanted: str, source: str) -> None:
    """Say that something is fed from nothing."""
    text = f"{name} is to be fed from {source}, which is not {wanted} of this job."
    ground.findings.append(Finding("roughin.no-source", "stop", name, text))


def devices_of(job: Job, circuit: Circuit) -> tuple[Device, ...]:
    """Give the devices of one circuit, in the order of the plan.

    Parameters
    ----------
    job : Job
        With the plan.
    circuit : Circuit
        Of that plan.

    Returns
    -------
    devices : tuple
        Fixtures, outlets or speakers, by the kind of the circuit.

    References
    ----------
    Definition.
    """
    plan = job.plan
    by_kind: dict[str, tuple[Device, ...]] = {
        "lighting": plan.fixtures,
        "power": plan.outlets,
        "sound": plan.speakers,
    }
    return tuple(device for device in by_kind[circuit.kind] if device.circuit == circuit.id)


def wire_circuit(ground: Ground, circuit: Circuit) -> Wired | None:
    """Give one circuit routed and wired; None when nothing of it can be.

    Parameters
    ----------
    ground : Ground
        The site; takes the findings.
    circuit : Circuit
        To wire.

    Returns
    -------
    wired : Wired or None

    References
    ----------
    Definition.
    """
    job = ground.job
    devices = devices_of(job, circuit)
    if not devices:
        text = f"{circuit.id} has no devices; it is left out."
        ground.findings.append(Finding("roughin.empty-circuit", "note", circuit.id, text))
        return None
    transformers = {t.id: t for t in job.plan.transformers}
    points = {p.id: p for p in job.survey.power_points}
    sources = {
        "lighting": set(transformers),
        "power": set(points),
        "sound": {a.id for a in job.plan.amplifiers},
    }
    if circuit.source not in sources[circuit.kind]:
        _no_source(ground, circuit.id, SOURCE_NAMES[circuit.kind], circuit.source)
        return None
    start = (ground.points if circuit.kind == "power" else ground.devices)[circuit.source]
    ends = [ground.devices[device.id] for device in devices]
    kind = "power" if circuit.kind == "power" else "low"
    is_bare = circuit.conduit == "none"
    legs = _legs(ground, circuit.id, kind, circuit.topology, (start, ends), is_bare=is_bare)
    if not legs:
        return None
    near = [device for device in devices if device.id in _reached(legs)]
    if circuit.kind == "lighting":
        fixtures = [f for f in near if isinstance(f, Fixture)]
        source = transformers[circuit.source]
        taps = [tap.voltage_v for tap in source.taps]
        return light(circuit, source.output_v, fixtures, legs, ground.site, taps)
    if circuit.kind == "sound":
        return sound(circuit, [s for s in near if isinstance(s, Speaker)], legs, ground.site)
    draws = [Draw(o.id, o.load_w, o.is_continuous) for o in near if isinstance(o, Outlet)]
    return power(circuit.id, circuit.cable, points[circuit.source], draws, legs, ground.site)


def lay_feeds(ground: Ground, fed: Sequence[tuple[str, str]]) -> None:
    """Lay the line-voltage runs to transformers and amplifiers, before what must keep away from them.

    Parameters
    ----------
    ground : Ground
        The site; takes the ways and the findings.
    fed : sequence of (str, str)
        What is fed, and its power point.

    References
    ----------
    Definition.
    """
    points = {point.id for point in ground.job.survey.power_points}
    for name, fed_from in fed:
        if fed_from in points:
            ends = (ground.points[fed_from], [ground.feeds[name]])
            ground.feed_legs[name] = _legs(ground, name, "power", "chain", ends)


def wire_feed(ground: Ground, name: str, fed_from: str, power_w: float) -> Wired | None:
    """Give the line-voltage run to a transformer or amplifier; its load counts as continuous.

    Parameters
    ----------
    ground : Ground
        The site, with the feeds laid; takes the findings.
    name : str
        What is fed.
    fed_from : str
        Power point.
    power_w : float
        Its rating. [W]

    Returns
    -------
    wired : Wired or None
        None when it cannot be reached.

    References
    ----------
    NFPA 70 (NEC) 210.19(A) for the continuous load.
    """
    point = next((p for p in ground.job.survey.power_points if p.id == fed_from), None)
    if point is None:
        _no_source(ground, name, "a power point", fed_from)
        return None
    legs = ground.feed_legs[name]
    if not legs:
        return None
    if not any(cable.use == "power" for cable in ground.site.cables):
        return _on_its_cord(ground, name, fed_from, legs)
    wired = power(name, None, point, [Draw(name, power_w, is_continuous=True)], legs, ground.site)
    return Wired(wired.runs, wired.turned_paths, None, wired.findings)


def _on_its_cord(ground: Ground, name: str, fed_from: str, legs: Sequence[Leg]) -> Wired:
    """Give the way of a feed when no line-voltage cable is among the choices, and ask about it."""
    runs = runs_of(name, "power", legs, ground.site.slack_mm, "", "", ground.site)
    length = Spoken(ground.job.units).way(sum(run.length_mm for run in runs))
    text = (
        f"{name} stands {length} of way from {fed_from} and no cable for power is listed: either its own "
        "cord reaches, or list a cable. A licensed electrician and the local code decide."
    )
    found = Finding("roughin.feed-cord", "check", name, text, source="common practice, no source")
    return Wired(runs, tuple(leg.turned_mm for leg in legs), None, (found,))


def lay_gas(ground: Ground) -> tuple[tuple[Wired, ...], tuple[GasReading, ...]]:
    """Give the pipe and the size of every gas stub.

    Parameters
    ----------
    ground : Ground
        The site; takes the findings.

    Returns
    -------
    wired : tuple of Wired
        One pipe for each stub that is reached.
    readings : tuple of GasReading

    References
    ----------
    IFGC 402.4.1 / NFPA 54 chapter 6, from memory.
    """
    found: dict[str, tuple[Leg, ...]] = {}
    points = {point.id: point for point in ground.job.survey.gas_points}
    stubs = ground.job.plan.gas_stubs
    for stub in stubs:
        if stub.source not in points:
            _no_source(ground, stub.id, "a gas point", stub.source)
            continue
        ends = (ground.points[stub.source], [ground.devices[stub.id]])
        legs = _legs(ground, stub.id, "gas", "chain", ends)
        if legs:
            found[stub.id] = legs
    readings: dict[str, GasReading] = {}
    for point in points.values():
        pipes = tuple(
            Pipe(stub, sum(run_length_mm(leg, 0.0) for leg in found[stub.id]))
            for stub in stubs
            if stub.id in found and stub.source == point.id
        )
        if pipes:
            sized, findings = size_stubs(point, pipes, ground.job.units)
            readings |= {reading.stub: reading for reading in sized}
            ground.findings += findings
    wired = tuple(
        Wired(
            runs=runs_of(name, "gas", legs, 0.0, "", readings[name].size, ground.site),
            turned_paths=tuple(leg.turned_mm for leg in legs),
            reading=None,
            findings=(),
        )
        for name, legs in found.items()
    )
    return wired, tuple(readings[name] for name in found)
