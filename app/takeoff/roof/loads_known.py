"""Whether anybody has said what the roof may carry and what it is used for. Asked, never guessed."""

from app.job.findings import Finding
from app.job.survey import Survey


def load_findings(survey: Survey) -> tuple[Finding, ...]:
    """Give a stop for each load figure that nobody has given.

    Parameters
    ----------
    survey : Survey
        Allowable load and live load.

    Returns
    -------
    findings : tuple of Finding
        Empty when an engineer gave the allowable load and somebody named the live load; that says nothing
        about whether the roof is strong enough.

    References
    ----------
    IRC Table R301.5 (decks 40 psf), IBC Table 1607.1 (occupiable roofs up to 100 psf) and ASCE 7
    Table 4.3-1 disagree about a deck on a roof, so the figure is asked for.
    """
    found = []
    if survey.allowable_load is None:
        found.append(
            Finding(
                code="roof.no-allowable-load",
                grade="stop",
                place="job",
                text="Nobody has said what this roof may carry. A licensed engineer must give the "
                "allowable dead and live load before anything is offered or built: an overloaded roof can "
                "fall in.",
                source="Common practice, no source: a licensed structural engineer decides",
            )
        )
    if survey.live_load is None:
        found.append(
            Finding(
                code="roof.no-live-load",
                grade="stop",
                place="job",
                text="The live load to design for is not known. Ask the local building office or the "
                "engineer: the published codes give from 1.9 to 4.8 kPa for a deck on a roof and do not "
                "agree.",
                source="IRC Table R301.5: 40 psf (1.92 kPa); IBC 2018 Table 1607.1: up to 100 psf (4.79 kPa)",
            )
        )
    return tuple(found)
