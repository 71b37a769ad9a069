"""One concentrated load on one sleeper: looked at when somebody names it, never guessed."""

import math
from collections.abc import Sequence

from app.job.choices import Limits
from app.job.findings import Finding
from app.job.plan import DeckField
from app.job.spoken import Spoken
from app.takeoff.framing.bearing import contact_mm2, spread_mm2
from app.takeoff.framing.span_check import Case, Screen
from app.takeoff.framing.spans import (
    N_PER_KN_MM2_PER_KPA,
    point_bending_span_mm,
    point_deflection_span_mm,
)


def point_spans_mm(screen: Screen, case: Case, point_kn: float) -> dict[str, float]:
    """Give the longest pad spacing each criterion accepts under one concentrated load.

    Parameters
    ----------
    screen : Screen
        Timber, pad and limits.
    case : Case
        The dead load that is there as well.
    point_kn : float
        The load, on one sleeper at its worst place. [kN]

    Returns
    -------
    spans_mm : dict of str to float
        0 for what the load alone is too much for. [mm]

    Notes
    -----
    No sleeper beside it helps. In shear and on a pad the whole load stands over the support, with 5/8 and
    the pad's share of the dead load.

    References
    ----------
    Simple span with a load at its middle; AWC span method for the rest.
    """
    member, dead_n_mm, point_n = screen.member, case.total_kn_m, point_kn * 1000
    shear_n = member.shear_mpa * case.duration * member.width_mm * member.depth_mm * 2 / 3
    on_pad_n = screen.pad_limit_kpa * contact_mm2(screen.pad, member.width_mm) * N_PER_KN_MM2_PER_KPA
    found = {
        "bending": point_bending_span_mm(
            member.bending_mpa * case.duration, member.modulus_mm3, dead_n_mm, point_kn
        ),
        "shear": _left_over(shear_n - point_n, 5 / 8 * dead_n_mm),
        "deflection": point_deflection_span_mm(
            member.elastic_mpa, member.inertia_mm4, point_kn, screen.limits.deflection_ratio
        ),
        "pad": _left_over(on_pad_n - point_n, screen.share * dead_n_mm),
    }
    if screen.membrane.insulation_limit_kpa:
        area_mm2 = spread_mm2(screen.pad, member.width_mm)
        limit_n = screen.membrane.insulation_limit_kpa * area_mm2 * N_PER_KN_MM2_PER_KPA
        found["insulation"] = _left_over(limit_n - point_n, screen.share * dead_n_mm)
    return found


def _left_over(left_n: float, per_mm: float) -> float:
    """Give the span whose dead load may still be added."""
    if left_n <= 0:
        return 0.0
    return left_n / per_mm if per_mm > 0 else math.inf


def concentrated_findings(
    field: DeckField, screen: Screen, cases: Sequence[Case], span_mm: float, limits: Limits, say: Spoken
) -> tuple[Finding, ...]:
    """Give what is to be said of the concentrated load, when the job names one.

    Parameters
    ----------
    field : DeckField
        The field.
    screen : Screen
        What its sleepers are screened with.
    cases : sequence of Case
        Its loads; the dead part of the open deck acts as well.
    span_mm : float
        Longest distance between pads as laid. [mm]
    limits : Limits
        The load and where it comes from.
    say : Spoken
        Writes lengths and forces in the job's own system.

    Returns
    -------
    findings : tuple of Finding
        Always a check, whether more or less than drawn is accepted.

    References
    ----------
    The source named in the job.
    """
    if limits.point_load_kn is None or limits.point_load_kn <= 0:
        return ()
    dead = next(case for case in cases if case.live_kn_m == 0)
    # The load comes and goes like live load, so the ten-year duration holds for it.
    acting = Case(dead.place, dead.total_kn_m, 0.0, max(case.duration for case in cases))
    spans = point_spans_mm(screen, acting, limits.point_load_kn)
    governs = min(spans, key=lambda name: spans[name])
    allowed_mm = spans[governs]
    words = (
        f"is too much for the {governs} at any spacing"
        if allowed_mm <= 0
        else f"is accepted with pads up to {say.length(allowed_mm)} apart ({governs} governs); "
        f"{say.length(span_mm)} are drawn"
    )
    return (
        Finding(
            code="framing.concentrated-load",
            grade="check",
            place=field.id,
            text=f"A load of {say.force(limits.point_load_kn)} on one sleeper, no other helping, {words}. A "
            "licensed engineer and the local code decide.",
            value=span_mm,
            limit=round(allowed_mm, 1),
            unit="mm",
            source=limits.point_load_source or "Nobody has said where this load comes from",
        ),
    )
