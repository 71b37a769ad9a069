"""What is heard: the level of the speakers at seats and at neighbours, behind what screens them."""

import math
from collections.abc import Sequence

from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import Speaker
from app.job.survey import Neighbour
from app.takeoff.roughin.evening_records import SoundLevel
from app.takeoff.roughin.screens import Screens, Spot, own_boxes, screens_of, seats_of
from app.takeoff.roughin.ways_past import ways_past_mm

HALF_SPACE_DB = 10 * math.log10(2)
ANNOYING_DB = 50.0
NEAREST_MM = 1000.0  # levels are given at 1 m and not carried closer
SOUND_M_S = 340.0
JUDGED_HZ = 500.0  # ISO 9613-2:1996, clause 1: where only A-weighted levels are known, from memory
MOST_SCREEN_DB = 20.0
EAR_MM = 1200.0  # above the deck; common practice, no source
SOUND_SOURCE = (
    "ISO 9613-2:1996, spreading and one screen at 500 Hz; "
    "WHO 1999 guideline, outdoor living, moderate annoyance"
)


def iso_screen_db(detour_m: float, frequency_hz: float, weather: float = 1.0) -> float:
    """Give what one screen takes, by the standard for sound outdoors.

    Parameters
    ----------
    detour_m : float
        Way over the edge less the straight way, in metres; 0 for no screen.
    frequency_hz : float
        Of the sound. [Hz]
    weather : float
        Kmet of the standard; 1 on short ways, within a tenth of a decibel.

    Returns
    -------
    screen_db : float
        At most 20. [dB]

    Notes
    -----
    Dz = 10 log10(3 + C2 C3 z Kmet / λ), C2 = 20, C3 = 1. Not to be mixed with `maekawa_db`, whose N
    is 2 z / λ.

    Examples
    --------
    >>> iso_screen_db(0.43388, 500.0, 0.99241)
    11.949

    References
    ----------
    ISO 9613-2:1996, equation 14.
    """
    if detour_m <= 0:
        return 0.0
    return min(MOST_SCREEN_DB, 10 * math.log10(3 + 20 * detour_m * weather * frequency_hz / SOUND_M_S))


def past_screen_db(detours_m: Sequence[float], frequency_hz: float) -> float:
    """Give what a screen takes when sound also comes round its ends.

    Parameters
    ----------
    detours_m : sequence of float
        Of the way over the top and of those round open ends, in metres; empty for no screen.
    frequency_hz : float
        Of the sound. [Hz]

    Returns
    -------
    screen_db : float
        Never more than over the top alone, never less than nothing. [dB]

    Notes
    -----
    −10 log10 Σ 10^(−Dz / 10): what comes each way is added as power.

    Examples
    --------
    >>> past_screen_db([0.43388], 500.0)
    11.976
    >>> past_screen_db([0.43388, 0.43388], 500.0)
    8.966

    References
    ----------
    ISO 9613-2:1996, equation 14 for each edge; upright edges as its clause 7.4 lets them, from memory.
    """
    if not detours_m:
        return 0.0
    taken = [iso_screen_db(max(detour, 1e-9), frequency_hz) for detour in detours_m]
    return max(0.0, -10 * math.log10(sum(10 ** (-each / 10) for each in taken)))


def maekawa_db(detour_m: float, frequency_hz: float) -> float:
    """Give what one thin screen takes by Maekawa's curve, for comparing alone.

    Parameters
    ----------
    detour_m : float
        Way over the edge less the straight way, in metres.
    frequency_hz : float
        Of the sound. [Hz]

    Returns
    -------
    screen_db : float
        [dB]

    Notes
    -----
    10 log10(3 + 20 N), N = 2 z / λ: up to 3 dB more than `iso_screen_db`; no level here uses it.

    Examples
    --------
    >>> maekawa_db(0.43388, 500.0)
    14.552

    References
    ----------
    Z. Maekawa, Applied Acoustics 1 (1968), point source, from lecture notes.
    """
    return 10 * math.log10(3 + 40 * detour_m * frequency_hz / SOUND_M_S)


