"""What waits for what on a roof: the kinds of task, in the order of the work, and the reasons for lags."""

from dataclasses import dataclass

NOTICE_DAYS = 2
ADHESIVE_DAYS = 1
INSPECTION_DAYS = 1
OUTSIDER_DAYS = 1

ELECTRICIAN = "licensed electrician"
GAS_FITTER = "licensed gas fitter"
SUBCONTRACTOR = "subcontractor"
INSPECTOR = "building office"
ROOFER = "roofer or owner"
SITE_LEAD = "site lead"
CLIENT = "client"


@dataclass(frozen=True, slots=True)
class Step:
    """One kind of task.

    Attributes
    ----------
    code : str
        A phase of the estimate, or the name of a hold point.
    name : str
    after : tuple of (str, int)
        Steps it waits for, each with a lag in working days; all the tasks of a step must be finished.
    hold_by : str
        Who signs, for a hold point; empty for work.
    """

    code: str
    name: str
    after: tuple[tuple[str, int], ...]
    hold_by: str = ""


# Order, links and lags: common practice, no source. Hold points: nothing is covered or loaded unseen.
STEPS: tuple[Step, ...] = (
    Step("preparation", "Set up and protect the roof", ()),
    Step("membrane look", "Survey checked, membrane looked over, drains run, before any load", (), ROOFER),
    Step("carry-up", "Carry up", (("preparation", 0), ("membrane look", 0))),
    Step("frame", "Set the frame", (("carry-up", 0),)),
    Step("drainage check", "Water runs free, drains reachable, levels right", (("frame", 0),), SITE_LEAD),
    Step("rough-in", "Rough-in", (("frame", 0),)),
    Step(
        "rough-in inspection", "Rough-in seen before it is covered", (("rough-in", NOTICE_DAYS),), INSPECTOR
    ),
    Step(
        "boards",
        "Lay the boards",
        (("frame", ADHESIVE_DAYS), ("drainage check", 0), ("rough-in inspection", 0)),
    ),
    Step("walls", "Clad the walls", (("frame", 0), ("rough-in inspection", 0))),
    Step("planters", "Build and fill the planters", (("boards", 0),)),
    Step("beds", "Lay the stone beds", (("boards", 0),)),
    Step("fit-out", "Fit out", (("boards", 0), ("walls", 0), ("planters", 0))),
    Step("electrical final", "Electrical work tested and passed", (("fit-out", NOTICE_DAYS),), INSPECTOR),
    Step("gas final", "Gas work tested and passed", (("fit-out", NOTICE_DAYS),), INSPECTOR),
    Step(
        "clean-down",
        "Clean down",
        (("boards", 0), ("walls", 0), ("planters", 0), ("beds", 0), ("fit-out", 0)),
    ),
    Step(
        "walk-through",
        "Walk through with the client",
        (("clean-down", 0), ("electrical final", 0), ("gas final", 0)),
        CLIENT,
    ),
)

# Goods of these phases go up together on the carrying days; the rest come with the task that uses them.
CARRIED_PHASES = ("frame", "boards", "walls", "planters", "beds")


def lag_reason(code: str, before: str) -> str:
    """Say why a task waits some days more.

    Parameters
    ----------
    code : str
        Step that waits.
    before : str
        Step it waits for.

    Returns
    -------
    reason : str
        In words.

    References
    ----------
    Common practice, no source.
    """
    if code == "boards" and before == "frame":
        return "the pad adhesive sets; its label decides"
    return "the inspection needs notice"


def present_links(present: frozenset[str]) -> dict[str, tuple[tuple[str, int], ...]]:
    """Give the links among the steps that a job has, bridging those it lacks.

    Parameters
    ----------
    present : frozenset of str
        Codes of the steps the job has.

    Returns
    -------
    links : dict of str to tuple of (str, int)
        By step; what waits for a missing step waits for what that one waits for, without its lag.

    References
    ----------
    Definition.
    """
    by_code = {step.code: step for step in STEPS}

    def reach(code: str, lag: int) -> list[tuple[str, int]]:
        if code in present:
            return [(code, lag)]
        return [link for before, _ in by_code[code].after for link in reach(before, 0)]

    found: dict[str, tuple[tuple[str, int], ...]] = {}
    for step in STEPS:
        if step.code not in present:
            continue
        lags: dict[str, int] = {}
        for before, lag in step.after:
            for code, kept in reach(before, lag):
                lags[code] = max(lags.get(code, 0), kept)
        found[step.code] = tuple(lags.items())
    return found
