"""The rough-in: every run on its real path with its tag, over a faint plan."""

from app.drawings.canvas import CHAIN, DASHED, HAIR_MM, MIDDLE_MM, NARROW_MM, SMALL_MM, Pen
from app.drawings.ground import ground
from app.drawings.things import draw_devices, draw_things
from app.job.job import Job
from app.takeoff.chain import Takeoff

# Told apart by dash and by weight, named in the legend; colour would say nothing on a grey print.
PEN_OF_KIND = {
    "lighting": Pen(MIDDLE_MM, DASHED),
    "sound": Pen(NARROW_MM, (1.0, 1.0)),
    "power": Pen(MIDDLE_MM, CHAIN),
    "gas": Pen(MIDDLE_MM * 2),
}


def rough_in_svg(job: Job, takeoff: Takeoff, system: str, scale: float = 50.0) -> str:
    """Give the rough-in as SVG.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its runs are what is drawn.
    system : str
        ``imperial`` or ``metric``.
    scale : float
        Plan millimetres to one millimetre of paper.

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    References
    ----------
    Line kinds ISO 128; definition.
    """
    canvas = ground(job, takeoff, f"Rough-in of {job.title}", scale)
    canvas.layer("fields")
    for field in job.plan.deck_fields:
        canvas.polygon(field.outline_mm, "field", Pen(HAIR_MM, DASHED), field.name or field.id)
    draw_things(canvas, job, takeoff)
    canvas.layer("runs")
    for run in takeoff.rough_in.runs:
        if len(run.path_mm) > 1:
            canvas.line(run.path_mm, f"run-{run.kind}", PEN_OF_KIND[run.kind])
    for run in takeoff.rough_in.runs:
        if len(run.path_mm) > 1:
            middle = len(run.path_mm) // 2
            (ax, ay), (bx, by) = run.path_mm[middle - 1], run.path_mm[middle]
            spot = ((ax + bx) / 2, (ay + by) / 2 + canvas.paper_mm(1.6))
            canvas.text(spot, run.id, SMALL_MM * 0.8)
    draw_devices(canvas, job, with_tags=True)
    return canvas.svg()
