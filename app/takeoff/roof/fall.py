"""Which way water runs, how steeply, and where it would stand."""

import math

import shapely

from app.job.findings import Finding
from app.job.spoken import Spoken
from app.job.survey import Drain, Survey
from app.takeoff.roof.flow import LEAST_PUDDLE_MM
from app.takeoff.roof.records import Pond
from app.takeoff.roof.surface import Plane, Surface
from app.takeoff.roof.zones import slopes_of

FALL_SOURCE = (
    "IBC §1507 (low-slope membranes): design slope at least ¼ in 12, printed as 2 %, exactly 2.083 %"
)
METRIC = Spoken("metric")
NEAR_DRAIN_MM = 1000.0  # common practice, no source
# A roof of several slopes may have a flat strip; more of it than this is told. Common practice, no source.
FLAT_SHARE_PCT = 25.0
# A puddle worth its own finding. Common practice, no source.
LEAST_POND_M2 = 0.5


def fall_pct(plane: Plane) -> float:
    """Give the steepness of a plane.

    Parameters
    ----------
    plane : Plane
        Best plane of the roof.

    Returns
    -------
    steepness_pct : float
        Drop per hundred of length down the slope. [%]

    Notes
    -----
    100·√(rise_x² + rise_y²).

    Examples
    --------
    >>> fall_pct(Plane(0, 0, 0, 0.25 / 12, 0))
    2.0833

    References
    ----------
    Definition.
    """
    return 100.0 * math.hypot(plane.rise_x, plane.rise_y)


def fall_direction_deg(plane: Plane) -> float:
    """Give the direction in which water runs on a plane.

    Parameters
    ----------
    plane : Plane
        Best plane of the roof.

    Returns
    -------
    direction_deg : float
        Anticlockwise from the x axis, 0 to 360; 0 for a level plane. [deg]

    Examples
    --------
    >>> fall_direction_deg(Plane(0, 0, 0, 0, 0.02))  # higher with y: runs down the sheet
    270.0

    References
    ----------
    Definition.
    """
    if math.hypot(plane.rise_x, plane.rise_y) < 1e-9:
        return 0.0
    return math.degrees(math.atan2(-plane.rise_y, -plane.rise_x)) % 360.0


def measured_fall(surface: Surface, least_fall_pct: float) -> tuple[float, float]:
    """Give the fall of the membrane as measured, slope by slope.

    Parameters
    ----------
    surface : Surface
        The membrane of the whole roof.
    least_fall_pct : float
        Fall to hold each slope against. [%]

    Returns
    -------
    mean_pct : float
        Steepness averaged by area. [%]
    flat_share_pct : float
        Share of the area that falls less than asked for. [%]

    Notes
    -----
    The best plane of a roof that falls to a drain in its middle is level; its slopes are not.

    References
    ----------
    Definition.
    """
    slopes = [(area, 100.0 * math.hypot(rise_x, rise_y)) for _, _, area, rise_x, rise_y in slopes_of(surface)]
    whole = sum(area for area, _ in slopes) or 1.0
    mean = sum(area * steepness for area, steepness in slopes) / whole
    # A thousandth of a per cent is beyond any levelling instrument: an exact 2 % is 2 %.
    flat = sum(area for area, steepness in slopes if steepness < least_fall_pct - 1e-3)
    return mean, 100.0 * flat / whole


def fall_findings(
    survey: Survey,
    surface: Surface,
    least_fall_pct: float,
    ponds: tuple[Pond, ...] = (),
    say: Spoken = METRIC,
) -> tuple[Finding, ...]:
    """Give what is wrong with the way the roof sheds water.

    Parameters
    ----------
    survey : Survey
        Outline, edges and drains.
    surface : Surface
        The membrane.
    least_fall_pct : float
        Fall below which the owner is told to ask a roofer. [%]
    ponds : tuple of Pond
        Where water would stand.
    say : Spoken
        Writes lengths in the job's own system.

    Returns
    -------
    findings : tuple of Finding
        Too little fall, no drain at all, no overflow behind parapets, low spots with no drain near, and
        puddles elsewhere.

    References
    ----------
    IBC §1507 for the fall; IPC §1108 for the overflow; distance to a drain is common practice, no source.
    """
    found: list[Finding] = []
    steepness, flat_pct = measured_fall(surface, least_fall_pct)
    if surface.method == "plane" and not surface.zones and flat_pct > 0.0:
        found.append(
            Finding(
                code="roof.low-fall",
                grade="check",
                place="job",
                text=f"The roof falls {steepness:.2f} %, less than {least_fall_pct:.2f} %: water may stand "
                "on it for days. Ask a roofer or an engineer before covering it with a deck.",
                value=round(steepness, 3),
                limit=least_fall_pct,
                unit="%",
                source=FALL_SOURCE,
            )
        )
    elif flat_pct > FLAT_SHARE_PCT:
        found.append(
            Finding(
                code="roof.low-fall",
                grade="check",
                place="job",
                text=f"{flat_pct:.0f} % of the roof falls less than {least_fall_pct:.2f} % (on average it "
                f"falls {steepness:.2f} %): water may stand there for days. Ask a roofer or an engineer "
                "before covering it with a deck.",
                value=round(flat_pct, 1),
                limit=FLAT_SHARE_PCT,
                unit="% of the roof",
                source=f"{FALL_SOURCE}; the share is common practice, no source",
            )
        )
    if not any(drain.kind != "overflow" for drain in survey.drains):
        found.append(
            Finding(
                code="roof.no-drain",
                grade="check",
                place="job",
                text="The survey shows no drain, scupper or gutter. Find where the water leaves the roof "
                "before anything is laid over it.",
                source="IBC §1502 and IPC ch. 11 want roof drainage (sections from memory)",
            )
        )
        return tuple(found)
    low = _low_spot_findings(survey, surface, say)
    return (*found, *_no_overflow(survey), *low, *_pond_findings(survey, ponds, low, say))


