"""Builders with sane defaults: a 6 × 4 m roof on an exact plane, with one deck field."""

from datetime import date
from typing import Any

from app.job import choices as c
from app.job import plan as p
from app.job import survey as s
from app.job.job import Job

FALL = 0.02  # of the roof below, towards y = 0


def roof_height_mm(x_mm: float, y_mm: float) -> float:
    """Give the exact plane that `a_survey` is measured on."""
    return -200.0 + FALL * y_mm


def spot_heights(*places_mm: tuple[float, float]) -> tuple[s.SpotHeight, ...]:
    """Spot heights on the exact plane, at the places given."""
    return tuple(
        s.SpotHeight(id=f"h{number}", x_mm=x, y_mm=y, z_mm=roof_height_mm(x, y))
        for number, (x, y) in enumerate(places_mm, start=1)
    )


def a_survey(**changes: Any) -> s.Survey:
    """A rectangle 6 × 4 m: door in the wall at y = 4000, drain near y = 0, guards high enough."""
    fields: dict[str, Any] = {
        "surveyed_on": date(2026, 3, 2),
        "surveyed_by": "M. Tarn",
        "outline_mm": ((0, 0), (6000, 0), (6000, 4000), (0, 4000)),
        "edges": (
            s.Edge(id="south", from_corner=0, kind="parapet", height_mm=1400, drop_mm=6000),
            s.Edge(id="east", from_corner=1, kind="parapet", height_mm=1400, drop_mm=6000),
            s.Edge(id="north", from_corner=2, kind="wall", height_mm=3000),
            s.Edge(id="west", from_corner=3, kind="parapet", height_mm=1400, drop_mm=6000),
        ),
        "spot_heights": spot_heights((0, 0), (6000, 0), (6000, 4000), (0, 4000), (3000, 2000)),
        "drains": (s.Drain(id="drain", kind="drain", x_mm=3000, y_mm=150),),
        "doors": (s.Door(id="door", x_mm=3000, y_mm=4000, width_mm=900, threshold_mm=0),),
        "way_up": s.WayUp(
            kind="stair", longest_piece_mm=3600, trip_mass_kg=25, minutes_per_trip_min=4, people=2
        ),
        "membrane": s.Membrane(kind="two-ply bitumen", insulation="none"),
        "temperatures": s.Temperatures(lowest_c=-15, highest_c=60, fitting_c=15, source="invented"),
        "allowable_load": s.AllowableLoad(
            dead_kpa=4.0, live_kpa=4.8, point_kn=4.5, given_by="L. Sund, engineer", given_on=date(2026, 2, 20)
        ),
        "live_load": s.LiveLoad(live_kpa=4.79, source="asked of the building office (invented)"),
        "power_points": (s.PowerPoint(id="panel", x_mm=5500, y_mm=4000, z_mm=1200, supply_v=120),),
        "gas_points": (s.GasPoint(id="gas", x_mm=6000, y_mm=3000, z_mm=300, pipe_to_meter_mm=9000),),
    }
    return s.Survey(**(fields | changes))


def a_deck_field(**changes: Any) -> p.DeckField:
    """A field of 5.6 × 3.7 m with courses along x."""
    fields: dict[str, Any] = {
        "id": "deck",
        "outline_mm": ((200, 200), (5800, 200), (5800, 3900), (200, 3900)),
        "board": "pine",
        "sleeper": "sleeper",
        "pad": "pad",
    }
    return p.DeckField(**(fields | changes))


def a_planter(**changes: Any) -> p.Planter:
    """A planter of 1200 × 450 mm in the corner near (200, 200)."""
    fields: dict[str, Any] = {"id": "planter", "x_mm": 900, "y_mm": 500, "length_mm": 1200, "width_mm": 450}
    fields |= {
        "height_mm": 450,
        "medium": "light",
        "media_depth_mm": 300,
        "cladding": "pine",
        "frame": "frame",
    }
    return p.Planter(**(fields | changes))


def a_plan(**changes: Any) -> p.Plan:
    """One deck field and nothing else."""
    return p.Plan(**({"deck_fields": (a_deck_field(),)} | changes))


def stock(code: str, *lengths_mm: int) -> tuple[c.StockLength, ...]:
    """Stock lengths with an item code each."""
    return tuple(c.StockLength(item=f"{code}-{length}", length_mm=length) for length in lengths_mm)


