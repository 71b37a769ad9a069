"""Plan, frame, walls, rough-in and loads as SVG, drawn from the same pieces that are cut and priced."""
