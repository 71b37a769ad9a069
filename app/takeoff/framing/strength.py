"""What a sleeper's timber may be asked to bear: published values, adjusted for how it is used."""

from dataclasses import dataclass

from app.job.choices import Section
from app.tables.lumber import design_values, factors, flat_factor, size_factor
from app.tables.reference import Source

_DIMENSION_LUMBER_MM = (37.0, 102.0)  # 2 to 4 in thick, green or dry: the tables hold for no other
_FLAT_FACTOR_UP_TO_MM = 64.0  # Cfu of the table is for 2 to 3 in; thicker is printed lower, so 1.0 is taken


@dataclass(frozen=True, slots=True)
class Member:
    """A section as laid, with the strength it may be asked for under a ten-year load.

    Attributes
    ----------
    width_mm, depth_mm : float
        As laid. [mm]
    bending_mpa, shear_mpa, bearing_mpa, elastic_mpa : float
        Fb', Fv', Fc⊥' and E', all factors in but the load duration. [MPa]
    factors : tuple of (str, float)
        Those on bending, by the letter the standard gives them.
    source : Source
        Of the reference values.
    """

    width_mm: float
    depth_mm: float
    bending_mpa: float
    shear_mpa: float
    bearing_mpa: float
    elastic_mpa: float
    factors: tuple[tuple[str, float], ...]
    source: Source

    @property
    def modulus_mm3(self) -> float:
        """Give the section modulus as laid. [mm3]."""
        return self.width_mm * self.depth_mm**2 / 6

    @property
    def inertia_mm4(self) -> float:
        """Give the second moment of area as laid. [mm4]."""
        return self.width_mm * self.depth_mm**3 / 12


def member_of(section: Section, *, is_repetitive: bool) -> Member | None:
    """Give a section as laid, with its adjusted design values.

    Parameters
    ----------
    section : Section
        Species, size and service.
    is_repetitive : bool
        Whether three or more share the load, no more than 24 in apart.

    Returns
    -------
    member : Member or None
        None when no published value covers the species or the size.

    Notes
    -----
    Fb' = Fb·CF·Cfu·CM·Ci·Cr, Fv' = Fv·CM·Ci, Fc⊥' = Fc⊥·CM·Ci, E' = E·CM·Ci. CF is left out for southern
    pine, whose values hold the size already. CM on Fb is 0.85 only when Fb·CF is above 1150 psi: testing Fb
    alone gives longer spans than the published table. Load duration is put on bending and shear by the load
    case, never on E or Fc⊥. Depth over width above 2 wants the ends held upright (NDS 4.4.1).

    References
    ----------
    NDS 2018 Table 4.3.1; NDS Supplement 2018 Tables 4A and 4B.
    """
    wide_mm, thick_mm = max(section.width_mm, section.depth_mm), min(section.width_mm, section.depth_mm)
    values = design_values(section.species, wide_mm)
    by_size, when_flat = size_factor(wide_mm), flat_factor(wide_mm)
    least_mm, greatest_mm = _DIMENSION_LUMBER_MM
    if values is None or by_size is None or when_flat is None or not least_mm <= thick_mm <= greatest_mm:
        return None
    rules = factors()
    is_flat = section.width_mm > section.depth_mm and thick_mm <= _FLAT_FACTOR_UP_TO_MM
    size = 1.0 if values.is_size_adjusted else by_size
    is_weakened = section.is_wet_service and values.bending_mpa * size > rules.wet_bending_full_mpa
    on_bending = (
        ("CF", size),
        ("Cfu", when_flat if is_flat else 1.0),
        ("CM", rules.wet_bending if is_weakened else 1.0),
        ("Ci", rules.incised_bending if section.is_incised else 1.0),
        ("Cr", rules.repetitive if is_repetitive else 1.0),
    )
    bending_mpa = values.bending_mpa
    for _, factor in on_bending:
        bending_mpa *= factor
    wet = section.is_wet_service
    return Member(
        width_mm=section.width_mm,
        depth_mm=section.depth_mm,
        bending_mpa=bending_mpa,
        shear_mpa=values.shear_mpa
        * (rules.wet_shear if wet else 1.0)
        * (rules.incised_shear if section.is_incised else 1.0),
        bearing_mpa=values.bearing_mpa
        * (rules.wet_bearing if wet else 1.0)
        * (rules.incised_bearing if section.is_incised else 1.0),
        elastic_mpa=values.modulus_mpa
        * (rules.wet_modulus if wet else 1.0)
        * (rules.incised_modulus if section.is_incised else 1.0),
        factors=on_bending,
        source=values.source,
    )
