"""Layouts, frames and rough-ins small enough to add up by hand."""

from typing import Any

from app.takeoff.framing.records import Crossing, Framing, PadSpot, Stick
from app.takeoff.layout.records import BedLayout, BoxLayout, FieldLayout, Layout, Piece, WallLayout
from app.takeoff.roughin.records import RoughIn

Ring = tuple[tuple[float, float], ...]


def ring(x_mm: float, y_mm: float, length_mm: float, width_mm: float) -> Ring:
    """A rectangle by its lower left corner."""
    right, top = x_mm + length_mm, y_mm + width_mm
    return ((x_mm, y_mm), (right, y_mm), (right, top), (x_mm, top))


def a_piece(name: str, length_mm: float, **changes: Any) -> Piece:
    """A full-width course of the deck."""
    fields: dict[str, Any] = {"id": name, "place": "deck", "profile": "pine", "role": "course"}
    fields |= {"length_mm": length_mm, "width_mm": 140.0, "is_ripped": False, "is_mitred": False}
    fields |= {"plane": "plan", "outline_mm": ring(0, 0, length_mm, 140)}
    return Piece(**(fields | changes))


def a_stick(name: str, length_mm: float, **changes: Any) -> Stick:
    """A sleeper of the deck."""
    fields: dict[str, Any] = {"id": name, "place": "deck", "section": "sleeper", "role": "sleeper"}
    fields |= {"start_mm": (0.0, 0.0), "end_mm": (length_mm, 0.0), "length_mm": length_mm}
    return Stick(**(fields | changes))


def a_pad_spot(name: str, shims: int = 2) -> PadSpot:
    """A pad of the deck."""
    return PadSpot(name, "deck", "S1", "pad", 0.0, 0.0, 0.0, 10.0 + 3 * shims, shims)


def a_crossing(piece: str, stick: str) -> Crossing:
    """A crossing somewhere."""
    return Crossing(piece, stick, 0.0, 0.0)


def a_field(**changes: Any) -> FieldLayout:
    """A field of 5 × 2 m at the origin."""
    outline = ring(0, 0, 5000, 2000)
    fields: dict[str, Any] = {"field": "deck", "angle_deg": 0.0, "inner_mm": ((outline,),)}
    fields |= {"outer_mm": ((outline,),), "breaker_lines": (), "end_gap_mm": 3.0, "side_gap_mm": 5.0}
    fields |= {"run_mm": 5000.0, "area_m2": 10.0, "boards_m2": 9.5, "least_rip_mm": 140.0}
    return FieldLayout(**(fields | changes))


def a_box(box: str = "planter", kind: str = "planter", **changes: Any) -> BoxLayout:
    """A box on a footprint of 2 × 0.5 m."""
    fields: dict[str, Any] = {"box": box, "kind": kind, "outline_mm": ring(0, 0, 2000, 500), "frame_mm": ()}
    fields |= {
        "liner_m2": 2.0,
        "drainage_m2": 0.8,
        "media_m3": 0.3,
        "plants": 5,
        "clad_m2": 2.5,
        "top_m2": 0.0,
    }
    return BoxLayout(**(fields | changes))


def a_bed(**changes: Any) -> BedLayout:
    """A stone bed of 2 m², 50 mm deep, away from the deck."""
    fields: dict[str, Any] = {"bed": "bed", "outline_mm": ring(0, 3000, 2000, 1000), "area_m2": 2.0}
    fields |= {"volume_m3": 0.1, "edge_mm": 6000.0, "fabric_m2": 2.6}
    return BedLayout(**(fields | changes))


def a_wall(**changes: Any) -> WallLayout:
    """A wall of 2 × 2.4 m with one opening."""
    fields: dict[str, Any] = {"wall": "wall", "length_mm": 2000.0, "height_mm": 2400.0}
    fields |= {"openings_mm": (ring(500, 500, 500, 600),), "furring_mm": (), "net_m2": 4.5}
    fields |= {"cap_mm": 2000.0, "fabric_m2": 4.5}
    return WallLayout(**(fields | changes))


def a_layout(**changes: Any) -> Layout:
    """Nothing, unless given."""
    fields: dict[str, Any] = dict.fromkeys(
        ("pieces", "fields", "walls", "boxes", "beds", "findings", "assumptions"), ()
    )
    return Layout(**(fields | changes))


def a_framing(**changes: Any) -> Framing:
    """Nothing, unless given."""
    fields: dict[str, Any] = dict.fromkeys(("sticks", "pads", "crossings", "span_checks", "tape_mm"), ())
    fields |= dict.fromkeys(("connectors", "access_panels", "findings", "assumptions"), ())
    return Framing(**(fields | changes))


def a_rough_in(**changes: Any) -> RoughIn:
    """Nothing, unless given."""
    fields: dict[str, Any] = dict.fromkeys(("runs", "circuits", "transformers", "gas", "findings"), ())
    return RoughIn(**(fields | {"trench_mm": 0.0, "assumptions": ()} | changes))