def directivity_db(speaker: Speaker, place_mm: Spot) -> float:
    """Give how much less a speaker sends toward a place than straight ahead.

    Parameters
    ----------
    speaker : Speaker
        With its aim, and what it loses behind.
    place_mm : tuple of float
        On plan, and above the deck. [mm]

    Returns
    -------
    directivity_db : float
        0 ahead, minus its back drop behind. [dB]

    Notes
    -----
    −drop (1 − cos φ) / 2, φ on plan between the aim and the place; the same at all frequencies.

    References
    ----------
    Common practice, no source: the simplest curve through the two values of a data sheet.
    """
    dx, dy = place_mm[0] - speaker.x_mm, place_mm[1] - speaker.y_mm
    if not speaker.back_drop_db or (dx, dy) == (0.0, 0.0):
        return 0.0
    aim = math.radians(speaker.aim_deg)
    cosine = (dx * math.cos(aim) + dy * math.sin(aim)) / math.hypot(dx, dy)
    return -speaker.back_drop_db * (1 - cosine) / 2


def level_at_db(
    speakers: Sequence[Speaker], place_mm: Spot, screened_db: Sequence[float] | None = None
) -> float:
    """Give the level of all speakers at full power, at one place.

    Parameters
    ----------
    speakers : sequence of Speaker
        All that play at once.
    place_mm : tuple of float
        On plan, and height above the deck. [mm]
    screened_db : sequence of float or None
        What stands in the way takes from each; None for free field. [dB]

    Returns
    -------
    level_db : float
        [dB]

    Notes
    -----
    L = sensitivity + 10 log10(P / 1 W) − 20 log10(d / 1 m) + directivity − screen, summed as powers; a
    speaker nearer than 1 m counts as 1 m away. On a hard surface up to 3 dB more; air is left out.

    References
    ----------
    ISO 9613-2:1996, geometrical spreading; incoherent sum.
    """
    total = 0.0
    taken = screened_db or [0.0] * len(speakers)
    for speaker, less in zip(speakers, taken, strict=True):
        place = (speaker.x_mm, speaker.y_mm, speaker.z_mm)
        distance_m = max(math.dist(place, place_mm), NEAREST_MM) / 1000
        gain = speaker.sensitivity_db + directivity_db(speaker, place_mm) - less
        total += speaker.power_w * 10 ** (gain / 10) / distance_m**2
    return 10 * math.log10(total) if total > 0 else -math.inf


def screened_db(job: Job, screens: Screens, speakers: Sequence[Speaker], place_mm: Spot) -> list[float]:
    """Give what screens take from each speaker at one place.

    Parameters
    ----------
    job : Job
        Tells which box a speaker is built into.
    screens : Screens
        All of the job; only solid ones count.
    speakers : sequence of Speaker
        At their places.
    place_mm : tuple of float
        On plan, and above the deck. [mm]

    Returns
    -------
    screened_db : list of float
        In the order of the speakers. [dB]

    Notes
    -----
    Of several screens the one that takes most counts: whatever reaches the place has passed each of them.

    References
    ----------
    ISO 9613-2:1996, one screen, at 500 Hz.
    """
    return [
        screens_take_db(job, screens, (speaker.x_mm, speaker.y_mm, speaker.z_mm), place_mm)
        for speaker in speakers
    ]


def screens_take_db(job: Job, screens: Screens, spot_mm: Spot, place_mm: Spot) -> float:
    """Give what screens take of sound from one spot to another.

    Parameters
    ----------
    job : Job
        Tells which box a speaker at the spot is built into.
    screens : Screens
        All of the job; only solid ones count.
    spot_mm, place_mm : tuple of float
        Source and receiver, on plan and above the deck. [mm]

    Returns
    -------
    taken_db : float
        By the screen that takes most; where a speaker looks does not matter. [dB]

    References
    ----------
    ISO 9613-2:1996, one screen, at 500 Hz.
    """
    others = screens.without(own_boxes(job, spot_mm), solid_only=True)
    ways = ways_past_mm(others, spot_mm, place_mm)
    return max((past_screen_db([way / 1000 for way in past], JUDGED_HZ) for past in ways), default=0.0)


