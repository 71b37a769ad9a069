"""Care through the year: what is to be done in which season, for what this job has."""

from collections.abc import Iterable
from dataclasses import dataclass

# Season, what to do, and the measured basis it is for ("" always). Common practice, no source: makers' papers
# and the engineer's letter come first.
_TASKS: tuple[tuple[str, str, str], ...] = (
    ("Spring", "Open the hatches, clear every drain and overflow, run water from a hose.", ""),
    (
        "Spring",
        "Look over the boards and their screws; tighten what is loose; wash with water and a brush.",
        "",
    ),
    ("Spring", "Press the test button of the outlets’ protection.", "power."),
    ("Spring", "Look over every light and cable end; wipe the lenses.", "light."),
    ("Spring", "Look for gaps where walls meet the roof and at the cap flashing.", "wall."),
    ("Spring", "Top up growing media; look whether the planters’ outlets run.", "planter."),
    ("Summer", "Look at ties of shades and screens before storms.", ""),
    ("Summer", "Water planters; wet soil must stay within the engineer’s letter.", "planter."),
    ("Summer", "Gas joints are looked over by a licensed gas fitter.", "gas."),
    ("Autumn", "Take leaves off the drains every week.", ""),
    ("Autumn", "Tie down or take in loose things.", ""),
    ("Autumn", "Empty watering lines before frost.", "planter."),
    ("Autumn", "Rake stone off the drains and from under the door.", "bed."),
    ("Autumn", "Take in speakers that are not made for frost.", "sound."),
    ("Winter", "Snow only up to the limit of the engineer’s letter; plastic shovels, no salt on metal.", ""),
    ("Winter", "Keep the overflows open.", ""),
    ("Every two to three years", "Lift sample boards at the drains; look at the membrane and the pads.", ""),
    ("Every two to three years", "Check levels; add or take out shims.", "frame."),
    ("Every two to three years", "Oil or coat timber as its maker’s paper says.", "stock.boards"),
    ("Every two to three years", "Outlets and circuits are tested by a licensed electrician.", "power."),
)
_MONTHS = {
    "Spring": ("March to May", "September to November"),
    "Summer": ("June to August", "December to February"),
    "Autumn": ("September to November", "March to May"),
    "Winter": ("December to February", "June to August"),
}


@dataclass(frozen=True, slots=True)
class SeasonCare:
    """What is to be done in one season.

    Attributes
    ----------
    season, months : str
        Months are empty for what is not of every year, and where the site's latitude is not known.
    tasks : tuple of str
    """

    season: str
    months: str
    tasks: tuple[str, ...]


def care_calendar(bases: Iterable[str], latitude_deg: float | None) -> tuple[SeasonCare, ...]:
    """Give the care of a job through the year.

    Parameters
    ----------
    bases : iterable of str
        Measured bases with a quantity: they tell what the job has.
    latitude_deg : float or None
        Of the site, north positive; None where it is not surveyed. [deg]

    Returns
    -------
    calendar : tuple of SeasonCare
        Spring first; what the job does not have is not named.

    References
    ----------
    Common practice, no source. Seasons of three whole months: definition in meteorology.
    """
    measured = tuple(bases)
    found = []
    for season in dict.fromkeys(season for season, _, _ in _TASKS):
        tasks = tuple(
            text
            for of, text, basis in _TASKS
            if of == season and (not basis or any(one.startswith(basis) for one in measured))
        )
        north, south = _MONTHS.get(season, ("", ""))
        months = "" if latitude_deg is None else south if latitude_deg < 0 else north
        found.append(SeasonCare(season, months, tasks))
    return tuple(found)
