"""What stands where it should not: over drains, within clearances; and boards too long to carry."""

import shapely

from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.plan import Bench, Box, Counter, Planter
from app.job.spoken import Spoken
from app.takeoff.layout.beds import bed_polygon
from app.takeoff.layout.boxes import BOX_GAP_MM
from app.takeoff.layout.outlines import keep_clear
from app.takeoff.roof.footprints import box_ring

# A post shorter than this holds no screw. Common practice, no source.
LEAST_POST_MM = 40.0


def place_findings(job: Job) -> tuple[Finding, ...]:
    """Give what stands over drains or too near to what comes through the roof.

    Parameters
    ----------
    job : Job
        Survey and plan.

    Returns
    -------
    findings : tuple of Finding
        Covered drains, clearances, boxes too low for their frame, boards too long for the way up.

    References
    ----------
    Common practice, no source; drains need cleaning.
    """
    plan = job.plan
    standing: tuple[Box, ...] = (*plan.planters, *plan.benches, *plan.counters)
    shapes = [(thing.id, shapely.Polygon(box_ring(thing))) for thing in standing]
    beds = [(bed.id, bed_polygon(bed)) for bed in plan.stone_beds]
    return (
        *(finding for name, shape in shapes for finding in _over_drains(job, name, shape, "stands")),
        *(finding for name, shape in beds for finding in _over_drains(job, name, shape, "lies")),
        *(finding for name, shape in shapes for finding in _in_clearance(job, name, shape)),
        *_too_low(job),
    )


def _over_drains(job: Job, name: str, shape: shapely.Polygon, verb: str) -> list[Finding]:
    """Warn of drains that a box or a stone bed covers."""
    found = []
    for drain in job.survey.drains:
        spot = shapely.Point(drain.x_mm, drain.y_mm)
        away_mm = float(shapely.distance(shape, spot))
        if away_mm < drain.keep_clear_mm:
            found.append(
                Finding(
                    code="layout.drain-covered",
                    grade="check",
                    place=name,
                    text=f"{name} {verb} within {Spoken(job.units).length(drain.keep_clear_mm)} of "
                    f"{drain.id} ({drain.kind}). Nobody can clean it there, and a blocked drain can flood "
                    "the roof. Move it, or make it easy to lift away.",
                    value=round(away_mm, 1),
                    limit=drain.keep_clear_mm,
                    unit="mm",
                    source="Common practice, no source; strainers need cleaning",
                    at_mm=(drain.x_mm, drain.y_mm),
                )
            )
    return found


def _in_clearance(job: Job, name: str, shape: shapely.Polygon) -> list[Finding]:
    """Warn of boxes inside the clearance of what comes through the roof."""
    found = []
    for penetration in job.survey.penetrations:
        shared = shapely.intersection(shape, keep_clear((penetration,)))
        if shapely.area(shared) > 1.0:
            found.append(
                Finding(
                    code="layout.clearance",
                    grade="check",
                    place=name,
                    text=f"{name} stands within the {Spoken(job.units).length(penetration.keep_clear_mm)} to "
                    f"be kept clear of {penetration.id} ({penetration.kind}). Hot or exhaust air, or access "
                    "for repair, may need it.",
                    limit=penetration.keep_clear_mm,
                    unit="mm",
                    source="Survey; the maker of the unit and the local code decide",
                    at_mm=(penetration.x_mm, penetration.y_mm),
                )
            )
    return found


def _too_low(job: Job) -> list[Finding]:
    """Stop where rails leave no height for posts, so that the frame cannot be built as taken off."""
    things: tuple[Planter | Bench | Counter, ...] = (
        *job.plan.planters,
        *job.plan.benches,
        *job.plan.counters,
    )
    found, say = [], Spoken(job.units)
    for thing in things:
        section = next(section for section in job.choices.sections if section.id == thing.frame)
        if thing.height_mm <= 2.0 * section.depth_mm + LEAST_POST_MM:
            found.append(
                Finding(
                    code="layout.box-low",
                    grade="stop",
                    place=thing.id,
                    text=f"{thing.id} is {say.length(thing.height_mm)} high; two rails of "
                    f"{say.length(section.depth_mm)} leave no room for a post between them. Use a flatter "
                    "section or make it higher.",
                    value=round(thing.height_mm, 1),
                    limit=round(2.0 * section.depth_mm + LEAST_POST_MM, 1),
                    unit="mm",
                    source="Definition",
                )
            )
    return found


def place_assumptions(job: Job, dropped_mm2: float) -> tuple[Assumption, ...]:
    """State what was taken as given about boards, boxes and walls.

    Parameters
    ----------
    job : Job
        What is drawn.
    dropped_mm2 : float
        Slivers left out. [mm2]

    Returns
    -------
    assumptions : tuple of Assumption
        Only those that matter to this plan.

    References
    ----------
    Common practice, no source.
    """
    plan, source, say = job.plan, "Common practice, no source", Spoken(job.units)
    has_boxes = bool(plan.planters or plan.benches or plan.counters)
    said = []
    if plan.deck_fields:
        said.append(
            "Courses are balanced by the extent of the field across them. Without a border, board ends are "
            "cut flush with the outline drawn: draw it back from walls by the end gap."
        )
    if any(field.border_courses for field in plan.deck_fields):
        said.append("Corners of border courses are cut with the same gap as board ends.")
    if has_boxes and plan.deck_fields:
        said.append("Planters, benches and counters stand on the deck: boards run on beneath them.")
    if has_boxes:
        said.append(
            f"Boards on boxes have gaps of {say.length(BOX_GAP_MM)}; front and back run over the corners."
        )
    if any(not planter.has_floor for planter in plan.planters):
        said.append("A planter without floor boards has its lining on what it stands on.")
    if plan.steps:
        said.append("Steps have no cheeks: their sides stay open.")
    if plan.feature_walls:
        said.append(
            "Cladding runs level; joints lie over furring; door and window linings end flush with the face."
        )
    if dropped_mm2 > 0.0:
        said.append(f"Slivers too small to fix, {say.patch(dropped_mm2)} in all, are left out.")
    return tuple(Assumption("layout.pieces", text, source) for text in said)
