"""Where a speaker would keep more sound in: planters, walls, or turned about, held against its own place."""

import math
from collections.abc import Callable, Iterator, Sequence
from functools import cache

from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import Speaker
from app.takeoff.roughin.levels import EAR_MM, level_at_db, limit_of, screens_take_db
from app.takeoff.roughin.screens import Spot, screens_of, seats_of

WORTH_DB = 3.0  # less is not worth moving a speaker for
OVER_PLANTER_MM, ON_WALL_MM, OFF_WALL_MM = 100.0, 1800.0, 80.0
SOURCE = "ISO 9613-2:1996, spreading and one screen; the places tried are common practice, no source"
Place = tuple[str, Spot, float]  # what it is called, spot, aim
Taken = Callable[[Spot, Spot], float]  # what screens take from one spot to another, in dB


def _toward(spot: Spot, goal: tuple[float, float]) -> float:
    """Give the direction on plan from a spot to a goal."""
    return math.degrees(math.atan2(goal[1] - spot[1], goal[0] - spot[0]))


def places_to_try(job: Job, speaker: Speaker) -> tuple[Place, ...]:
    """Give the places a speaker could stand.

    Parameters
    ----------
    job : Job
        With its plan.
    speaker : Speaker
        As drawn.

    Returns
    -------
    places : tuple of (str, tuple of float, float)
        What each is called, its spot on plan and above the deck, and the aim on plan in degrees: over every
        planter and at the quarters of every feature wall, looking at the seats; and where it is, turned
        about.

    References
    ----------
    Common practice, no source.
    """
    return tuple(_places(job, speaker))


def _places(job: Job, speaker: Speaker) -> Iterator[Place]:
    """Walk the places."""
    seats = [place for _, place in seats_of(job)]
    middle = (sum(x for x, _ in seats) / len(seats), sum(y for _, y in seats) / len(seats))
    own = (speaker.x_mm, speaker.y_mm, speaker.z_mm)
    yield "turned about where it is", own, speaker.aim_deg % 360.0 - 180.0
    yield "turned to the seats where it is", own, _toward(own, middle)
    for planter in job.plan.planters:
        spot = (planter.x_mm, planter.y_mm, planter.height_mm + OVER_PLANTER_MM)
        yield f"in planter {planter.id}", spot, _toward(spot, middle)
    for wall in job.plan.feature_walls:
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        length = math.dist(wall.start_mm, wall.end_mm)
        left = (-(by - ay) / length, (bx - ax) / length)
        side = math.copysign(1.0, (middle[0] - ax) * left[0] + (middle[1] - ay) * left[1])
        for part, word in ((0.25, "a quarter along"), (0.75, "three quarters along")):
            x = ax + part * (bx - ax) + side * OFF_WALL_MM * left[0]
            y = ay + part * (by - ay) + side * OFF_WALL_MM * left[1]
            spot = (x, y, min(ON_WALL_MM, wall.height_mm - 200.0))
            yield f"on wall {wall.id}, {word}", spot, _toward(spot, middle)


def _kept_in_db(job: Job, taken: Taken, speaker: Speaker, deck_mm: float) -> tuple[float, float]:
    """Give the level at the seats, and how far it lies above what is left at the worst neighbour."""
    own = (speaker.x_mm, speaker.y_mm, speaker.z_mm)
    seats = [
        level_at_db([speaker], spot, [taken(own, spot)])
        for spot in ((x, y, EAR_MM) for _, (x, y) in seats_of(job))
    ]
    seat = 10 * math.log10(sum(10 ** (level / 10) for level in seats) / len(seats))
    worst = -math.inf
    for neighbour in job.survey.neighbours:
        spot = (neighbour.x_mm, neighbour.y_mm, neighbour.z_mm - deck_mm)
        worst = max(worst, level_at_db([speaker], spot, [taken(own, spot)]) - limit_of(neighbour))
    return seat, seat - worst


def suggest_places(job: Job, deck_mm: float) -> tuple[Finding, ...]:
    """Give the place for each speaker that keeps most sound in, where it is worth moving.

    Parameters
    ----------
    job : Job
        Survey and plan.
    deck_mm : float
        Top of the boards above the datum. [mm]

    Returns
    -------
    findings : tuple of Finding
        A note for each speaker that would gain 3 dB or more; none without seats or neighbours.

    Notes
    -----
    Each speaker alone: its level at the seats less what it leaves at the neighbour nearest to the limit.

    References
    ----------
    ISO 9613-2:1996, spreading and one screen; common practice, no source, for the places.
    """
    if not job.survey.neighbours or not seats_of(job):
        return ()
    screens = screens_of(job, deck_mm)

    @cache  # the same spots are tried for every speaker, and its own with several aims
    def taken(spot: Spot, place: Spot) -> float:
        return screens_take_db(job, screens, spot, place)

    speakers: Sequence[Speaker] = [speaker for speaker in job.plan.speakers if speaker.power_w > 0]
    found = []
    for speaker in speakers:
        _, now = _kept_in_db(job, taken, speaker, deck_mm)
        tried = []
        for name, (x, y, z), aim in places_to_try(job, speaker):
            moved = speaker.model_copy(update={"x_mm": x, "y_mm": y, "z_mm": z, "aim_deg": aim})
            _, gap = _kept_in_db(job, taken, moved, deck_mm)
            tried.append((round(gap - now, 3), name, aim % 360.0))
        gain, name, aim = max(tried, key=lambda one: (one[0], one[1]))
        if gain >= WORTH_DB:
            text = (
                f"{speaker.id} {name}, aimed at {aim:.0f}°, would keep {gain:.0f} dB more in: as loud at the "
                "seats, that much less at the neighbour who hears it most."
            )
            place = (speaker.x_mm, speaker.y_mm)
            found.append(
                Finding("roughin.speaker-place", "note", speaker.id, text, source=SOURCE, at_mm=place)
            )
    return tuple(found)
