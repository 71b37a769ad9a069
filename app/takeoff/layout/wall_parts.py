"""What a feature wall has beside its face: cap flashing, blocking behind a screen, its weight."""

import math

from app.job.choices import Board, Section
from app.job.plan import FeatureWall, Opening
from app.takeoff.layout.records import Line

# Legs of a cap down both faces, the drip at the foot of each, and the hem: bent from one sheet. Laps every
# stick of flashing. Common practice, no source.
CAP_LEG_MM, CAP_DRIP_MM, CAP_HEM_MM = 50.0, 12.0, 10.0
CAP_STICK_MM, CAP_LAP_MM = 3000.0, 100.0
# Blocking lies level behind a screen, at a third and two thirds of its height. Common practice, no source.
BLOCKING_AT = (1.0 / 3.0, 2.0 / 3.0)
# Corners, screws and flashing add about this share. Common practice, no source.
SMALL_PARTS = 1.1


def cap_across_mm(wall: FeatureWall, board: Board, furring: Section) -> float:
    """Give how deep the wall is at its top.

    Parameters
    ----------
    wall : FeatureWall
        May say it.
    board : Board
        Its cladding.
    furring : Section
        Its furring.

    Returns
    -------
    across_mm : float
        As said, else furring and cladding together; a free-standing wall is clad on its furring once. [mm]

    References
    ----------
    Definition.
    """
    return wall.cap_depth_mm or furring.depth_mm + board.thickness_mm


def cap_developed_mm(across_mm: float, slope_pct: float) -> float:
    """Give the width of the sheet from which a cap is bent.

    Parameters
    ----------
    across_mm : float
        Depth of the wall at its top. [mm]
    slope_pct : float
        Slope of the cap. [%]

    Returns
    -------
    developed_mm : float
        The slope, a leg of 50 mm down each face, a drip of 12 mm and a hem of 10 mm at each foot. [mm]

    Notes
    -----
    (a + 2 d)·√(1 + s²) + 2 (leg + drip + hem): the cap stands off both faces by the drip.

    Examples
    --------
    >>> cap_developed_mm(58.0, 5.0)
    226.10

    References
    ----------
    Common practice, no source.
    """
    over_mm = (across_mm + 2.0 * CAP_DRIP_MM) * math.hypot(1.0, slope_pct / 100.0)
    return over_mm + 2.0 * (CAP_LEG_MM + CAP_DRIP_MM + CAP_HEM_MM)


def cap_sheet_m2(length_mm: float, developed_mm: float) -> float:
    """Give the sheet that a cap takes.

    Parameters
    ----------
    length_mm : float
        Along the wall and its returns. [mm]
    developed_mm : float
        Width of the sheet. [mm]

    Returns
    -------
    sheet_m2 : float
        With a lap of 100 mm at every joint of 3 m sticks. [m2]

    Examples
    --------
    >>> cap_sheet_m2(2000.0, 250.0), cap_sheet_m2(3100.0, 250.0)
    (0.5, 0.8)

    References
    ----------
    Common practice, no source.
    """
    laps = max(0, math.ceil((length_mm - 0.4) / CAP_STICK_MM) - 1)
    return (length_mm + laps * CAP_LAP_MM) * developed_mm / 1e6


def blocking_of(opening: Opening) -> tuple[Line, ...]:
    """Give the blocking behind the screen of a niche.

    Parameters
    ----------
    opening : Opening
        A niche with a screen; any other has none.

    Returns
    -------
    lines : tuple of Line
        Two level sticks across the whole niche. [mm]

    References
    ----------
    Common practice, no source; the maker's bracket decides.
    """
    if opening.screen_width_mm is None or opening.screen_height_mm is None:
        return ()
    foot_mm = opening.z_mm + (opening.height_mm - opening.screen_height_mm) / 2.0
    heights = [foot_mm + share * opening.screen_height_mm for share in BLOCKING_AT]
    right_mm = opening.x_mm + opening.width_mm
    return tuple(Line((opening.x_mm, z), (right_mm, z)) for z in heights)
