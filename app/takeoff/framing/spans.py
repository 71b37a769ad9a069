"""How far a sleeper may span before one thing or another gives: the longest span by each.

Written for a load per length in kN/m, which is N/mm.
"""

import math

N_PER_KN_MM2_PER_KPA = 1e-3  # 1 kPa = 0.001 N/mm2


def bending_span_mm(bending_mpa: float, modulus_mm3: float, load_kn_m: float) -> float:
    """Give the longest simple span that bending allows.

    Parameters
    ----------
    bending_mpa : float
        Adjusted design value. [MPa]
    modulus_mm3 : float
        Section modulus as laid. [mm3]
    load_kn_m : float
        Whole load per length. [kN/m]

    Returns
    -------
    span_mm : float
        [mm]

    Notes
    -----
    wL²/8 = Fb'·S. A continuous sleeper has less in the span, but no less when only some spans are loaded.

    Examples
    --------
    >>> bending_span_mm(10.0, 50000.0, 4.0)
    1000.0

    References
    ----------
    AWC span method, bending.
    """
    return math.sqrt(8 * bending_mpa * modulus_mm3 / load_kn_m)


def shear_span_mm(shear_mpa: float, area_mm2: float, load_kn_m: float) -> float:
    """Give the longest span that shear allows.

    Parameters
    ----------
    shear_mpa : float
        Adjusted design value. [MPa]
    area_mm2 : float
        Of the section. [mm2]
    load_kn_m : float
        Whole load per length. [kN/m]

    Returns
    -------
    span_mm : float
        [mm]

    Notes
    -----
    1.5 V/A = Fv' with V = 5wL/8, the first inner support of two spans; wL/2 would be too little.

    Examples
    --------
    >>> shear_span_mm(1.0, 3750.0, 4.0)
    1000.0

    References
    ----------
    NDS 3.4.2; shear of a two-span beam.
    """
    return shear_mpa * area_mm2 * 8 / (1.5 * 5 * load_kn_m)


def deflection_span_mm(elastic_mpa: float, inertia_mm4: float, live_kn_m: float, ratio: float) -> float:
    """Give the longest simple span that deflection under live load allows.

    Parameters
    ----------
    elastic_mpa : float
        Adjusted modulus of elasticity. [MPa]
    inertia_mm4 : float
        Second moment of area as laid. [mm4]
    live_kn_m : float
        Live load alone, per length; infinite span for none. [kN/m]
    ratio : float
        Span over deflection allowed, as 360.

    Returns
    -------
    span_mm : float
        [mm]

    Notes
    -----
    5wL⁴/(384EI) = L/n, so L = (384EI/(5nw))^⅓.

    Examples
    --------
    >>> deflection_span_mm(10000.0, 1.0e6, 1.0, 360.0)
    1287.4

    References
    ----------
    AWC span method, deflection under live load only.
    """
    if live_kn_m <= 0:
        return math.inf
    return float((384 * elastic_mpa * inertia_mm4 / (5 * ratio * live_kn_m)) ** (1 / 3))


def pad_span_mm(limit_kpa: float, contact_mm2: float, load_kn_m: float, share: float = 1.25) -> float:
    """Give the longest pad spacing that pressure on a pad allows.

    Parameters
    ----------
    limit_kpa : float
        Pressure the pad (or what lies beneath it) may bear for years. [kPa]
    contact_mm2 : float
        Area really pressed. [mm2]
    load_kn_m : float
        Whole load per length. [kN/m]
    share : float
        Reaction over load × span: 5/4 for the inner support of two spans, the most of equal spans.

    Returns
    -------
    span_mm : float
        [mm]

    Examples
    --------
    >>> pad_span_mm(100.0, 10000.0, 1.0)
    800.0

    References
    ----------
    Reaction of a two-span beam.
    """
    return limit_kpa * N_PER_KN_MM2_PER_KPA * contact_mm2 / (share * load_kn_m)


def point_bending_span_mm(bending_mpa: float, modulus_mm3: float, load_kn_m: float, point_kn: float) -> float:
    """Give the longest simple span that bending allows under a load on its length and one at its middle.

    Parameters
    ----------
    bending_mpa : float
        Adjusted design value. [MPa]
    modulus_mm3 : float
        Section modulus as laid. [mm3]
    load_kn_m : float
        Load per length that is there as well. [kN/m]
    point_kn : float
        Load at the middle. [kN]

    Returns
    -------
    span_mm : float
        [mm]

    Notes
    -----
    wL²/8 + PL/4 = Fb'S, solved for L. One span loaded alone is the worst place of one load.

    Examples
    --------
    >>> point_bending_span_mm(8.0, 1.0e6, 8.0, 0.0), point_bending_span_mm(8.0, 1.0e6, 0.0, 32.0)
    (2828.4, 1000.0)

    References
    ----------
    Simple span with a load at its middle.
    """
    moment_nmm, point_n = bending_mpa * modulus_mm3, point_kn * 1000
    if load_kn_m <= 0:
        return 4 * moment_nmm / point_n
    return (math.sqrt(point_n**2 / 16 + load_kn_m * moment_nmm / 2) - point_n / 4) * 4 / load_kn_m


def point_deflection_span_mm(elastic_mpa: float, inertia_mm4: float, point_kn: float, ratio: float) -> float:
    """Give the longest simple span that deflection under a load at its middle allows.

    Parameters
    ----------
    elastic_mpa : float
        Adjusted modulus of elasticity. [MPa]
    inertia_mm4 : float
        Second moment of area as laid. [mm4]
    point_kn : float
        Load at the middle. [kN]
    ratio : float
        Span over deflection allowed, as 360.

    Returns
    -------
    span_mm : float
        [mm]

    Notes
    -----
    PL³/(48EI) = L/n, so L = √(48EI/(nP)).

    Examples
    --------
    >>> point_deflection_span_mm(10000.0, 1.0e6, 1.0, 360.0)
    1154.7

    References
    ----------
    Simple span with a load at its middle.
    """
    return math.sqrt(48 * elastic_mpa * inertia_mm4 / (ratio * point_kn * 1000))
