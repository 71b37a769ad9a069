"""What is to be said about the screening of one field: always something, since it never settles anything."""

from app.job.choices import Pad, Section
from app.job.findings import Finding
from app.job.plan import DeckField
from app.job.spoken import Spoken
from app.job.survey import AllowableLoad, Membrane
from app.tables.joists import is_in_joist_table, joist_spans
from app.tables.materials import foams
from app.takeoff.framing.records import SpanCheck

ENGINEER = "A licensed engineer and the local code decide."


def not_checked(field: DeckField, why: str, source: str) -> Finding:
    """Give the finding for a field whose spans could not be screened.

    Parameters
    ----------
    field : DeckField
        The field.
    why : str
        What is missing, as a sentence.
    source : str
        Where it should come from.

    Returns
    -------
    finding : Finding

    References
    ----------
    Definition.
    """
    return Finding(
        code="framing.span-not-checked",
        grade="check",
        place=field.id,
        text=f"{why} The sleepers of this deck are not screened at all. {ENGINEER}",
        source=source,
    )


def span_findings(
    field: DeckField, section: Section, pad: Pad, check: SpanCheck, membrane: Membrane, say: Spoken
) -> tuple[Finding, ...]:
    """Give what is to be said about one screened field.

    Parameters
    ----------
    field : DeckField
        The field.
    section : Section
        Its sleepers.
    pad : Pad
        Its pads.
    check : SpanCheck
        The screening.
    membrane : Membrane
        For what lies under it.
    say : Spoken
        Writes lengths and loads in the job's own system.

    Returns
    -------
    findings : tuple of Finding
        None of them says that anything holds.

    References
    ----------
    NDS 2018; AWC DCA 6 Table 2; the pad's and the insulation's makers.
    """
    found = []
    if check.span_mm > check.allowed_mm + 1e-6:
        found.append(_too_far(field, section, pad, check, say))
    if not is_in_joist_table(section.width_mm, section.depth_mm):
        table = joist_spans()[0].source
        found.append(
            Finding(
                code="framing.outside-joist-table",
                grade="check",
                place=field.id,
                text=f"Sleepers of {say.length(section.width_mm)} × {say.length(section.depth_mm)} as laid "
                "are outside the published deck joist table, whose smallest joist is a 2x6 on edge. The "
                f"screening accepts {say.length(check.allowed_mm)} between pads ({check.governs}); "
                f"{say.length(check.span_mm)} are drawn. {ENGINEER}",
                value=check.span_mm,
                limit=check.allowed_mm,
                unit="mm",
                source=str(table),
            )
        )
    if not membrane.insulation_limit_kpa:
        found.append(
            Finding(
                code="framing.no-insulation-limit",
                grade="check",
                place=field.id,
                text="Nobody has said what the layer under the membrane may bear; pads press it with up to "
                f"{say.load(check.pad_kpa)} where the sleeper touches. Its maker must give a long-term "
                "figure: the fraction used for foam pads holds for no other material.",
                value=check.pad_kpa,
                unit="kPa",
                source="The insulation's maker",
            )
        )
    return tuple(found)


def _too_far(field: DeckField, section: Section, pad: Pad, check: SpanCheck, say: Spoken) -> Finding:
    """Give the finding for pads further apart than the screening accepts."""
    numbers = {
        "bending": f"{say.stress(check.bending_mpa)} against {say.stress(check.bending_limit_mpa)} in "
        "bending",
        "deflection": f"{say.sag(check.deflection_mm)} against {say.sag(check.deflection_limit_mm)} under "
        "live load",
        "pad": f"{say.load(check.pad_kpa)} against {say.load(check.pad_limit_kpa)} where {section.name} "
        "touches a pad",
        "shear": "shear beside a pad",
        "insulation": "pressure on the layer under the membrane",
    }
    source = {
        "pad": f"{pad.limit_source}; long-term fraction {pad.long_term_fraction:.2f}, an industry rule",
        "insulation": "The insulation's maker",
    }.get(check.governs, "NDS 2018 and its Supplement, span method")
    return Finding(
        code="framing.span-too-long",
        grade="check",
        place=field.id,
        text=f"Pads stand up to {say.length(check.span_mm)} apart; the screening accepts "
        f"{say.length(check.allowed_mm)}. {check.governs.capitalize()} governs: {numbers[check.governs]}. "
        f"Set pads closer, lay sleepers closer, or use more timber. {ENGINEER}",
        value=check.span_mm,
        limit=check.allowed_mm,
        unit="mm",
        source=source,
    )


def point_findings(
    field: DeckField, reaction_kn: float, allowable: AllowableLoad | None, say: Spoken
) -> tuple[Finding, ...]:
    """Give a stop when one pad presses the roof harder than the engineer allows.

    Parameters
    ----------
    field : DeckField
        The field.
    reaction_kn : float
        Greatest force of one pad. [kN]
    allowable : AllowableLoad or None
        The engineer's figures.
    say : Spoken
        Writes forces in the job's own system.

    Returns
    -------
    findings : tuple of Finding
        Empty when no point load was given; that is not consent.

    References
    ----------
    The engineer's own letter.
    """
    if allowable is None or allowable.point_kn is None or reaction_kn <= allowable.point_kn:
        return ()
    return (
        Finding(
            code="framing.pad-over-point-load",
            grade="stop",
            place=field.id,
            text=f"One pad presses the roof with up to {say.force(reaction_kn)}; {allowable.given_by} "
            f"allows {say.force(allowable.point_kn)} at one point. Set pads or sleepers closer, or ask "
            "again.",
            value=reaction_kn,
            limit=allowable.point_kn,
            unit="kN",
            source=f"{allowable.given_by}, {allowable.given_on.isoformat()}",
        ),
    )


def repeated_findings(field: DeckField, pad: Pad, live_kpa: float, say: Spoken) -> tuple[Finding, ...]:
    """Give a check when live load, which comes and goes, presses a foam pad more than the industry advises.

    Parameters
    ----------
    field : DeckField
        The field.
    pad : Pad
        Its pads.
    live_kpa : float
        Pressure of the live load alone where a sleeper touches a pad. [kPa]
    say : Spoken
        Writes loads in the job's own system.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    One fifth of the 10 % figure under repeated load: an industry rule, not part of ASTM C578.
    """
    foam = foams()[0]
    limit_kpa = pad.limit_kpa * foam.repeated_kpa / foam.limit_kpa
    if live_kpa <= limit_kpa:
        return ()
    return (
        Finding(
            code="framing.pad-repeated-load",
            grade="check",
            place=field.id,
            text=f"Live load alone presses a pad with up to {say.load(live_kpa)} where the sleeper touches; "
            "for foam under load that comes and goes the industry advises a fifth of its 10 % figure, "
            f"{say.load(limit_kpa)} here. The pad's maker must say what it bears.",
            value=live_kpa,
            limit=limit_kpa,
            unit="kPa",
            source=str(foam.fractions_source),
        ),
    )
