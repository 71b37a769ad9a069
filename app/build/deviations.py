"""Where a hidden run was laid elsewhere than drawn: said in the site log, shown as built."""

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date

_SAID = re.compile(r"^\s*(?:run\s+)?(\S+)\s+lies elsewhere\s*:\s*(\S.*)$", re.IGNORECASE | re.DOTALL)


@dataclass(frozen=True, slots=True)
class Deviation:
    """What somebody noted of a run that lies elsewhere.

    Attributes
    ----------
    run, words, by : str
        Tag, where it lies (by tape or in a sentence), and who noted it.
    on : date
    """

    run: str
    words: str
    by: str
    on: date


def deviation_text(run: str, words: str) -> str:
    """Give the line of the site log for a run that lies elsewhere.

    Parameters
    ----------
    run : str
        Its tag.
    words : str
        Where it lies.

    Returns
    -------
    text : str

    Examples
    --------
    >>> deviation_text("steps-02", "A 12' 3\\", B 8' 1\\"")
    'Run steps-02 lies elsewhere: A 12\\' 3", B 8\\' 1"'

    References
    ----------
    Definition.
    """
    return f"Run {run} lies elsewhere: {words.strip()}"


def deviations(lines: Iterable[tuple[date, str, str]], runs: Collection[str]) -> dict[str, Deviation]:
    """Give by run what was noted last of where it lies.

    Parameters
    ----------
    lines : iterable of (date, str, str)
        Of the site log in the order in which they were noted: day, text, who.
    runs : collection of str
        Tags of the job as it is drawn now.

    Returns
    -------
    deviations : dict of str to Deviation
        Lines that name no run of the job are left out.

    References
    ----------
    Definition.
    """
    tags = {run.casefold(): run for run in runs}
    found: dict[str, Deviation] = {}
    for on, text, by in lines:
        said = _SAID.match(text)
        run = tags.get(said.group(1).casefold()) if said else None
        if said and run:
            found[run] = Deviation(run, said.group(2).strip(), by, on)
    return found
