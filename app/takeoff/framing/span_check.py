"""Screens the sleepers between their pads. It warns; it never says that anything holds.

Simple spans for bending and deflection, 5/8 of a span for shear and 5/4 for pads: what the worst pattern of
load asks of equal spans, or more.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from app.job.choices import Limits, Pad, Section
from app.job.survey import Membrane
from app.tables.lumber import factors
from app.takeoff.framing.bearing import LEAST_SHARE, AsLaid, contact_mm2, spread_mm2
from app.takeoff.framing.records import SpanCheck
from app.takeoff.framing.spans import (
    N_PER_KN_MM2_PER_KPA,
    bending_span_mm,
    deflection_span_mm,
    pad_span_mm,
    shear_span_mm,
)
from app.takeoff.framing.standing_loads import KN_PER_KG, DeckLoad
from app.takeoff.framing.strength import Member

Criterion = Literal["bending", "shear", "deflection", "pad", "insulation"]


@dataclass(frozen=True, slots=True)
class Case:
    """One load on a sleeper, per length.

    Attributes
    ----------
    place : str
        Where it acts.
    total_kn_m, live_kn_m : float
        Whole load and its live part. [kN/m]
    duration : float
        Load duration factor on bending and shear.
    """

    place: str
    total_kn_m: float
    live_kn_m: float
    duration: float


@dataclass(frozen=True, slots=True)
class Screen:
    """What one field's sleepers are screened with.

    Attributes
    ----------
    member : Member
    pad : Pad
    limits : Limits
    membrane : Membrane
    as_laid : AsLaid
    """

    member: Member
    pad: Pad
    limits: Limits
    membrane: Membrane
    as_laid: AsLaid

    @property
    def share(self) -> float:
        """Give the share of load × span that a pad takes."""
        return max(LEAST_SHARE, self.as_laid.share)

    @property
    def pad_limit_kpa(self) -> float:
        """Give the pressure a pad may bear for years, or the timber's side if that is less. [kPa]."""
        foam_kpa = self.pad.limit_kpa * self.pad.long_term_fraction
        return min(foam_kpa, self.member.bearing_mpa / N_PER_KN_MM2_PER_KPA)


def cases_of(loads: Sequence[DeckLoad], tributary_mm: float, section: Section) -> tuple[Case, ...]:
    """Give the load cases of one field's sleepers.

    Parameters
    ----------
    loads : sequence of DeckLoad
        Place by place.
    tributary_mm : float
        Width of deck that one sleeper carries. [mm]
    section : Section
        For its own weight.

    Returns
    -------
    cases : tuple of Case
        Dead with live load (ten years) and dead load alone (permanent), for every place.

    Notes
    -----
    1 kPa over 1 m is 1 kN/m.

    References
    ----------
    NDS 2018 Table 2.3.2.
    """
    duration = factors().duration
    found = []
    for load in loads:
        dead_kn_m = load.dead_kpa * tributary_mm / 1000 + section.mass_kg_m * KN_PER_KG
        live_kn_m = load.live_kpa * tributary_mm / 1000
        found.append(Case(load.place, dead_kn_m, 0.0, duration["permanent"]))
        if live_kn_m > 0:
            found.append(Case(load.place, dead_kn_m + live_kn_m, live_kn_m, duration["ten years"]))
    return tuple(found)


def allowed_spans_mm(screen: Screen, case: Case) -> dict[Criterion, float]:
    """Give the longest pad spacing each criterion accepts under one load.

    Parameters
    ----------
    screen : Screen
        Timber, pad and limits.
    case : Case
        The load.

    Returns
    -------
    spans_mm : dict of str to float
        Insulation is left out when nobody gave its limit. [mm]

    References
    ----------
    AWC span method; 5/8 and 5/4 of a two-span beam; ASTM C578 with the pad's long-term fraction.
    """
    member = screen.member
    found: dict[Criterion, float] = {
        "bending": bending_span_mm(member.bending_mpa * case.duration, member.modulus_mm3, case.total_kn_m),
        "shear": shear_span_mm(
            member.shear_mpa * case.duration, member.width_mm * member.depth_mm, case.total_kn_m
        ),
        "deflection": deflection_span_mm(
            member.elastic_mpa, member.inertia_mm4, case.live_kn_m, screen.limits.deflection_ratio
        ),
        "pad": pad_span_mm(
            screen.pad_limit_kpa, contact_mm2(screen.pad, member.width_mm), case.total_kn_m, screen.share
        ),
    }
    if screen.membrane.insulation_limit_kpa:
        area_mm2 = spread_mm2(screen.pad, member.width_mm)
        found["insulation"] = pad_span_mm(
            screen.membrane.insulation_limit_kpa, area_mm2, case.total_kn_m, screen.share
        )
    return found


def check_span(field: str, screen: Screen, cases: Sequence[Case], span_mm: float) -> SpanCheck:
    """Give the screening of one field's sleepers.

    Parameters
    ----------
    field : str
        Id of the deck field.
    screen : Screen
        Timber, pad and limits.
    cases : sequence of Case
        The loads; the one that allows the least span is shown.
    span_mm : float
        Longest distance between pads as laid. [mm]

    Returns
    -------
    check : SpanCheck

    References
    ----------
    See `allowed_spans_mm`.
    """
    allowed = [(case, allowed_spans_mm(screen, case)) for case in cases]
    case, spans = min(allowed, key=lambda item: min(item[1].values()))
    governs = min(spans, key=lambda name: spans[name])
    member = screen.member
    pressed_kn = screen.share * case.total_kn_m * span_mm / 1000
    return SpanCheck(
        field=field,
        span_mm=span_mm,
        allowed_mm=spans[governs],
        governs=governs,
        bending_mpa=case.total_kn_m * span_mm**2 / 8 / member.modulus_mm3,
        bending_limit_mpa=member.bending_mpa * case.duration,
        deflection_mm=5 * case.live_kn_m * span_mm**4 / (384 * member.elastic_mpa * member.inertia_mm4),
        deflection_limit_mm=span_mm / screen.limits.deflection_ratio,
        pad_kpa=pressed_kn * 1e6 / contact_mm2(screen.pad, member.width_mm),
        pad_limit_kpa=screen.pad_limit_kpa,
        reaction_kn=reaction_kn(screen, cases, span_mm),
    )


def reaction_kn(screen: Screen, cases: Sequence[Case], span_mm: float) -> float:
    """Give the greatest force of one pad on the roof.

    Parameters
    ----------
    screen : Screen
        For the share a pad takes.
    cases : sequence of Case
        The loads.
    span_mm : float
        Longest distance between pads as laid. [mm]

    Returns
    -------
    reaction_kn : float
        [kN]

    References
    ----------
    Reaction of a two-span beam.
    """
    return screen.share * max(case.total_kn_m for case in cases) * span_mm / 1000


def live_pad_kpa(screen: Screen, cases: Sequence[Case], span_mm: float) -> float:
    """Give the pressure of live load alone where a sleeper touches a pad.

    Parameters
    ----------
    screen : Screen
        Timber and pad.
    cases : sequence of Case
        The loads.
    span_mm : float
        Longest distance between pads as laid. [mm]

    Returns
    -------
    live_kpa : float
        [kPa]

    References
    ----------
    Reaction of a two-span beam over the strip touched.
    """
    live_n = screen.share * max(case.live_kn_m for case in cases) * span_mm
    return live_n / contact_mm2(screen.pad, screen.member.width_mm) / N_PER_KN_MM2_PER_KPA
