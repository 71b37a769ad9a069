"""Snow on the roof and wind at its height, by the edition named; shown for the engineer, never marked."""

import math

from app.job.job import Job
from app.job.survey import Snow, Wind
from app.measure.show import format_load
from app.takeoff.totals.records import WeatherLoad

KPA_PER_PSF = 0.04788026  # 1 lbf/ft2 = 47.88026 Pa, NIST SP 811
MM_PER_FT = 304.8
M_S_PER_MPH = 0.44704  # exact, NIST SP 811
# Low-slope least: ground load up to 20 psf, 20 psf above. ASCE 7-10 and 7-16 §7.3.4.
LEAST_SNOW_KPA = 20 * KPA_PER_PSF
LOWEST_FT = 15.0
# Exposure: α, gradient height in ft. ASCE 7-10/7-16 table 26.9-1/26.11-1; 7-22 table 26.11-1 from memory.
PROFILE = {"B": (7.0, 1200.0), "C": (9.5, 900.0), "D": (11.5, 700.0)}
PROFILE_22 = {"B": (7.5, 3280.0), "C": (9.8, 2460.0), "D": (11.5, 1935.0)}


def weather_loads(job: Job) -> tuple[WeatherLoad, ...]:
    """Give what the snow and wind given for the site come to.

    Parameters
    ----------
    job : Job
        With snow and wind, where given.

    Returns
    -------
    loads : tuple of WeatherLoad
        None for what is not given.

    References
    ----------
    As `roof_snow` and `wind_pressure`.
    """
    snow, wind = job.survey.snow, job.survey.wind
    return (
        *((roof_snow(snow, job.units),) if snow else ()),
        *((wind_pressure(wind, job.units),) if wind else ()),
    )


def roof_snow(snow: Snow, units: str = "metric") -> WeatherLoad:
    """Give the balanced snow load of a low-slope roof.

    Parameters
    ----------
    snow : Snow
        Ground load and factors, of one edition.
    units : str
        ``imperial`` or ``metric``, in which it is told.

    Returns
    -------
    load : WeatherLoad
        Without drifts, which walls, parapets and planters gather beside them.

    Notes
    -----
    ASCE 7-16: 0.7 Ce Ct Is pg, at least Is pg up to 20 psf and 20 psf × Is above. ASCE 7-22:
    0.7 Ce Ct pg, whose pg is of another kind (strength level); its own least load is not computed here.

    Examples
    --------
    >>> snow = Snow(ground_snow_kpa=30 * KPA_PER_PSF, edition="ASCE 7-16", source="example")
    >>> round(roof_snow(snow).kpa / KPA_PER_PSF, 1)
    21.0

    References
    ----------
    ASCE 7-16 §7.3, ASCE 7-22 §7.3 (secondary sources).
    """
    ground = snow.ground_snow_kpa
    told = format_load(ground, units)
    flat = 0.7 * snow.exposure_factor * snow.thermal_factor * ground
    factors = f"0.7 × {snow.exposure_factor:g} × {snow.thermal_factor:g}"
    if snow.edition == "ASCE 7-22":
        why = f"{factors} × {told}; the edition's least load for low slopes is not computed"
        return WeatherLoad("snow", flat, why, f"{snow.edition} §7.3; ground load: {snow.source}")
    flat *= snow.importance_factor
    least = snow.importance_factor * min(ground, LEAST_SNOW_KPA)
    why = (
        f"{factors} × {snow.importance_factor:g} × {told} = {format_load(flat, units)}, "
        f"at least {format_load(least, units)} on a low slope"
    )
    return WeatherLoad("snow", max(flat, least), why, f"{snow.edition} §7.3; ground load: {snow.source}")


def wind_pressure(wind: Wind, units: str = "metric") -> WeatherLoad:
    """Give the velocity pressure at the height of the roof.

    Parameters
    ----------
    wind : Wind
        Speed and factors, of one edition.
    units : str
        ``imperial`` or ``metric``, in which it is told.

    Returns
    -------
    load : WeatherLoad
        Of the wind itself; what lifts or pushes a part is a multiple of it, greatest at corners.

    Notes
    -----
    q = 0.613 Kz Kzt Kd Ke V² in Pa with V in m/s, told as 0.00256 … V² in psf with V in
    mph. ASCE 7-10 has no Ke; ASCE 7-22 moves Kd from q to the
    pressures. Kz, unless given, = 2.01 (z/zg)^(2/α) with z at least 15 ft; in ASCE 7-22 2.41
    and other zg.

    Examples
    --------
    >>> wind = Wind(
    ...     wind_speed_m_s=115 * 0.44704,
    ...     edition="ASCE 7-16",
    ...     exposure="C",
    ...     roof_height_mm=4572,
    ...     source="example",
    ... )
    >>> round(wind_pressure(wind).kpa / KPA_PER_PSF, 1)
    24.4

    References
    ----------
    ASCE 7-10 §27.3, ASCE 7-16 §26.10, ASCE 7-22 §26.10 (the last from memory).
    """
    is_22 = wind.edition == "ASCE 7-22"
    alpha, gradient_ft = (PROFILE_22 if is_22 else PROFILE)[wind.exposure]
    height_ft = max(LOWEST_FT, wind.roof_height_mm / MM_PER_FT)
    by_formula = (2.41 if is_22 else 2.01) * math.pow(min(1.0, height_ft / gradient_ft), 2 / alpha)
    height_factor = by_formula if wind.height_factor is None else wind.height_factor
    factors = [("Kz", height_factor), ("Kzt", wind.topographic_factor)]
    if not is_22:
        factors.append(("Kd", wind.directionality_factor))
    if wind.edition != "ASCE 7-10":
        factors.append(("Ke", wind.ground_elevation_factor))
    pascal = 0.613 * math.prod(value for _, value in factors) * wind.wind_speed_m_s**2
    shown = " × ".join(f"{name} {value:.2f}" for name, value in factors)
    is_metric = units == "metric"
    speed = f"{wind.wind_speed_m_s:g} m/s" if is_metric else f"{wind.wind_speed_m_s / M_S_PER_MPH:.0f} mph"
    why = f"{'0.613' if is_metric else '0.00256'} × {shown} × ({speed})², exposure {wind.exposure}"
    if is_22:
        why += "; Kd belongs to the pressures in this edition"
    unread = " (Kz by constants from memory)" if has_unread_height_factor(wind) else ""
    return WeatherLoad(
        "wind", pascal / 1000, why, f"{wind.edition} velocity pressure{unread}; wind speed: {wind.source}"
    )


def has_unread_height_factor(wind: Wind) -> bool:
    """Tell whether the factor of height rests on constants that nobody has read in print.

    Parameters
    ----------
    wind : Wind
        Its edition, and the factor where it is given.

    Returns
    -------
    is_unread : bool
        Only the newest edition's; a factor that is given has the source of the wind.

    References
    ----------
    ASCE 7-22 table 26.11-1, from memory.
    """
    return wind.edition == "ASCE 7-22" and wind.height_factor is None
