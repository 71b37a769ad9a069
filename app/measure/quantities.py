"""All readers of what people type, under one roof: one for each kind of quantity."""

from app.measure.lengths import read_mm
from app.measure.loads import read_kg, read_kg_m, read_kg_m2, read_kg_m3, read_kn, read_kpa
from app.measure.services import read_c, read_deg, read_min, read_per_c, read_v, read_w

__all__ = [
    "read_c",
    "read_deg",
    "read_kg",
    "read_kg_m",
    "read_kg_m2",
    "read_kg_m3",
    "read_kn",
    "read_kpa",
    "read_min",
    "read_mm",
    "read_per_c",
    "read_v",
    "read_w",
]