def a_board(**changes: Any) -> c.Board:
    """Thermally modified pine, 20 × 140 mm."""
    fields: dict[str, Any] = {"id": "pine", "name": "Thermally modified pine 20 × 140", "material": "wood"}
    fields |= {"width_mm": 140, "thickness_mm": 20, "mass_kg_m": 1.26, "expansion_per_c": 4e-6}
    fields |= {"expansion_source": "invented", "fastener": "SCREW-DECK"}
    fields |= {"stock": stock("DECK-TMP", 2400, 3000, 3600, 4800)}
    return c.Board(**(fields | changes))


def a_plastic_board(**changes: Any) -> c.Board:
    """Wood-plastic board, 23 × 140 mm, on clips."""
    fields: dict[str, Any] = {"id": "plastic", "name": "Wood-plastic 23 × 140", "material": "wood-plastic"}
    fields |= {"thickness_mm": 23, "mass_kg_m": 3.3, "expansion_per_c": 6.5e-5, "fastening": "clip"}
    fields |= {"fastener": "CLIP-DECK", "stock": stock("DECK-WPC", 2400, 3000, 3600, 4800)}
    return a_board(**(fields | changes))


def a_section(**changes: Any) -> c.Section:
    """Southern pine 38 × 89 mm laid flat."""
    fields: dict[str, Any] = {"id": "sleeper", "name": "Southern pine 38 × 89, flat", "mass_kg_m": 2.2}
    fields |= {"species": "southern pine", "width_mm": 89, "depth_mm": 38}
    fields |= {"stock": stock("SECTION-SP89", 2400, 3000, 3600, 4800)}
    return c.Section(**(fields | changes))


def a_pad(**changes: Any) -> c.Pad:
    """A foam pad of 200 × 150 × 10 mm."""
    fields: dict[str, Any] = {"id": "pad", "item": "PAD-XPS-10", "name": "Foam pad 200 × 150 × 10"}
    fields |= {"length_mm": 200, "width_mm": 150, "thickness_mm": 10, "mass_kg": 0.01, "limit_kpa": 276}
    fields |= {"limit_source": "ASTM C578 Type VI, 40 psi", "shim_item": "SHIM-3"}
    return c.Pad(**(fields | changes))


def choices(**changes: Any) -> c.Choices:
    """Two boards, three sections, a pad, a medium, a stone, a top, three cables and three transformers."""
    frame = a_section(id="frame", name="Southern pine 38 × 64", width_mm=38, depth_mm=64, mass_kg_m=1.55)
    furring = a_section(id="furring", name="Southern pine 38 × 38", width_mm=38, depth_mm=38, mass_kg_m=0.92)
    medium = c.Medium(id="light", item="MEDIA-LIGHT", name="Light", saturated_kg_m3=950, source="invented")
    stone = c.Stone(
        id="gravel", item="STONE", name="Gravel", dry_kg_m3=1500, wet_kg_m3=1700, source="invented"
    )
    fields: dict[str, Any] = {
        "boards": (a_board(), a_plastic_board()),
        "sections": (
            a_section(),
            frame.model_copy(update={"stock": stock("SECTION-SP64", 2400, 3600)}),
            furring.model_copy(update={"stock": stock("SECTION-SP38", 2400, 3600)}),
        ),
        "pads": (a_pad(),),
        "media": (medium,),
        "stones": (stone,),
        "tops": (c.Top(id="top", item="TOP", name="Stone top", thickness_mm=30, mass_kg_m2=78),),
        "cables": (
            c.Cable(id="lv-14", item="CABLE-LV-14", name="14 AWG lighting", use="lighting", size="14 AWG"),
            c.Cable(id="lv-12", item="CABLE-LV-12", name="12 AWG lighting", use="lighting", size="12 AWG"),
            c.Cable(id="power", item="CABLE-POWER-12", name="12 AWG power", use="power", size="12 AWG"),
            c.Cable(id="sound", item="CABLE-SOUND-14", name="14 AWG sound", use="sound", size="14 AWG"),
        ),
        "transformer_sizes": tuple(
            c.TransformerSize(item=f"TRANSFORMER-{rating}", rating_w=rating) for rating in (75, 150, 300)
        ),
    }
    return c.Choices(**(fields | changes))


def a_job(
    survey: s.Survey | None = None,
    plan: p.Plan | None = None,
    materials: c.Choices | None = None,
    **changes: Any,
) -> Job:
    """The whole job; give a part to replace it."""
    fields: dict[str, Any] = {"schema_version": 1, "id": "test-job", "title": "Test job"}
    fields |= {"survey": survey or a_survey(), "plan": plan or a_plan(), "choices": materials or choices()}
    return Job(**(fields | changes))
