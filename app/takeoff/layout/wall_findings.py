"""What a feature wall has to say: fixing, wind, snow, and joints without a strip behind them."""

from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import FeatureWall
from app.takeoff.layout.cladding import CladWall
from app.takeoff.layout.records import WallLayout

# The cladding of a niche or a joint weighs little; corners, screws and flashing add about this share.
# Common practice, no source.
SMALL_PARTS = 1.1


def wall_mass_kg(wall: FeatureWall, clad: CladWall, job: Job) -> float:
    """Give about what a feature wall adds to what it is fixed to.

    Parameters
    ----------
    wall : FeatureWall
        Names cladding and furring.
    clad : CladWall
        Its pieces and strips.
    job : Job
        Masses of the materials.

    Returns
    -------
    mass_kg : float
        Cladding and furring with a tenth for small parts; without cap, fabric and lights. [kg]

    References
    ----------
    Definition; the tenth is common practice, no source.
    """
    board = next(board for board in job.choices.boards if board.id == wall.cladding)
    furring = next(section for section in job.choices.sections if section.id == wall.furring)
    boards_m = sum(piece.length_mm * piece.width_mm / board.width_mm for piece in clad.pieces) / 1e3
    return SMALL_PARTS * (boards_m * board.mass_kg_m + _furring_m(clad.layout) * furring.mass_kg_m)


def _furring_m(layout: WallLayout) -> float:
    """Give the length of all furring strips."""
    return sum(abs(line.end_mm[1] - line.start_mm[1]) for line in layout.furring_mm) / 1e3


def wall_findings(wall: FeatureWall, clad: CladWall, job: Job) -> tuple[Finding, ...]:
    """Give the cautions about one feature wall.

    Parameters
    ----------
    wall : FeatureWall
        As drawn.
    clad : CladWall
        As clad.
    job : Job
        Masses of the materials.

    Returns
    -------
    findings : tuple of Finding
        What an engineer must look at, and joints that hang free.

    References
    ----------
    ASCE 7 ch. 7 (drifts at projections), ASCE 7 ch. 29 and 30 (wind on walls and cladding), from memory.
    """
    mass_kg = wall_mass_kg(wall, clad, job)
    found = []
    if wall.fixing == "existing wall":
        found.append(
            Finding(
                code="layout.wall-fixing",
                grade="check",
                place=wall.id,
                text=f"{wall.id} hangs about {mass_kg:.0f} kg on an existing wall. A licensed engineer "
                "must say whether that wall, its fixings and the wind on the cladding are in order; keep "
                "every fixing out of the membrane and its flashings.",
                value=round(mass_kg, 1),
                unit="kg",
                source="Wind on cladding: ASCE 7 ch. 30 (from memory); anchorage and deflection: licensed "
                "engineer",
            )
        )
    else:
        found += _free_standing(wall, clad, mass_kg)
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
    return tuple(found)


def _free_standing(wall: FeatureWall, clad: CladWall, mass_kg: float) -> list[Finding]:
    """Warn of wind and of snow that gathers behind a new wall."""
    area_m2 = clad.layout.length_mm * wall.height_mm / 1e6
    return [
        Finding(
            code="layout.wall-wind",
            grade="check",
            place=wall.id,
            text=f"{wall.id} stands free with {area_m2:.1f} m² to the wind and about {mass_kg:.0f} kg of "
            "cladding and furring. A licensed engineer must size its frame and anchors: a wall blown off "
            "a roof can kill.",
            value=round(area_m2, 2),
            unit="m2",
            source="ASCE 7 ch. 29 (free-standing walls, from memory); licensed engineer and local code "
            "decide",
        ),
        Finding(
            code="layout.wall-snow",
            grade="note",
            place=wall.id,
            text=f"{wall.id} is a new wall of {wall.height_mm:.0f} mm: where it snows, drifts gather "
            "against it and add to the roof's load. The engineer must count them.",
            value=round(wall.height_mm, 1),
            unit="mm",
            source="ASCE 7 ch. 7 (drifts at projections, from memory); licensed engineer and local code "
            "decide",
        ),
    ]