def sound_levels(job: Job, deck_mm: float) -> tuple[SoundLevel, ...]:
    """Give the level at every seat and every neighbour, all speakers at full power.

    Parameters
    ----------
    job : Job
        Survey and plan.
    deck_mm : float
        Top of the boards above the datum. [mm]

    Returns
    -------
    levels : tuple of SoundLevel
        Seats first; none when nothing plays.

    References
    ----------
    ISO 9613-2:1996, spreading and one screen; half space + 3 dB.
    """
    speakers = [speaker for speaker in job.plan.speakers if speaker.power_w > 0]
    if not speakers:
        return ()
    screens = screens_of(job, deck_mm)
    found = [
        _level(job, screens, speakers, (*place, EAR_MM), (name, "seat", None))
        for name, place in seats_of(job)
    ]
    for neighbour in job.survey.neighbours:
        spot = (neighbour.x_mm, neighbour.y_mm, neighbour.z_mm - deck_mm)
        said = (neighbour.id, neighbour.kind, limit_of(neighbour))
        found.append(_level(job, screens, speakers, spot, said))
    return tuple(found)


def limit_of(neighbour: Neighbour) -> float:
    """Give the level asked for at a neighbour.

    Parameters
    ----------
    neighbour : Neighbour
        Of the survey.

    Returns
    -------
    limit_db : float
        As set, else 50 dB. [dB]

    References
    ----------
    WHO 1999, Guidelines for community noise, outdoor living areas, moderate annoyance.
    """
    return ANNOYING_DB if neighbour.limit_db is None else neighbour.limit_db


def _level(
    job: Job,
    screens: Screens,
    speakers: Sequence[Speaker],
    spot: Spot,
    said: tuple[str, str, float | None],
) -> SoundLevel:
    """Give the reading at one place."""
    taken = screened_db(job, screens, speakers, spot)
    loudest = max(range(len(speakers)), key=lambda n: level_at_db(speakers[n : n + 1], spot))
    return SoundLevel(
        place=said[0],
        kind=said[1],  # type: ignore[arg-type]
        free_db=level_at_db(speakers, spot),
        level_db=level_at_db(speakers, spot, taken) + HALF_SPACE_DB,
        screen_db=taken[loudest],
        limit_db=said[2],
    )


def neighbour_findings(job: Job, levels: Sequence[SoundLevel]) -> tuple[Finding, ...]:
    """Say what reaches each neighbour.

    Parameters
    ----------
    job : Job
        With its survey.
    levels : sequence of SoundLevel
        From `sound_levels`.

    Returns
    -------
    findings : tuple of Finding
        One for each neighbour: a note, or a check over a limit that somebody set.

    References
    ----------
    ISO 9613-2:1996; WHO 1999 community noise guideline.
    """
    found = []
    heard = {level.place: level for level in levels}
    for neighbour in job.survey.neighbours:
        level = heard.get(neighbour.id)
        if level is None or level.limit_db is None:
            continue
        over = level.level_db - level.limit_db
        less = f" To stay at {level.limit_db:g} dB, turn down by {over:.0f} dB." if over > 0 else ""
        screen = f"screens take {level.screen_db:.0f} dB" if level.screen_db else "no screen in the way"
        text = (
            f"All speakers at full power give about {level.level_db:.0f} dB at {neighbour.id} from a hard "
            f"floor ({screen}); {level.free_db:.0f} dB in free field.{less} The local noise rules govern."
        )
        is_asked = neighbour.limit_db is not None
        found.append(
            Finding(
                "roughin.neighbour-level",
                "check" if is_asked and over > 0 else "note",
                neighbour.id,
                text,
                level.level_db,
                level.limit_db,
                "dB",
                "limit as set in the survey; ISO 9613-2:1996" if is_asked else SOUND_SOURCE,
                (neighbour.x_mm, neighbour.y_mm),
            )
        )
    return tuple(found)
