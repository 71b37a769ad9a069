"""Amounts in sentences: every finding writes lengths, areas, masses and loads in the job's own system."""

import math
from dataclasses import dataclass
from typing import Literal

from app.measure.show import Kind, format_length, format_quantity, format_temperature

# Units in which findings carry their figures: what is measured, and how many of its base unit one is.
_AT_HOME: dict[str, tuple[Kind | Literal["length"], float]] = {
    "mm": ("length", 1.0),
    "kPa": ("load", 1.0),
    "kN": ("force", 1.0),
    "kg": ("mass", 1.0),
    "m2": ("area", 1.0),
    "cm2": ("area", 1e-4),
    "MPa": ("stress", 1.0),
}


@dataclass(frozen=True, slots=True)
class Spoken:
    """Writes amounts as the people of one job read them: ``Spoken(job.units).length(914.4)``.

    Attributes
    ----------
    units : str
        ``imperial`` or ``metric``.
    """

    units: str

    def length(self, length_mm: float) -> str:
        """Give a length to the millimetre or the sixteenth of an inch."""
        return format_length(length_mm, self.units)

    def way(self, length_mm: float) -> str:
        """Give a length of way or pipe: to a tenth of a metre, or the inch."""
        if self.units == "metric":
            return f"{length_mm / 1000.0:.1f} m"
        return format_length(round(length_mm / 25.4) * 25.4, self.units)

    def heat(self, power_w: float) -> str:
        """Give what a burner takes: in kW, or thousands of British thermal units in an hour."""
        if self.units == "metric":
            return f"{power_w / 1000.0:.1f} kW"
        return f"{power_w / 293.07107:.1f} kBtu/h"  # Btu (IT) of 1055.056 J

    def pressure(self, pressure_kpa: float) -> str:
        """Give a gas pressure: in kPa, or inches of water."""
        if self.units == "metric":
            return f"{pressure_kpa:.3f} kPa"
        return f"{pressure_kpa / 0.24908891:.2f} in. of water"  # conventional, 4 °C

    def gap(self, gap_mm: float) -> str:
        """Give a small length: to a tenth of a millimetre, or the sixteenth of an inch."""
        if self.units == "imperial":
            return format_length(gap_mm, self.units)
        return f"{gap_mm:.1f} mm".replace("-", "−")

    def shim(self, shim_mm: float) -> str:
        """Give a shim: to half a millimetre, or the thirty-second of an inch."""
        if self.units == "metric":
            return f"{shim_mm:.1f} mm"
        parts = round(shim_mm / 25.4 * 32.0)
        whole, left = divmod(parts, 32)
        shared = math.gcd(left, 32)
        fraction = f"{left // shared}/{32 // shared}" if left else ""
        return f'{" ".join(word for word in (str(whole) if whole else "", fraction) if word) or "0"}"'

    def patch(self, area_mm2: float) -> str:
        """Give a small area in cm² or square inches."""
        if self.units == "imperial":
            return f"{area_mm2 / 25.4**2:.0f} in²"
        return f"{area_mm2 / 100.0:.0f} cm²"

    def area(self, area_m2: float) -> str:
        """Give an area in m² or ft²."""
        return format_quantity(area_m2, "area", self.units)

    def volume(self, volume_m3: float) -> str:
        """Give a volume in m³ or ft³."""
        return format_quantity(volume_m3, "volume", self.units)

    def mass(self, mass_kg: float) -> str:
        """Give a mass to the kilogram, or to a tenth of a pound."""
        if self.units == "metric":
            return f"{mass_kg:.0f} kg"
        return format_quantity(mass_kg, "mass", self.units)

    def density(self, density_kg_m3: float) -> str:
        """Give a density in kg/m³ or pounds by the cubic foot."""
        return format_quantity(density_kg_m3, "density", self.units)

    def load(self, load_kpa: float) -> str:
        """Give a load by area in kPa or psf."""
        return format_quantity(load_kpa, "load", self.units)

    def stress(self, stress_mpa: float) -> str:
        """Give a stress in timber in MPa or psi."""
        return format_quantity(stress_mpa, "stress", self.units)

    def force(self, force_kn: float) -> str:
        """Give a force in kN or lbf."""
        return format_quantity(force_kn, "force", self.units)

    def measured(self, amount: float, unit: str) -> str:
        """Give an amount that a finding carries: as it is, or in the unit of its kind at home here."""
        if self.units == "metric" or unit not in _AT_HOME:
            return f"{amount:,.2f} {unit}".replace("-", "−")
        kind, base = _AT_HOME[unit]
        return self.length(amount) if kind == "length" else format_quantity(amount * base, kind, self.units)

    def sag(self, sag_mm: float) -> str:
        """Give a deflection: to a hundredth of a millimetre, or a thousandth of an inch."""
        return f"{sag_mm:.2f} mm" if self.units == "metric" else f"{sag_mm / 25.4:.3f} in"

    def warmth(self, temperature_c: float) -> str:
        """Give a temperature in whole degrees."""
        return format_temperature(temperature_c, self.units)

    def spot(self, x_mm: float, y_mm: float) -> str:
        """Give a place on plan as its two distances from the origin."""
        return f"({self.length(x_mm)}, {self.length(y_mm)})"
