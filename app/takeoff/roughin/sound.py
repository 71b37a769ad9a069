"""Sound: what the speaker cable loses, and what the amplifier is asked for."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.job.choices import Cable
from app.job.findings import Finding
from app.job.plan import Amplifier, Circuit, Speaker
from app.tables.conductors import resistance_ohm_km
from app.takeoff.roughin.cables import REFERENCE_C, Hidden, Wired, cables_to_try, runs_of, segments_of
from app.takeoff.roughin.legs import Leg
from app.takeoff.roughin.records import CircuitReading, DeviceReading
from app.takeoff.roughin.voltages import Load, Solved, solve_network

USUAL_LOSS_DB = 0.5  # common practice, no source
LEAST_IMPEDANCE_OHM = 4.0  # common practice, no source


@dataclass(frozen=True, slots=True)
class _Tried:
    """One cable held against a sound circuit."""

    cable: Cable
    solved: Solved
    loss_db: float


def wire_loss_db(resistance_ohm: float, impedance_ohm: float) -> float:
    """Give what a cable takes from one speaker.

    Parameters
    ----------
    resistance_ohm : float
        Both conductors. [ohm]
    impedance_ohm : float
        Of the speaker. [ohm]

    Returns
    -------
    loss_db : float
        [dB]

    Notes
    -----
    20 log10(1 + R / Z); conductors at 20 °C.

    Examples
    --------
    >>> wire_loss_db(0.82070, 8.0)
    0.8483

    References
    ----------
    Voltage divider; definition of the decibel.
    """
    return 20 * math.log10(1 + resistance_ohm / impedance_ohm)


def parallel_ohm(speakers: Sequence[Speaker]) -> float:
    """Give the impedance of speakers side by side.

    Parameters
    ----------
    speakers : sequence of Speaker
        On one circuit.

    Returns
    -------
    impedance_ohm : float
        [ohm]

    References
    ----------
    Ohm's law.
    """
    return 1 / sum(1 / speaker.impedance_ohm for speaker in speakers)


def _tried(
    cable: Cable,
    circuit: Circuit,
    source_v: float,
    speakers: Sequence[Speaker],
    legs: Sequence[Leg],
    slack_mm: float,
) -> _Tried:
    """Give what one cable takes from the worst speaker; speakers are resistances here."""
    segments = segments_of(legs, slack_mm, resistance_ohm_km(cable.size, REFERENCE_C))
    loads = [Load(s.id, source_v**2 / s.impedance_ohm, source_v, "constant resistance") for s in speakers]
    solved = solve_network(circuit.source, source_v, segments, loads)
    assert solved is not None  # resistances alone always have a solution
    lowest = min(solved.voltage_v[s.id] for s in speakers)
    return _Tried(cable, solved, 20 * math.log10(source_v / lowest))


def _judged(name: str, kept: _Tried, speakers: Sequence[Speaker]) -> list[Finding]:
    """Say where cable or impedance fall short."""
    found = []
    source = "common practice, no source"
    if kept.loss_db > USUAL_LOSS_DB + 1e-9:
        text = (
            f"{name} loses {kept.loss_db:.2f} dB to the far speaker on {kept.cable.size} at 20 °C; "
            f"{USUAL_LOSS_DB} dB is usual. A thicker cable or a shorter run would do."
        )
        found.append(
            Finding("roughin.speaker-loss", "note", name, text, kept.loss_db, USUAL_LOSS_DB, "dB", source)
        )
    together = parallel_ohm(speakers)
    if together < LEAST_IMPEDANCE_OHM - 1e-9:
        text = (
            f"Speakers on {name} make {together:.1f} ohm together; most amplifiers want "
            f"{LEAST_IMPEDANCE_OHM:g} ohm or more. Use a second channel or ask the amplifier's maker."
        )
        found.append(
            Finding(
                "roughin.speaker-impedance", "check", name, text, together, LEAST_IMPEDANCE_OHM, "ohm", source
            )
        )
    return found


def sound(circuit: Circuit, speakers: Sequence[Speaker], legs: Sequence[Leg], site: Hidden) -> Wired:
    """Give one sound circuit with its cable and what reaches every speaker.

    Parameters
    ----------
    circuit : Circuit
        As drawn; a typed cable is kept and judged.
    speakers : sequence of Speaker
        Those that the legs reach.
    legs : sequence of Leg
        From the amplifier outward.
    site : Hidden
        Cables to be had, slack, sticks.

    Returns
    -------
    wired : Wired
        The smallest cable that loses at most 0.5 dB, else the largest with a note.

    Notes
    -----
    Amplifier voltage: what the most demanding speaker needs for its power, √(P Z). Conductors at 20 °C.

    References
    ----------
    Kirchhoff's laws; 0.5 dB is common practice, no source.
    """
    tried, missing = cables_to_try(site.cables, "sound", circuit.cable, circuit.id)
    paths = tuple(leg.turned_mm for leg in legs)
    if not tried:
        return Wired(runs_of(circuit.id, "sound", legs, site.slack_mm, "", "", site), paths, None, missing)
    # A speaker of no power still has a place; one volt then stands for any.
    source_v = max(math.sqrt(s.power_w * s.impedance_ohm) for s in speakers) or 1.0
    results = [_tried(cable, circuit, source_v, speakers, legs, site.slack_mm) for cable in tried]
    kept = next((r for r in results if r.loss_db <= USUAL_LOSS_DB + 1e-9), results[-1])
    at, drawn = kept.solved.voltage_v, kept.solved.current_a
    devices = tuple(
        DeviceReading(
            device=s.id,
            circuit=circuit.id,
            voltage_v=at[s.id],
            current_a=drawn[s.id],
            is_inside=20 * math.log10(source_v / at[s.id]) <= USUAL_LOSS_DB + 1e-9,
        )
        for s in speakers
    )
    reading = CircuitReading(
        circuit=circuit.id,
        kind="sound",
        cable=kept.cable.id,
        load_w=sum(s.power_w for s in speakers),
        current_a=kept.solved.source_a,
        worst_drop_pct=max(100 * (1 - d.voltage_v / source_v) for d in devices),
        devices=devices,
    )
    runs = runs_of(circuit.id, "sound", legs, site.slack_mm, kept.cable.id, kept.cable.size, site)
    return Wired(runs, paths, reading, tuple(_judged(circuit.id, kept, speakers)))


def amplifier_power(amplifier: Amplifier, speakers: Sequence[Speaker]) -> tuple[Finding, ...]:
    """Hold the speakers' power against the amplifier's.

    Parameters
    ----------
    amplifier : Amplifier
        As drawn.
    speakers : sequence of Speaker
        All on it.

    Returns
    -------
    findings : tuple of Finding
        A note when the speakers take more than it gives.

    References
    ----------
    Common practice, no source.
    """
    wanted = sum(speaker.power_w for speaker in speakers)
    if wanted <= amplifier.power_w:
        return ()
    text = (
        f"Speakers on {amplifier.id} take {wanted:g} W together; it gives {amplifier.power_w:g} W, so they "
        "will "
        "not reach their full level."
    )
    source = "common practice, no source"
    return (
        Finding(
            "roughin.amplifier-power", "note", amplifier.id, text, wanted, amplifier.power_w, "W", source
        ),
    )
