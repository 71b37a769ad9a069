"""Low-voltage lighting: the smallest cable that keeps every fixture inside its window."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.job.choices import Cable
from app.job.findings import Finding
from app.job.plan import Circuit, Fixture
from app.tables.conductors import resistance_ohm_km
from app.takeoff.roughin.cables import Hidden, Wired, cables_to_try, runs_of, segments_of
from app.takeoff.roughin.legs import Leg
from app.takeoff.roughin.records import CircuitReading, DeviceReading
from app.takeoff.roughin.voltages import Load, Solved, solve_network

WINDOW_V = 1e-9  # rounding at the edge of a window
MOST_SECONDARY_A = 25.0
NEC_TABLE_11A = "NFPA 70 (NEC) 2020, Chapter 9 Table 11(A), from memory"
NEC_411 = "NFPA 70 (NEC) Article 411, older wording"
WET_CLASS_2_V = 15.0
MOST_SYSTEM_V = 30.0


@dataclass(frozen=True, slots=True)
class _Wires:
    """One circuit before its cable is known."""

    circuit: Circuit
    source_v: float
    nominal_v: float
    fixtures: tuple[Fixture, ...]
    legs: tuple[Leg, ...]
    slack_mm: float

    def solved(self, conductor_ohm_km: float) -> Solved | None:
        """Give the voltages with a conductor of some resistance."""
        segments = segments_of(self.legs, self.slack_mm, conductor_ohm_km)
        loads = [Load(f.id, f.power_w, self.nominal_v, f.load_kind) for f in self.fixtures]
        return solve_network(self.circuit.source, self.source_v, segments, loads)

    def lowest(self, solved: Solved) -> Fixture:
        """Give the fixture with least to spare above the foot of its window."""
        return min(self.fixtures, key=lambda f: (round(solved.voltage_v[f.id] - f.least_v, 9), f.id))

    def highest(self, solved: Solved) -> Fixture:
        """Give the fixture with least to spare below the top of its window."""
        return min(self.fixtures, key=lambda f: (round(f.greatest_v - solved.voltage_v[f.id], 9), f.id))

    def is_high_enough(self, solved: Solved | None) -> bool:
        """Say whether no fixture falls below its window."""
        if solved is None:
            return False
        low = self.lowest(solved)
        return solved.voltage_v[low.id] >= low.least_v - WINDOW_V

    def is_low_enough(self, solved: Solved) -> bool:
        """Say whether no fixture rises above its window."""
        high = self.highest(solved)
        return solved.voltage_v[high.id] <= high.greatest_v + WINDOW_V


def class_2_limit_a(source_v: float) -> float | None:
    """Give the overcurrent figure of a Class 2 source that is not inherently limited.

    Parameters
    ----------
    source_v : float
        Alternating voltage of the circuit. [V]

    Returns
    -------
    limit_a : float or None
        None above 30 V, where there is no such figure. [A]

    Notes
    -----
    Up to 20 V: 5.0 A (60 VA at 12 V); 20 to 30 V: 100 VA.

    Examples
    --------
    >>> class_2_limit_a(12.0)
    5.0
    >>> class_2_limit_a(24.0)
    4.1667

    References
    ----------
    NFPA 70 (NEC) Chapter 9 Table 11(A), from memory.
    """
    if source_v <= 20.0:
        return 5.0
    return 100.0 / source_v if source_v <= 30.0 else None


def _source_findings(circuit: str, source_v: float, current_a: float) -> list[Finding]:
    """Give what the low-voltage articles ask about one circuit."""
    found = []
    limit = class_2_limit_a(source_v)
    if limit is not None and current_a > limit + 1e-9:
        text = (
            f"{circuit} draws {current_a:.2f} A ({current_a * source_v:.1f} VA) at {source_v:g} V, over the "
            f"Class 2 figure of {limit:.2f} A ({limit * source_v:.0f} VA). Split it, or have a licensed "
            "electrician confirm a listed low-voltage lighting system."
        )
        found.append(Finding("roughin.class-2", "check", circuit, text, current_a, limit, "A", NEC_TABLE_11A))
    if current_a > MOST_SECONDARY_A:
        text = (
            f"{circuit} draws {current_a:.1f} A; a low-voltage secondary is held to {MOST_SECONDARY_A:g} A."
        )
        found.append(
            Finding("roughin.secondary", "check", circuit, text, current_a, MOST_SECONDARY_A, "A", NEC_411)
        )
    if source_v > MOST_SYSTEM_V:
        text = (
            f"{circuit} runs at {source_v:g} V; low-voltage lighting is held to {MOST_SYSTEM_V:g} V (60 V "
            "steady "
            "direct current in later editions). A licensed electrician and the local code decide."
        )
        found.append(
            Finding("roughin.system-voltage", "check", circuit, text, source_v, MOST_SYSTEM_V, "V", NEC_411)
        )
    if source_v > WET_CLASS_2_V:
        text = (
            f"{circuit} runs at {source_v:g} V outdoors. Where wet contact is likely, Class 2 alternating "
            f"voltage is held to {WET_CLASS_2_V:g} V (30 V steady direct current): a licensed electrician "
            "and the local code decide."
        )
        source = (
            "NFPA 70 (NEC) 2005 Chapter 9, notes 2 and 4 to Tables 11(A) and (B); current edition from memory"
        )
        found.append(
            Finding("roughin.wet-voltage", "check", circuit, text, source_v, WET_CLASS_2_V, "V", source)
        )
    return found


def _most_ohm_km(wires: _Wires, upper_ohm_km: float) -> float | None:
    """Give the greatest conductor resistance that keeps every fixture up, by halving."""
    if not wires.is_high_enough(wires.solved(0.0)):
        return None
    low, high = 0.0, upper_ohm_km
    for _ in range(40):
        middle = (low + high) / 2
        if wires.is_high_enough(wires.solved(middle)):
            low = middle
        else:
            high = middle
    return low


def _low_finding(wires: _Wires, cable: Cable, ohm_km: float, solved: Solved | None) -> Finding:
    """Say what the circuit would need, and that the largest cable does not give it."""
    name = wires.circuit.id
    most = _most_ohm_km(wires, ohm_km)
    need = (
        f"it would need a conductor of {most:.2f} ohm/km or less, {cable.size} has {ohm_km:.2f}"
        if most is not None
        else f"no cable helps, the source gives only {wires.source_v:g} V"
    )
    which = "the cable asked for" if wires.circuit.cable else "the largest cable listed"
    if solved is None:
        text = f"{name} has no solution on {which}, {cable.size}: the load pulls the voltage down; {need}."
        return Finding("roughin.no-solution", "stop", name, text, ohm_km, most, "ohm/km", "Kirchhoff's laws")
    low = wires.lowest(solved)
    at = solved.voltage_v[low.id]
    text = (
        f"{low.id} on {name} gets {at:.2f} V and needs {low.least_v:g} V, with {which}, {cable.size}; "
        f"{need}. "
        "Shorten the home run, split the circuit or raise the source voltage."
    )
    place = (low.x_mm, low.y_mm)
    return Finding(
        "roughin.voltage-low", "stop", low.id, text, at, low.least_v, "V", "the fixture's own window", place
    )


def _high_finding(wires: _Wires, cable: Cable, solved: Solved) -> Finding:
    """Say which fixture gets too much."""
    high = wires.highest(solved)
    at = solved.voltage_v[high.id]
    text = (
        f"{high.id} on {wires.circuit.id} gets {at:.2f} V on {cable.size} and stands at most "
        f"{high.greatest_v:g} V: use a lower source voltage or feed it farther down the run."
    )
    place = (high.x_mm, high.y_mm)
    return Finding(
        "roughin.voltage-high",
        "stop",
        high.id,
        text,
        at,
        high.greatest_v,
        "V",
        "the fixture's own window",
        place,
    )


def _chosen(wires: _Wires, tried: Sequence[Cable]) -> tuple[Cable, Solved | None, list[Finding]]:
    """Give the smallest cable that keeps every fixture inside its window, else the largest with a stop."""
    kept: tuple[Cable, Solved] | None = None
    for cable in tried:
        solved = wires.solved(resistance_ohm_km(cable.size, cable.conductor_c))
        if solved is None or not wires.is_high_enough(solved):
            continue
        if wires.is_low_enough(solved):
            return cable, solved, []
        kept = kept or (cable, solved)
    if kept is not None:
        return kept[0], kept[1], [_high_finding(wires, *kept)]
    largest = tried[-1]
    ohm_km = resistance_ohm_km(largest.size, largest.conductor_c)
    solved = wires.solved(ohm_km)
    return largest, solved, [_low_finding(wires, largest, ohm_km, solved)]


def _reading(wires: _Wires, cable: Cable, solved: Solved) -> CircuitReading:
    """Give the solved circuit as a record."""
    devices = tuple(
        DeviceReading(
            device=f.id,
            circuit=wires.circuit.id,
            voltage_v=solved.voltage_v[f.id],
            current_a=solved.current_a[f.id],
            is_inside=f.least_v - WINDOW_V <= solved.voltage_v[f.id] <= f.greatest_v + WINDOW_V,
        )
        for f in wires.fixtures
    )
    return CircuitReading(
        circuit=wires.circuit.id,
        kind="lighting",
        cable=cable.id,
        load_w=sum(f.power_w for f in wires.fixtures),
        current_a=solved.source_a,
        worst_drop_pct=max(100 * (1 - d.voltage_v / wires.source_v) for d in devices),
        devices=devices,
        source_v=wires.source_v,
    )


def _tapped(
    wires: _Wires, tried: Sequence[Cable], taps_v: Sequence[float]
) -> tuple[_Wires, Cable, Solved | None, list[Finding]]:
    """Give the first voltage that holds the windows: the output, then the taps, lowest first."""
    cable, solved, found = _chosen(wires, tried)
    if not any(finding.code in ("roughin.voltage-low", "roughin.no-solution") for finding in found):
        return wires, cable, solved, found
    for tap in sorted(tap for tap in taps_v if tap > wires.source_v):
        raised = replace(wires, source_v=tap)
        kept, at, faults = _chosen(raised, tried)
        if not faults:
            text = (
                f"{wires.circuit.id} needs the {tap:g} V tap of its transformer: at {wires.source_v:g} V "
                f"no cable listed holds its fixtures up. It runs on {kept.size}."
            )
            place = wires.circuit.id
            source = "the fixtures' own windows"
            note = Finding("roughin.tap", "note", place, text, tap, wires.source_v, "V", source)
            return raised, kept, at, [note]
    return wires, cable, solved, found


def light(
    circuit: Circuit,
    source_v: float,
    fixtures: Sequence[Fixture],
    legs: Sequence[Leg],
    site: Hidden,
    taps_v: Sequence[float] = (),
) -> Wired:
    """Give one lighting circuit with its cable and the voltage at every fixture.

    Parameters
    ----------
    circuit : Circuit
        As drawn; a typed cable is kept and judged.
    source_v : float
        Voltage of its transformer. [V]
    fixtures : sequence of Fixture
        Those that the legs reach.
    legs : sequence of Leg
        From the transformer outward.
    site : Hidden
        Cables to be had, slack, sticks.
    taps_v : sequence of float
        Other voltages of the transformer; the lowest that helps is taken when no cable does. [V]

    Returns
    -------
    wired : Wired
        With the largest cable and a stop when none holds the windows.

    Notes
    -----
    A fixture's nominal current is its power over the transformer's output, whatever the tap; conductors
    are taken at the temperature each cable names.

    References
    ----------
    Kirchhoff's laws; windows from each fixture's data sheet.
    """
    tried, missing = cables_to_try(site.cables, "lighting", circuit.cable, circuit.id)
    paths = tuple(leg.turned_mm for leg in legs)
    if not tried:
        return Wired(runs_of(circuit.id, "lighting", legs, site.slack_mm, "", "", site), paths, None, missing)
    wires = _Wires(circuit, source_v, source_v, tuple(fixtures), tuple(legs), site.slack_mm)
    wires, cable, solved, found = _tapped(wires, tried, taps_v)
    runs = runs_of(circuit.id, "lighting", legs, site.slack_mm, cable.id, cable.size, site)
    if solved is None:
        return Wired(runs, paths, None, tuple(found))
    found += _source_findings(circuit.id, wires.source_v, solved.source_a)
    return Wired(runs, paths, _reading(wires, cable, solved), tuple(found))
