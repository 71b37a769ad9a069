"""Our own legend of hatches: each material its mark, always labelled too: a hatch alone says little."""

from app.drawings.canvas import Canvas

# Marks within a square tile, in paper millimetres.
HATCHES: dict[str, tuple[float, tuple[tuple[tuple[float, float], ...], ...], float, str]] = {
    "stone": (
        3.2,
        (((0.4, 0.5),), ((1.7, 0.9),), ((2.7, 2.0),), ((0.9, 2.3),), ((1.9, 2.9),)),
        0.0,
        "loose stone",
    ),
    "soil": (3.0, (((0.3, 0.7), (1.1, 0.7)), ((1.7, 2.2), (2.5, 2.2))), 0.0, "growing media"),
    "wall": (1.1, (((0.0, 0.0), (0.0, 1.1)),), 45.0, "wall or parapet, cut"),
    "seat": (1.6, (((0.0, 0.8), (1.6, 0.8)),), 0.0, "seat boards"),
    "shade": (0.9, (((0.0, 0.0), (0.0, 0.9)),), 60.0, "shadow"),
    "turned": (1.3, (((0.0, 0.0), (0.0, 1.3)),), 0.0, "side turned from the light"),
    "top": (2.2, (((0.0, 0.0), (0.0, 2.2)), ((0.0, 0.0), (2.2, 0.0))), 45.0, "counter top"),
}


def define_hatches(canvas: Canvas) -> None:
    """Put every hatch into a drawing.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.

    References
    ----------
    Definition (material hatches are national, not ISO; ours are labelled).
    """
    for name, (tile_mm, marks, turn_deg, _) in HATCHES.items():
        canvas.hatch(name, tile_mm, marks, turn_deg)
