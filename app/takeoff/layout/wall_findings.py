"""What a feature wall has to say: fixing, wind, snow, screens, and joints without a strip behind them."""

from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import FeatureWall, Opening
from app.job.spoken import Spoken
from app.takeoff.layout.cladding import CladWall

# Room round a screen, for a hand, a bracket and warm air. Common practice, no source.
SCREEN_ROOM_MM = 50.0
# Behind a screen for air and plugs. Common practice, no source.
BEHIND_SCREEN_MM = 20.0
# Cladding fixed to a wall that moves: joint left at its head. Common practice, no source.
HEAD_JOINT_MM = 20.0


def wall_findings(wall: FeatureWall, clad: CladWall, job: Job) -> tuple[Finding, ...]:
    """Give the cautions about one feature wall.

    Parameters
    ----------
    wall : FeatureWall
        As drawn.
    clad : CladWall
        As clad.
    job : Job
        Units of the people who read it.

    Returns
    -------
    findings : tuple of Finding
        What an engineer must look at, joints that hang free, open joints with nothing behind, and screens
        without room.

    References
    ----------
    ASCE 7 ch. 7 (drifts at projections), ASCE 7 ch. 29 and 30 (wind on walls and cladding), from memory.
    """
    say, mass_kg = Spoken(job.units), clad.layout.mass_kg
    found = []
    if wall.fixing == "existing wall":
        found.append(
            Finding(
                code="layout.wall-fixing",
                grade="check",
                place=wall.id,
                text=f"{wall.id} hangs about {say.mass(mass_kg)} on an existing wall. A licensed engineer "
                "must say whether that wall, its fixings and the wind on the cladding are in order. Keep "
                "every fixing out of the membrane and its flashings. That wall bends and moves: leave about "
                f"{say.length(HEAD_JOINT_MM)} at the head and fix the furring through slots.",
                value=round(mass_kg, 1),
                unit="kg",
                source="Wind on cladding: ASCE 7 ch. 30 (from memory); anchorage and deflection: licensed "
                "engineer; the joint is common practice, no source",
            )
        )
    else:
        found += _free_standing(wall, clad, say)
    if clad.joints_off_furring:
        found.append(
            Finding(
                code="layout.joint-off-furring",
                grade="stop",
                place=wall.id,
                text=f"{clad.joints_off_furring} cladding joints of {wall.id} have no furring strip behind "
                "them. Set the furring closer than the longest board.",
                value=float(clad.joints_off_furring),
                source="Common practice, no source",
            )
        )
    if wall.side_gap_mm > 0.0 and not wall.has_fabric:
        found.append(
            Finding(
                code="layout.open-joints",
                grade="note",
                place=wall.id,
                text=f"The joints of {wall.id} are open by {say.gap(wall.side_gap_mm)} and no fabric is "
                "drawn behind them: what lies behind is seen and gets sun and rain. A black fabric stable to "
                "sunlight is usual.",
                value=round(wall.side_gap_mm, 1),
                unit="mm",
                source="Common practice, no source",
            )
        )
    found += [finding for opening in wall.openings for finding in screen_findings(wall, opening, say)]
    return tuple(found)


def screen_findings(wall: FeatureWall, opening: Opening, say: Spoken) -> tuple[Finding, ...]:
    """Give what is to be said of the screen in a niche.

    Parameters
    ----------
    wall : FeatureWall
        Holds the niche.
    opening : Opening
        The niche.
    say : Spoken
        Writes lengths in the job's own system.

    Returns
    -------
    findings : tuple of Finding
        A check where it has too little room at its sides, above or below; a note of how it hangs, how far
        it stands proud and what air it needs.

    References
    ----------
    Common practice, no source; the maker's sheet decides.
    """
    if opening.screen_width_mm is None or opening.screen_height_mm is None:
        return ()
    side_mm = (opening.width_mm - opening.screen_width_mm) / 2.0
    above_mm = (opening.height_mm - opening.screen_height_mm) / 2.0
    room_mm = min(side_mm, above_mm)
    behind_mm = opening.depth_mm - opening.screen_depth_mm
    stands = (
        f"stands {say.length(-behind_mm)} proud of the wall"
        if behind_mm < 0.0
        else f"leaves {say.length(behind_mm)} behind it"
    )
    words = (
        f"The screen in {opening.id} has {say.length(side_mm)} at each side, {say.length(above_mm)} above "
        f"and below, and {stands}. It hangs on two level pieces of blocking across the niche"
        f"{f' and weighs {say.mass(opening.screen_mass_kg)}' if opening.screen_mass_kg else ''}."
    )
    is_tight = room_mm < SCREEN_ROOM_MM or 0.0 <= behind_mm < BEHIND_SCREEN_MM
    if is_tight:
        words += " That is tight for brackets, plugs and warm air."
    words += " Leave the niche open above and below for air, and ask its maker whether it may hang outdoors."
    return (
        Finding(
            code="layout.screen-niche",
            grade="check" if is_tight else "note",
            place=wall.id,
            text=words,
            value=round(room_mm, 1),
            limit=SCREEN_ROOM_MM,
            unit="mm",
            source="Common practice, no source; the maker's sheet decides",
        ),
    )


def _free_standing(wall: FeatureWall, clad: CladWall, say: Spoken) -> list[Finding]:
    """Warn of wind and of snow that gathers behind a new wall."""
    area_m2 = clad.layout.length_mm * wall.height_mm / 1e6
    return [
        Finding(
            code="layout.wall-wind",
            grade="check",
            place=wall.id,
            text=f"{wall.id} stands free with {say.area(area_m2)} to the wind and about "
            f"{say.mass(clad.layout.mass_kg)} of cladding and furring. A licensed engineer must size its "
            "frame and anchors: a wall blown off a roof can kill.",
            value=round(area_m2, 2),
            unit="m2",
            source="ASCE 7 ch. 29 (free-standing walls, from memory); licensed engineer and local code "
            "decide",
        ),
        Finding(
            code="layout.wall-snow",
            grade="note",
            place=wall.id,
            text=f"{wall.id} is a new wall of {say.length(wall.height_mm)}: where it snows, drifts gather "
            "against it and add to the roof's load. The engineer must count them.",
            value=round(wall.height_mm, 1),
            unit="mm",
            source="ASCE 7 ch. 7 (drifts at projections, from memory); licensed engineer and local code "
            "decide",
        ),
    ]
