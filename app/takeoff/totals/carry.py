"""Getting it all up: mass by item, trips, hours."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import Layout
from app.takeoff.totals.records import Carry, CutPlan

# How many pieces one trip takes, however light. Common practice, no source.
STICKS_PER_TRIP = 6
PADS_PER_TRIP = 40
BULKY_PER_TRIP = 1
# Fasteners, tape, cable, lining, fixtures: this share of boards, timber and pads.
# Common practice, no source.
SMALL_GOODS_SHARE = 0.05


@dataclass(frozen=True, slots=True)
class _Load:
    """Something that goes up: its mass, how many pieces, how many of them one trip takes (0: any)."""

    item: str
    mass_kg: float
    pieces: int
    per_trip: int


def carry_up(job: Job, layout: Layout, framing: Framing, plans: tuple[CutPlan, ...]) -> Carry:
    """Give what goes up and how long that takes.

    Parameters
    ----------
    job : Job
        The way up; masses in the choices.
    layout : Layout
        Boxes and beds.
    framing : Framing
        Pads.
    plans : tuple of CutPlan
        Sticks bought; whole sticks go up, offcuts and all.

    Returns
    -------
    carry : Carry
        Trips of each item are the greater of mass over the mass of a trip and pieces over what a trip
        takes; an item starts a new trip. Hours are trips × minutes a trip × people / 60: person-hours.

    References
    ----------
    Common practice, no source.
    """
    way_up = job.survey.way_up
    loads = [load for load in _loads(job, layout, framing, plans) if load.mass_kg > 0.0]
    items = tuple((load.item, load.mass_kg, _trips(load, way_up.trip_mass_kg)) for load in loads)
    trips = sum(trips for _, _, trips in items)
    longest_mm = max((stick.stock_mm for plan in plans for stick in plan.sticks), default=0.0)
    return Carry(
        mass_kg=math.fsum(load.mass_kg for load in loads),
        longest_mm=min(longest_mm, way_up.longest_piece_mm),
        trips=trips,
        hours_h=trips * way_up.minutes_per_trip_min * way_up.people / 60.0,
        items=items,
    )


def carry_findings(job: Job, layout: Layout) -> tuple[Finding, ...]:
    """Give a check for each single thing that weighs more than one trip takes.

    Parameters
    ----------
    job : Job
        The way up; furniture and tops.
    layout : Layout
        Counters as built.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    The survey's own figure for one trip.
    """
    trip_kg = job.survey.way_up.trip_mass_kg
    kg_m2 = {top.id: top.mass_kg_m2 for top in job.choices.tops}
    top_of = {counter.id: kg_m2[counter.top] for counter in job.plan.counters}
    single = [(thing.id, thing.name or thing.id, thing.mass_kg) for thing in job.plan.furniture]
    single += [
        (box.box, f"The top of {box.box}", box.top_m2 * top_of[box.box])
        for box in layout.boxes
        if box.kind == "counter"
    ]
    return tuple(
        Finding(
            code="totals.too-heavy-for-a-trip",
            grade="check",
            place=place,
            text=(
                f"{name} weighs {mass_kg:.0f} kg in one piece and a trip takes {trip_kg:g} kg: it needs more "
                f"hands, a hoist, or to come apart. Plan the lift before it is bought."
            ),
            value=mass_kg,
            limit=trip_kg,
            unit="kg",
            source="survey: mass of one trip on the way up",
        )
        for place, name, mass_kg in single
        if mass_kg > trip_kg
    )


def carry_assumptions(job: Job) -> tuple[Assumption, ...]:
    """Say what the carry takes as given.

    Parameters
    ----------
    job : Job
        The way up.

    Returns
    -------
    assumptions : tuple of Assumption

    References
    ----------
    Common practice, no source.
    """
    way_up = job.survey.way_up
    return (
        Assumption(
            code="totals.carry",
            text=(
                f"Each trip takes {way_up.people} people {way_up.minutes_per_trip_min:g} minutes and at most "
                f"{way_up.trip_mass_kg:g} kg, {STICKS_PER_TRIP} sticks, {PADS_PER_TRIP} pads or "
                f"{BULKY_PER_TRIP} counter top or piece of furniture; hours are of all people together. "
                f"Media are carried saturated, stone dry; small goods add {100 * SMALL_GOODS_SHARE:g} % of "
                f"boards, timber and pads. Heavier single things need a hoist or more hands."
            ),
            source="survey; counts by common practice, no source",
        ),
    )


def _trips(load: _Load, trip_mass_kg: float) -> int:
    """Give the trips of one item, by mass and by handling."""
    by_mass = math.ceil(load.mass_kg / trip_mass_kg - 1e-9)
    by_count = math.ceil(load.pieces / load.per_trip) if load.per_trip else 0
    return max(by_mass, by_count, 1)


def _loads(job: Job, layout: Layout, framing: Framing, plans: tuple[CutPlan, ...]) -> tuple[_Load, ...]:
    """List everything that goes up."""
    goods = (*_sticks(job, plans), *_pads(job, framing))
    small_kg = SMALL_GOODS_SHARE * math.fsum(load.mass_kg for load in goods)
    return (
        *goods,
        *_loose(job, layout),
        *_tops(job, layout),
        *(_Load(thing.name or thing.id, thing.mass_kg, 1, BULKY_PER_TRIP) for thing in job.plan.furniture),
        _Load("small goods", small_kg, 0, 0),
    )


def _sticks(job: Job, plans: tuple[CutPlan, ...]) -> tuple[_Load, ...]:
    """Boards and timber, by stock item."""
    kg_m = {profile.id: profile.mass_kg_m for profile in job.choices.boards}
    kg_m |= {profile.id: profile.mass_kg_m for profile in job.choices.sections}
    bought = [
        (stick.item, stick.stock_mm / 1000 * kg_m[plan.profile]) for plan in plans for stick in plan.sticks
    ]
    return _gathered(bought, STICKS_PER_TRIP)


def _pads(job: Job, framing: Framing) -> tuple[_Load, ...]:
    """Pads, by item."""
    pads = {pad.id: pad for pad in job.choices.pads}
    return _gathered([(pads[spot.pad].item, pads[spot.pad].mass_kg) for spot in framing.pads], PADS_PER_TRIP)


def _loose(job: Job, layout: Layout) -> tuple[_Load, ...]:
    """Media and stone, by item; in bags or buckets, so by mass alone."""
    media = {medium.id: medium for medium in job.choices.media}
    stones = {stone.id: stone for stone in job.choices.stones}
    medium_of = {planter.id: media[planter.medium] for planter in job.plan.planters}
    stone_of = {bed.id: stones[bed.stone] for bed in job.plan.stone_beds}
    poured = [
        (medium_of[box.box].item, box.media_m3 * medium_of[box.box].saturated_kg_m3)
        for box in layout.boxes
        if box.kind == "planter"
    ]
    poured += [(stone_of[bed.bed].item, bed.volume_m3 * stone_of[bed.bed].dry_kg_m3) for bed in layout.beds]
    return _gathered(poured, 0)


def _tops(job: Job, layout: Layout) -> tuple[_Load, ...]:
    """Counter tops, one at a time."""
    tops = {top.id: top for top in job.choices.tops}
    top_of = {counter.id: tops[counter.top] for counter in job.plan.counters}
    return _gathered(
        [
            (top_of[box.box].item, box.top_m2 * top_of[box.box].mass_kg_m2)
            for box in layout.boxes
            if box.kind == "counter"
        ],
        BULKY_PER_TRIP,
    )


def _gathered(parts: Iterable[tuple[str, float]], per_trip: int) -> tuple[_Load, ...]:
    """Sum masses and count pieces by item, in the order found."""
    by_item: dict[str, list[float]] = {}
    for item, mass_kg in parts:
        by_item.setdefault(item, []).append(mass_kg)
    return tuple(_Load(item, math.fsum(kg), len(kg), per_trip) for item, kg in by_item.items())
