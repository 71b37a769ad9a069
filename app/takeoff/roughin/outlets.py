"""Line voltage: circuit load, cable and drop, as a route for a licensed electrician to judge."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.job.choices import Cable
from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import Outlet
from app.job.spoken import Spoken
from app.job.survey import PowerPoint
from app.tables.conductors import resistance_ohm_km
from app.takeoff.roughin.cables import Hidden, Wired, cables_to_try, runs_of, segments_of
from app.takeoff.roughin.legs import Leg
from app.takeoff.roughin.records import CircuitReading, DeviceReading
from app.takeoff.roughin.voltages import Load, Solved, solve_network

USUAL_DROP_PCT = 3.0
HIGHEST_OUTLET_MM = 1981.2  # 6.5 ft
CONTINUOUS_FACTOR = 1.25
DROP_SOURCE = "NFPA 70 (NEC) 2020, 210.19, note; IEC 60364-5-52:2009, Annex G; both inform only, from memory"
CONTINUOUS_SOURCE = "NFPA 70 (NEC) 210.19(A) and 210.20(A)"
# What a circuit on such a cable is usually protected at. AWG: NEC 240.4(D), metric: common for IEC
# 60364-5-52; both from memory. 18 and 16 AWG are not for branch circuits.
PROTECTED_A = {
    "18 AWG": 0.0,
    "16 AWG": 0.0,
    "14 AWG": 15.0,
    "12 AWG": 20.0,
    "10 AWG": 30.0,
    "8 AWG": 40.0,
    "1.5 mm2": 16.0,
    "2.5 mm2": 20.0,
    "4 mm2": 25.0,
    "6 mm2": 32.0,
}
PROTECTED_SOURCE = "NFPA 70 (NEC) 2020, 240.4(D), and common IEC practice, from memory"


@dataclass(frozen=True, slots=True)
class Draw:
    """One thing on a line-voltage run.

    Attributes
    ----------
    id : str
    power_w : float
        [W]
    is_continuous : bool
        Three hours or more at a time.
    """

    id: str
    power_w: float
    is_continuous: bool


@dataclass(frozen=True, slots=True)
class _Tried:
    """One cable held against a circuit."""

    cable: Cable
    solved: Solved
    drop_pct: float
    limit_a: float


def design_current_a(draws: Sequence[Draw], supply_v: float) -> float:
    """Give the current that conductor and protection are chosen for.

    Parameters
    ----------
    draws : sequence of Draw
        All on the circuit.
    supply_v : float
        Voltage of the supply. [V]

    Returns
    -------
    current_a : float
        [A]

    Notes
    -----
    (other + 1.25 continuous) / supply voltage, power factor 1.

    Examples
    --------
    >>> design_current_a([Draw("a", 1200.0, True), Draw("b", 180.0, False)], 120.0)
    14.0

    References
    ----------
    NFPA 70 (NEC) 210.19(A) and 210.20(A).
    """
    return sum(d.power_w * (CONTINUOUS_FACTOR if d.is_continuous else 1.0) for d in draws) / supply_v


def _try(
    cable: Cable, point: PowerPoint, draws: Sequence[Draw], legs: Sequence[Leg], slack_mm: float
) -> _Tried:
    """Give what one cable does on a circuit, each load at its nominal current."""
    segments = segments_of(legs, slack_mm, resistance_ohm_km(cable.size, cable.conductor_c))
    loads = [Load(d.id, d.power_w, point.supply_v, "constant current") for d in draws]
    solved = solve_network(point.id, point.supply_v, segments, loads)
    if solved is None:  # more than the whole supply voltage would be lost on the way
        full = {d.id: 0.0 for d in draws} | {point.id: point.supply_v}
        drawn = {d.id: d.power_w / point.supply_v for d in draws}
        solved = Solved(full, drawn, (), sum(drawn.values()))
    lowest = min(solved.voltage_v[d.id] for d in draws)
    return _Tried(cable, solved, 100 * (1 - lowest / point.supply_v), PROTECTED_A[cable.size])


def _judged(name: str, kept: _Tried, design_a: float, is_typed: bool) -> list[Finding]:
    """Say where the cable kept falls short."""
    found = []
    which = "the cable asked for" if is_typed else "the largest cable listed"
    if design_a > kept.limit_a + 1e-9:
        text = (
            f"{name} is to be sized for {design_a:.1f} A (continuous load counted 1.25 times); {which}, "
            f"{kept.cable.size}, is usually protected at {kept.limit_a:g} A. Split the circuit or list a "
            "larger "
            "cable; a licensed electrician decides."
        )
        found.append(
            Finding("roughin.circuit-load", "stop", name, text, design_a, kept.limit_a, "A", PROTECTED_SOURCE)
        )
    if kept.drop_pct > USUAL_DROP_PCT + 1e-9:
        text = (
            f"{name} loses {kept.drop_pct:.1f} % on the way with {kept.cable.size}; {USUAL_DROP_PCT:g} % "
            "is the "
            "usual figure for a branch circuit, informational and not mandatory."
        )
        found.append(
            Finding(
                "roughin.voltage-drop", "note", name, text, kept.drop_pct, USUAL_DROP_PCT, "%", DROP_SOURCE
            )
        )
    return found


def power(
    name: str, typed: str | None, point: PowerPoint, draws: Sequence[Draw], legs: Sequence[Leg], site: Hidden
) -> Wired:
    """Give one line-voltage circuit or feed with its cable and the drop at every outlet.

    Parameters
    ----------
    name : str
        Circuit, or what is fed.
    typed : str or None
        Cable asked for; kept and judged.
    point : PowerPoint
        Where it starts.
    draws : sequence of Draw
        What hangs on it and is reached.
    legs : sequence of Leg
        From the power point outward.
    site : Hidden
        Cables to be had, slack, sticks.

    Returns
    -------
    wired : Wired
        The smallest cable usually protected high enough and within the usual drop; else the largest,
        with the finding.

    Notes
    -----
    A planning figure: ambient heat on a roof, grouping, terminals and the breaker are not looked at.

    References
    ----------
    NFPA 70 (NEC) 210.19, 210.20, 240.4(D), from memory where not marked.
    """
    tried, missing = cables_to_try(site.cables, "power", typed, name)
    paths = tuple(leg.turned_mm for leg in legs)
    if not tried:
        return Wired(runs_of(name, "power", legs, site.slack_mm, "", "", site), paths, None, missing)
    design = design_current_a(draws, point.supply_v)
    results = [_try(cable, point, draws, legs, site.slack_mm) for cable in tried]
    strong = [r for r in results if r.limit_a >= design - 1e-9]
    kept = next((r for r in strong if r.drop_pct <= USUAL_DROP_PCT + 1e-9), (strong or results)[-1])
    devices = tuple(
        DeviceReading(
            device=d.id,
            circuit=name,
            voltage_v=kept.solved.voltage_v[d.id],
            current_a=kept.solved.current_a[d.id],
            is_inside=100 * (1 - kept.solved.voltage_v[d.id] / point.supply_v) <= USUAL_DROP_PCT + 1e-9,
        )
        for d in draws
    )
    reading = CircuitReading(
        circuit=name,
        kind="power",
        cable=kept.cable.id,
        load_w=sum(d.power_w for d in draws),
        current_a=kept.solved.source_a,
        worst_drop_pct=kept.drop_pct,
        devices=devices,
    )
    runs = runs_of(name, "power", legs, site.slack_mm, kept.cable.id, kept.cable.size, site)
    return Wired(runs, paths, reading, tuple(_judged(name, kept, design, typed is not None)))


def outlet_cautions(name: str) -> tuple[Finding, ...]:
    """Give what every outdoor outlet circuit must be asked.

    Parameters
    ----------
    name : str
        The circuit.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    NFPA 70 (NEC) 210.8(A)(3), 406.9(B)(1), from memory; IEC 60364-4-41 411.3.3, from memory.
    """
    protection = (
        f"Outlets of circuit {name} stand outdoors: ground-fault protection is usually required (GFCI, or "
        "an RCD "
        "of at "
        "most 30 mA). A licensed electrician and the local code decide."
    )
    cover = (
        f"Outlets of circuit {name} stand in the wet: they need a cover that stays weatherproof with a "
        "plug in "
        "(in-use "
        "cover) and weather-resistant devices. A licensed electrician and the local code decide."
    )
    gfci_source = "NFPA 70 (NEC) 2020, 210.8(A)(3); IEC 60364-4-41:2005, 411.3.3; from memory"
    cover_source = "NFPA 70 (NEC) 2020, 406.9(B)(1), from memory"
    return (
        Finding("roughin.ground-fault", "check", name, protection, source=gfci_source),
        Finding("roughin.in-use-cover", "check", name, cover, source=cover_source),
    )


def outlet_heights(outlets: Sequence[Outlet], units: str = "metric") -> tuple[Finding, ...]:
    """Say which outlets stand higher than one may count for the deck.

    Parameters
    ----------
    outlets : sequence of Outlet
        All of the plan.
    units : str
        In which findings are written: ``imperial`` or ``metric``.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    NFPA 70 (NEC) 210.52(E)(3), secondary page.
    """
    source = "NFPA 70 (NEC) 210.52(E)(3), secondary page"
    spoken = Spoken(units)
    return tuple(
        Finding(
            "roughin.outlet-height",
            "check",
            outlet.id,
            f"{outlet.id} stands {spoken.length(outlet.z_mm)} above the deck; an outlet asked for on a "
            f"deck or balcony stands at most {spoken.length(HIGHEST_OUTLET_MM)} above it. A licensed "
            "electrician decides.",
            outlet.z_mm,
            HIGHEST_OUTLET_MM,
            "mm",
            source,
            (outlet.x_mm, outlet.y_mm),
        )
        for outlet in outlets
        if outlet.z_mm > HIGHEST_OUTLET_MM
    )


def ways_taken(job: Job, point: str) -> int:
    """Give how many ways of a power point the plan takes.

    Parameters
    ----------
    job : Job
        With its plan.
    point : str
        Id of the power point.

    Returns
    -------
    ways : int
        One for each line-voltage circuit with outlets; all transformers and amplifiers together one.

    References
    ----------
    Common practice, no source.
    """
    plan = job.plan
    used = {outlet.circuit for outlet in plan.outlets}
    circuits = sum(c.kind == "power" and c.source == point and c.id in used for c in plan.circuits)
    fed = {t.fed_from for t in plan.transformers} | {a.fed_from for a in plan.amplifiers}
    return circuits + (point in fed)


def spare_ways(point: PowerPoint, needed: int) -> tuple[Finding, ...]:
    """Hold the ways needed at one power point against those that are free.

    Parameters
    ----------
    point : PowerPoint
        As surveyed.
    needed : int
        From `ways_taken`.

    Returns
    -------
    findings : tuple of Finding
        Empty when there are enough.

    References
    ----------
    Common practice, no source.
    """
    if needed <= point.spare_ways:
        return ()
    ways = "one way" if needed == 1 else f"{needed} ways"
    spare = "one spare way" if point.spare_ways == 1 else f"{point.spare_ways} spare ways"
    text = (
        f"{point.id} has {spare}; this plan takes {ways} (each circuit one, all "
        "transformers and amplifiers together one). A licensed electrician must say how they are fed."
    )
    source = "common practice, no source"
    return (
        Finding(
            "roughin.spare-ways",
            "check",
            point.id,
            text,
            float(needed),
            float(point.spare_ways),
            "ways",
            source,
            (point.x_mm, point.y_mm),
        ),
    )
