"""What is to be said about every loose deck, and where its timber or pads find no room."""

from collections.abc import Sequence

from app.job.choices import Board, Section
from app.job.findings import Finding
from app.job.plan import DeckField
from app.job.spoken import Spoken


def no_room(field: DeckField, section: Section, say: Spoken) -> Finding:
    """Give the stop for a field too narrow for its own timber.

    Parameters
    ----------
    field : DeckField
        The field.
    section : Section
        Its sleepers.
    say : Spoken
        Writes lengths in the job's own system.

    Returns
    -------
    finding : Finding

    References
    ----------
    Geometry.
    """
    return Finding(
        code="framing.no-room",
        grade="stop",
        place=field.id,
        text=f"No timber {say.length(section.width_mm)} wide finds room under this deck: two rims take "
        f"{say.length(2 * section.width_mm)}. Draw it wider, lay the sleepers on edge, or join it to the "
        "next deck.",
        value=2 * section.width_mm,
        unit="mm",
        source="Geometry",
    )


def deck_findings(
    field: DeckField,
    weight_kpa: float,
    crowded_mm: Sequence[tuple[float, float]],
    spacing_mm: float,
    say: Spoken,
) -> tuple[Finding, ...]:
    """Give what is to be said about every loose deck, and about places where no pad finds room.

    Parameters
    ----------
    field : DeckField
        The field.
    weight_kpa : float
        Boards and timber, over the field. [kPa]
    crowded_mm : sequence of corner
        Places on plan without a pad within the spacing. [mm]
    spacing_mm : float
        Greatest distance between pads. [mm]
    say : Spoken
        Writes lengths and loads in the job's own system.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    ASCE 7 components and cladding: uplift on a flat roof is many times the weight of a deck.
    """
    found = [
        Finding(
            code="framing.uplift",
            grade="check",
            place=field.id,
            text=f"This deck lies loose on the roof, with boards and timber of about {say.load(weight_kpa)}. "
            "That weight does not show that it stays down in wind: uplift on a flat roof can be several "
            "times as much. A licensed engineer must say how it is held.",
            value=round(weight_kpa, 3),
            unit="kPa",
            source="ASCE 7, components and cladding (figures from memory)",
        )
    ]
    if crowded_mm:
        found.append(
            Finding(
                code="framing.pad-crowded",
                grade="check",
                place=field.id,
                text=f"At {len(crowded_mm)} place{'s' if len(crowded_mm) > 1 else ''} no pad finds room "
                f"within {say.length(spacing_mm)} of the next, because of a drain, something standing up, "
                "or other pads. Look at each on the frame drawing and pack or bridge it by hand.",
                value=float(len(crowded_mm)),
                limit=0.0,
                unit="places",
                source="Pad spacing of the plan",
                at_mm=crowded_mm[0],
            )
        )
    return tuple(found)


def closer_findings(field: DeckField, board: Board, spacing_mm: float, say: Spoken) -> tuple[Finding, ...]:
    """Say that sleepers lie closer than drawn, because the board asks for it.

    Parameters
    ----------
    field : DeckField
        As drawn.
    board : Board
        Its boards.
    spacing_mm : float
        Between sleepers, as laid. [mm]
    say : Spoken
        Writes lengths in the job's own system.

    Returns
    -------
    findings : tuple of Finding
        One, or none where the spacing drawn is close enough.

    Notes
    -----
    Sleepers run square across the courses at whatever angle those are laid, so that what a board reaches
    between two of them is their spacing, on a diagonal too.

    References
    ----------
    The source beside the board.
    """
    if spacing_mm >= field.sleeper_spacing_mm:
        return ()
    return (
        Finding(
            code="framing.sleepers-closer",
            grade="note",
            place=field.id,
            text=f"Sleepers lie {say.length(spacing_mm)} apart at most, not "
            f"{say.length(field.sleeper_spacing_mm)} as drawn: {board.name} reaches no further.",
            value=field.sleeper_spacing_mm,
            limit=spacing_mm,
            unit="mm",
            source=board.span_source or "Nobody has said where this reach comes from",
        ),
    )
