"""Puts the screening of one field together: loads, timber, pads as laid, and what is to be said."""

from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.plan import DeckField
from app.job.spoken import Spoken
from app.job.survey import Snow
from app.tables.joists import is_in_joist_table
from app.tables.lumber import factors
from app.takeoff.framing.bearing import as_laid
from app.takeoff.framing.deck_frame import DeckFrame, FieldParts
from app.takeoff.framing.point_load import concentrated_findings
from app.takeoff.framing.records import SpanCheck
from app.takeoff.framing.span_check import Screen, cases_of, check_span, live_pad_kpa, reaction_kn
from app.takeoff.framing.span_findings import not_checked, point_findings, repeated_findings, span_findings
from app.takeoff.framing.standing_loads import DeckLoad, deck_loads
from app.takeoff.framing.strength import member_of
from app.takeoff.layout.records import Layout


def screen_field(
    job: Job, parts: FieldParts, deck: DeckFrame, layout: Layout
) -> tuple[SpanCheck | None, tuple[Finding, ...], tuple[Assumption, ...]]:
    """Give the screening of one field, its findings and what it took as given.

    Parameters
    ----------
    job : Job
        Loads and limits.
    parts : FieldParts
        The field and its materials.
    deck : DeckFrame
        Its frame as laid.
    layout : Layout
        What stands on it.

    Returns
    -------
    check : SpanCheck or None
        None when the live load or the timber's strength is not known; nothing is guessed.
    findings : tuple of Finding
    assumptions : tuple of Assumption

    References
    ----------
    See `span_check`.
    """
    field, section, survey, say = parts.field, parts.section, job.survey, Spoken(job.units)
    is_repetitive = shares_load(parts, deck)
    member = member_of(section, is_repetitive=is_repetitive)
    if survey.live_load is None:
        return None, (not_checked(field, "No live load has been asked for.", "Survey, live load"),), ()
    if member is None:
        why = (
            f"No published strength covers {section.name} ({section.species}, "
            f"{say.gap(section.width_mm)} × {say.gap(section.depth_mm)})."
        )
        return None, (not_checked(field, why, "NDS Supplement 2018 Tables 4A and 4B"),), ()
    if not deck.standing.spans_mm:
        why = "No sleeper is long enough to stand on two pads."
        return None, (not_checked(field, why, "Definition"),), ()
    loads = deck_loads(job, parts, layout, survey.live_load.live_kpa)
    cases = cases_of(loads, parts.spacing_mm, section)
    screen = Screen(
        member=member,
        pad=parts.pad,
        limits=job.choices.limits,
        membrane=survey.membrane,
        as_laid=as_laid(deck.standing.spans_mm, _dead_share(loads[0])),
    )
    span_mm = max(max(spans) for spans in deck.standing.spans_mm)
    check = check_span(field.id, screen, cases, span_mm)
    findings = (
        *span_findings(field, section, parts.pad, check, survey.membrane, say),
        *point_findings(field, reaction_kn(screen, cases, span_mm), survey.allowable_load, say),
        *repeated_findings(field, parts.pad, live_pad_kpa(screen, cases, span_mm), say),
        *concentrated_findings(field, screen, cases, span_mm, job.choices.limits, say),
        *_snow_findings(field, survey.snow, say),
    )
    return check, findings, _assumptions(parts, screen, loads, say, is_repetitive=is_repetitive)


def shares_load(parts: FieldParts, deck: DeckFrame) -> bool:
    """Say whether the repetitive-member factor may be used.

    Parameters
    ----------
    parts : FieldParts
        The field and its section.
    deck : DeckFrame
        Its frame.

    Returns
    -------
    shares_load : bool
        For three sleepers or more, no more than 24 in apart, of a size in the published deck joist table;
        never for a loose 2x4 or a flat sleeper.

    References
    ----------
    NDS 2018 4.3.9; leaving it out for sizes outside the joist table is common practice, no source.
    """
    rules = factors()
    across = [
        bar for bar in deck.bars if bar.role in ("sleeper", "breaker sleeper") and bar.is_along_sleepers
    ]
    return (
        len(across) >= rules.repetitive_members
        and parts.spacing_mm <= rules.repetitive_spacing_mm
        and is_in_joist_table(parts.section.width_mm, parts.section.depth_mm)
    )


def _snow_findings(field: DeckField, snow: Snow | None, say: Spoken) -> tuple[Finding, ...]:
    """Give a check where snow is known of, since the screening leaves it out."""
    if snow is None:
        return ()
    return (
        Finding(
            code="framing.snow-not-screened",
            grade="check",
            place=field.id,
            text=f"A ground snow load of {say.load(snow.ground_snow_kpa)} is on record; the sleepers are "
            "screened for dead and live load only. Snow, and drifts against walls and parapets, are for a "
            "licensed engineer.",
            value=snow.ground_snow_kpa,
            unit="kPa",
            source=f"{snow.source}; {snow.edition}",
        ),
    )


def _dead_share(load: DeckLoad) -> float:
    """Give the part of the open deck's load that is always there."""
    return load.dead_kpa / (load.dead_kpa + load.live_kpa)


def _assumptions(
    parts: FieldParts, screen: Screen, loads: tuple[DeckLoad, ...], say: Spoken, *, is_repetitive: bool
) -> tuple[Assumption, ...]:
    """Give what the screening of one field took as given."""
    member, field = screen.member, parts.field
    letters = ", ".join(f"{letter} {factor:g}" for letter, factor in member.factors)
    return (
        Assumption(
            code="framing.design-values",
            text=f"{field.id}: {parts.section.name} taken as No. 2; factors on bending {letters}"
            f"{'' if is_repetitive else ' (loose sleepers are not counted as sharing their load)'}; "
            f"Fb' {say.stress(member.bending_mpa)} before load duration, "
            f"E' {say.stress(member.elastic_mpa)}.",
            source=str(member.source),
        ),
        Assumption(
            code="framing.span-method",
            text=f"{field.id}: sleepers screened as simple spans (wL²/8, and 5 wL to the fourth over 384 EI "
            f"under live load only), 5wL/8 in "
            f"shear and {screen.share:.2f}wL on a pad. As laid, the worst pattern of load gives "
            f"{screen.as_laid.bending:.3f}wL² in a span; it would lift {screen.as_laid.lifts} sleepers off "
            f"a pad.",
            source="AWC span method; three-moment equation with pattern loading",
        ),
        Assumption(
            code="framing.deck-loads",
            text=f"{field.id}: "
            + "; ".join(
                f"{load.place} {say.load(load.dead_kpa)} dead and {say.load(load.live_kpa)} live"
                for load in loads
            )
            + ". Planters saturated and without live load on them."
            + (
                " No concentrated load is looked at: name one, and where it comes from, under the limits."
                if screen.limits.point_load_kn is None
                else ""
            ),
            source="Survey, live load; choices, masses",
        ),
        Assumption(
            code="framing.contact",
            text=f"{field.id}: a sleeper presses {say.length(min(parts.pad.width_mm, member.width_mm))} of "
            f"the pad's {say.length(parts.pad.width_mm)} width, since nothing stiff spreads the load; the "
            f"pad bears {parts.pad.long_term_fraction:.2f} of its 10 % figure for years.",
            source=f"{parts.pad.limit_source}; the fraction is an industry rule, not part of a standard",
        ),
    )
