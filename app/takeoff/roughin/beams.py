"""The light of one lamp: how strong it shines in each direction, from a beam angle or a photometric file."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.job.choices import FixtureKind
from app.job.photometry import Photometry
from app.job.plan import Fixture

Floats = NDArray[np.float64]
FULL_LIGHT = 180.0  # a beam this wide or wider shines evenly into its cone


@dataclass(frozen=True, slots=True, eq=False)
class Lamp:
    """One light in its place.

    Attributes
    ----------
    id : str
        Of the fixture.
    spot_mm : tuple of float
        On plan, and above the deck. [mm]
    axis, side : array
        Unit vectors: where it looks, and where its horizontal angle 0 lies.
    output_lm : float
        Of a beam; a file brings its own. [lm]
    beam_deg : float
        Between the directions of half the greatest intensity. [deg]
    file : Photometry or None
        Used in place of output and beam.
    """

    id: str
    spot_mm: tuple[float, float, float]
    axis: Floats
    side: Floats
    output_lm: float = 0.0
    beam_deg: float = 120.0
    file: Photometry | None = None


def lamp_at(
    name: str,
    spot_mm: tuple[float, float, float],
    tilt_deg: float = 0.0,
    aim_deg: float = 0.0,
    *,
    output_lm: float = 0.0,
    beam_deg: float = 120.0,
    file: Photometry | None = None,
) -> Lamp:
    """Give a lamp turned into its direction.

    Parameters
    ----------
    name : str
        Of the fixture.
    spot_mm : tuple of float
        On plan, and above the deck. [mm]
    tilt_deg : float
        From straight down; 180 is straight up. [deg]
    aim_deg : float
        Where it looks on plan when tilted, anticlockwise from x. [deg]
    output_lm : float
        Of a beam. [lm]
    beam_deg : float
        Between the directions of half the greatest intensity. [deg]
    file : Photometry or None
        Used in place of output and beam.

    Returns
    -------
    lamp : Lamp

    References
    ----------
    Definition; type C of LM-63: vertical angle 0 along the axis, horizontal angle 0 where it is aimed.
    """
    tilt, aim = math.radians(tilt_deg), math.radians(aim_deg)
    sin, cos = math.sin(tilt), math.cos(tilt)
    axis = np.array([sin * math.cos(aim), sin * math.sin(aim), -cos])
    side = np.array([cos * math.cos(aim), cos * math.sin(aim), sin])
    return Lamp(name, spot_mm, axis, side, output_lm, beam_deg, file)


def lamps_of(fixtures: tuple[Fixture, ...], kinds: Mapping[str, FixtureKind]) -> tuple[Lamp, ...]:
    """Give the lamps of a plan that have a data sheet with light in it.

    Parameters
    ----------
    fixtures : tuple of Fixture
        As drawn.
    kinds : mapping of str to FixtureKind
        Data sheets by id.

    Returns
    -------
    lamps : tuple of Lamp
        In the order of the plan; fixtures without known light are left out.

    References
    ----------
    Definition.
    """
    found = []
    for fixture in fixtures:
        kind = kinds.get(fixture.model or "")
        if kind is None or not (kind.output_lm or kind.photometry):
            continue
        spot = (fixture.x_mm, fixture.y_mm, fixture.z_mm)
        found.append(
            lamp_at(
                fixture.id,
                spot,
                fixture.tilt_deg,
                fixture.aim_deg,
                output_lm=kind.output_lm,
                beam_deg=kind.beam_deg,
                file=kind.photometric(),
            )
        )
    return tuple(found)


def beam_exponent(beam_deg: float) -> float:
    """Give the exponent of the cosine that falls to one half at half the beam angle.

    Parameters
    ----------
    beam_deg : float
        Between the directions of half the greatest intensity, below 180. [deg]

    Returns
    -------
    exponent : float

    Notes
    -----
    I = I0 cosⁿ θ, n = ln 0.5 / ln cos(beam / 2): 1 for 120°, a matt disc.

    Examples
    --------
    >>> beam_exponent(120.0)
    1.000

    References
    ----------
    Definition of the beam angle; the power of a cosine is common practice, no source.
    """
    return math.log(0.5) / math.log(math.cos(math.radians(beam_deg / 2)))


def greatest_cd(lamp: Lamp) -> float:
    """Give the greatest intensity of a lamp.

    Parameters
    ----------
    lamp : Lamp
        In any direction.

    Returns
    -------
    greatest_cd : float
        In candela.

    Notes
    -----
    Of a beam below 180°: Φ (n + 1) / 2π; wider: Φ over the solid angle of its cone.

    References
    ----------
    Definition of luminous flux.
    """
    if lamp.file is not None:
        return max(max(row) for row in lamp.file.candela)
    if lamp.beam_deg < FULL_LIGHT:
        return lamp.output_lm * (beam_exponent(lamp.beam_deg) + 1) / (2 * math.pi)
    return lamp.output_lm / (2 * math.pi * (1 - math.cos(math.radians(lamp.beam_deg / 2))))


def _file_cd(file: Photometry, theta_deg: Floats, phi_deg: Floats) -> Floats:
    """Give intensities between the printed angles, straight from one to the next."""
    vertical, horizontal = np.array(file.vertical_deg), np.array(file.horizontal_deg)
    table = np.array(file.candela)
    last = horizontal[-1]
    phi = phi_deg % 360.0
    if horizontal[0] == 90.0:  # printed for the far half alone
        phi = np.where((phi < 90.0) | (phi > 270.0), (180.0 - phi) % 360.0, phi)
    elif last <= 180.0:
        phi = np.minimum(phi, 360.0 - phi)
        phi = np.minimum(phi, 180.0 - phi) if last == 90.0 else phi
    at = np.clip(np.searchsorted(vertical, theta_deg, side="right") - 1, 0, len(vertical) - 2)
    share = (theta_deg - vertical[at]) / (vertical[at + 1] - vertical[at])
    if len(horizontal) == 1:
        found = table[0, at] * (1 - share) + table[0, at + 1] * share
    else:
        on = np.clip(np.searchsorted(horizontal, phi, side="right") - 1, 0, len(horizontal) - 2)
        part = np.clip((phi - horizontal[on]) / (horizontal[on + 1] - horizontal[on]), 0, 1)
        near = table[on, at] * (1 - share) + table[on, at + 1] * share
        far = table[on + 1, at] * (1 - share) + table[on + 1, at + 1] * share
        found = near * (1 - part) + far * part
    is_printed = (theta_deg >= vertical[0] - 1e-9) & (theta_deg <= vertical[-1] + 1e-9)
    return np.where(is_printed, found, 0.0)


def intensity_cd(lamp: Lamp, toward: Floats) -> Floats:
    """Give how strong a lamp shines in some directions.

    Parameters
    ----------
    lamp : Lamp
        In its place.
    toward : array
        Unit vectors away from it, one in each row.

    Returns
    -------
    intensity_cd : array
        In candela; nothing behind a beam below 180°, nothing beyond the angles a file prints.

    References
    ----------
    ANSI/IESNA LM-63-02, clause 3, read in a copy: horizontal angles of type C are anticlockwise, planes are
    upright through one axis. That seen from above is meant is from memory; that plane 0 lies along the
    length of the lamp stands in a software maker's page on the format. Straight between the printed
    angles. Without a file, `beam_exponent`.
    """
    cosine = np.clip(toward @ lamp.axis, -1.0, 1.0)
    if lamp.file is not None:
        across = np.cross(lamp.side, lamp.axis)
        phi = np.degrees(np.arctan2(toward @ across, toward @ lamp.side))
        return _file_cd(lamp.file, np.degrees(np.arccos(cosine)), phi)
    most = greatest_cd(lamp)
    if lamp.beam_deg >= FULL_LIGHT:
        edge = math.cos(math.radians(lamp.beam_deg / 2)) - 1e-12
        return np.where(cosine >= edge, most, 0.0)
    return most * np.power(np.clip(cosine, 0.0, 1.0), beam_exponent(lamp.beam_deg))


def file_output_lm(file: Photometry) -> float:
    """Give the light that a photometric file adds up to.

    Parameters
    ----------
    file : Photometry
        Of type C.

    Returns
    -------
    output_lm : float
        [lm]

    Notes
    -----
    Mean of the two edges of each zone × 2π (cos a − cos b); horizontal angles by their widths.

    References
    ----------
    Zonal constants of the lumen method; exact for a cosine distribution.
    """
    vertical, horizontal = np.radians(file.vertical_deg), np.array(file.horizontal_deg)
    zones = 2 * math.pi * (np.cos(vertical[:-1]) - np.cos(vertical[1:]))
    table = np.array(file.candela)
    rows = ((table[:, :-1] + table[:, 1:]) / 2) @ zones
    if len(horizontal) == 1:
        return float(rows[0])
    widths = np.diff(horizontal)
    return float(((rows[:-1] + rows[1:]) / 2) @ widths / widths.sum())