def _no_overflow(survey: Survey) -> list[Finding]:
    """Ask for a second way out where walls all round would hold water back."""
    is_ringed = len(survey.edges) == len(survey.outline_mm) and all(
        edge.kind in ("parapet", "wall") for edge in survey.edges
    )
    if not is_ringed or any(drain.kind in ("overflow", "scupper", "gutter") for drain in survey.drains):
        return []
    return [
        Finding(
            code="roof.no-overflow",
            grade="check",
            place="job",
            text="Parapets and walls stand all round and no overflow, scupper or gutter is surveyed: with "
            "the drain blocked, water would rise over the whole roof, and water is heavy. Ask a roofer or "
            "the local building office for the second way out.",
            source="IPC §1108: secondary drainage where walls can trap water",
        )
    ]


def _low_spots(survey: Survey, surface: Surface) -> list[tuple[str, float, float, float]]:
    """Give places from which no way leads down: name, x, y, z."""
    if surface.zones:
        return []
    if surface.method == "plane":
        corners = [(x, y, surface.height_mm(x, y)) for x, y in survey.outline_mm]
        x, y, z = min(corners, key=lambda corner: corner[2])
        return [("lowest corner", x, y, z)]
    around: dict[int, set[int]] = {}
    for triangle in surface.triangles:
        for corner in triangle:
            around.setdefault(corner, set()).update(triangle)
    names = {(round(s.x_mm, 3), round(s.y_mm, 3)): s.id for s in survey.spot_heights}
    heights = surface.corners_mm
    return [
        (names[heights[corner][:2]], *heights[corner])
        for corner, others in sorted(around.items())
        if heights[corner][:2] in names
        and all(heights[other][2] > heights[corner][2] for other in others if other != corner)
    ]


def _open_edges(survey: Survey) -> shapely.Geometry:
    """Give the edges over which water can run off."""
    corners = survey.outline_mm
    lines = [
        (corners[edge.from_corner], corners[(edge.from_corner + 1) % len(corners)])
        for edge in survey.edges
        if edge.kind in ("open", "guard")
    ]
    return shapely.MultiLineString(lines)


def _low_spot_findings(survey: Survey, surface: Surface, say: Spoken) -> list[Finding]:
    """Give a check for each low spot with no outlet near and none about as low."""
    outlets = [drain for drain in survey.drains if drain.kind != "overflow"]
    open_edges = _open_edges(survey)
    found = []
    for name, x, y, z in _low_spots(survey, surface):
        runs_off = not shapely.is_empty(open_edges) and shapely.dwithin(
            open_edges, shapely.points(x, y), NEAR_DRAIN_MM
        )
        nearest = min(outlets, key=lambda drain: math.hypot(drain.x_mm - x, drain.y_mm - y))
        away_mm = math.hypot(nearest.x_mm - x, nearest.y_mm - y)
        depth_mm = min(surface.height_mm(drain.x_mm, drain.y_mm) for drain in outlets) - z
        if not runs_off and away_mm > NEAR_DRAIN_MM and depth_mm > LEAST_PUDDLE_MM:
            found.append(_low_spot_finding((name, x, y), nearest, away_mm, depth_mm, say))
    return found


def _low_spot_finding(
    spot: tuple[str, float, float], nearest: Drain, away_mm: float, depth_mm: float, say: Spoken
) -> Finding:
    """Say how deep water would stand and how far the nearest outlet is."""
    name, x, y = spot
    return Finding(
        code="roof.low-spot",
        grade="check",
        place=name if name != "lowest corner" else "job",
        text=f"Water can stand about {say.length(depth_mm)} deep at {name} {say.spot(x, y)}: the nearest "
        f"drain, {nearest.id}, is {say.length(away_mm)} away. Look for standing water 48 hours after rain "
        "and ask a roofer.",
        value=round(away_mm, 1),
        limit=NEAR_DRAIN_MM,
        unit="mm",
        source="Common practice, no source; 48 h is the roofing trade's usual test for ponding",
        at_mm=(x, y),
    )


def _pond_findings(survey: Survey, ponds: tuple[Pond, ...], low: list[Finding], say: Spoken) -> list[Finding]:
    """Tell of puddles that no low spot has told of: behind folds, in zones, where a rise bars the way."""
    found = []
    told = [finding.at_mm for finding in low if finding.at_mm is not None]
    for pond in ponds:
        near_drain = any(
            math.hypot(drain.x_mm - pond.x_mm, drain.y_mm - pond.y_mm) < NEAR_DRAIN_MM
            for drain in survey.drains
        )
        reach_mm = 1000.0 * math.sqrt(pond.area_m2) + NEAR_DRAIN_MM
        is_told = any(math.dist(at, (pond.x_mm, pond.y_mm)) < reach_mm for at in told)
        if pond.area_m2 < LEAST_POND_M2 or near_drain or is_told:
            continue
        found.append(
            Finding(
                code="roof.ponding",
                grade="check",
                place="job",
                text=f"Water can stand about {say.length(pond.depth_mm)} deep near "
                f"{say.spot(pond.x_mm, pond.y_mm)} over {say.area(pond.area_m2)}, about "
                f"{say.mass(pond.volume_m3 * 1000.0)} of it, before it runs on to {pond.outlet}. Look for "
                "standing water 48 hours after rain and ask a roofer.",
                value=round(pond.depth_mm, 1),
                limit=LEAST_PUDDLE_MM,
                unit="mm",
                source="Common practice, no source; 48 h is the roofing trade's usual test for ponding",
                at_mm=(pond.x_mm, pond.y_mm),
            )
        )
    return found
