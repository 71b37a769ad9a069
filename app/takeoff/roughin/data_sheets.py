"""Fixtures held against the data sheet they name, and what a photometric file leaves out."""

from app.job.findings import Finding
from app.job.job import Job

PLANE_SOURCE = "ANSI/IESNA LM-63-02, clause 3, horizontal angles; seen from above: from memory"
SOURCE = "the data sheet among the choices"


def sheet_differences(job: Job) -> tuple[Finding, ...]:
    """Say where a fixture and its data sheet differ; the fixture's own figures are reckoned with.

    Parameters
    ----------
    job : Job
        Plan and choices.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    Definition.
    """
    kinds = {kind.id: kind for kind in job.choices.fixture_kinds}
    found = []
    for fixture in job.plan.fixtures:
        kind = kinds.get(fixture.model or "")
        if kind is None:
            continue
        pairs = (
            ("power", fixture.power_w, kind.power_w, "W"),
            ("least voltage", fixture.least_v, kind.least_v, "V"),
            ("greatest voltage", fixture.greatest_v, kind.greatest_v, "V"),
        )
        for name, own, sheet, unit in pairs:
            if own != sheet:
                text = (
                    f"{fixture.id} is drawn with a {name} of {own:g} {unit}; the data sheet of {kind.name} "
                    f"says {sheet:g} {unit}. Mend the one that is wrong."
                )
                place = (fixture.x_mm, fixture.y_mm)
                found.append(
                    Finding("roughin.data-sheet", "check", fixture.id, text, own, sheet, unit, SOURCE, place)
                )
    used = {fixture.model for fixture in job.plan.fixtures}
    for kind in job.choices.fixture_kinds:
        file = kind.photometric()
        if kind.id in used and file is not None:
            for remark in file.remarks:
                text = f"The photometric file of {kind.name} is not whole: {remark}."
                found.append(Finding("roughin.photometry", "note", kind.id, text, source="IES LM-63-2019"))
            if len(file.horizontal_deg) > 1:
                text = (
                    f"{kind.name} does not shine alike all round. Its file is laid with the length of the "
                    "lamp along the aim drawn, angles anticlockwise seen from above: hold that against the "
                    "maker's drawing before the lamp is set."
                )
                found.append(Finding("roughin.lamp-turned", "check", kind.id, text, source=PLANE_SOURCE))
    return tuple(found)
