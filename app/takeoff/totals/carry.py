"""Getting it all up: mass by item, trips, hours."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.job.survey import WayUp
from app.measure.show import format_mass
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import Layout
from app.takeoff.totals.records import Carry, CutPlan, Quantity
from app.takeoff.totals.small_goods import small_goods_kg

# How many pieces one trip takes, however light. Common practice, no source.
STICKS_PER_TRIP = 6
PADS_PER_TRIP = 40
BULKY_PER_TRIP = 1
BY_HAND = ("stair", "ladder")  # a hoist, lift or crane takes bundles: only mass counts there


@dataclass(frozen=True, slots=True)
class _Load:
    """Something that goes up: mass, pieces, how many of them one trip takes (0: any), the longest."""

    item: str
    mass_kg: float
    pieces: int
    per_trip: int
    longest_mm: float = 0.0


def carry_up(
    job: Job,
    layout: Layout,
    framing: Framing,
    plans: tuple[CutPlan, ...],
    measured: tuple[Quantity, ...] = (),
) -> Carry:
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
        Sticks bought; whole sticks go up, offcuts and all. What is longer than the way up is cut on the
        ground and goes up piece by piece; what is left of it stays below.
    measured : tuple of Quantity
        Amounts of the small goods.

    Returns
    -------
    carry : Carry
        Trips of each item are the greater of mass over the mass of a trip and, by stair or ladder, pieces
        over what a trip takes; an item starts a new trip, small goods go together. Hours are trips ×
        minutes a trip × people / 60: person-hours.

    References
    ----------
    Common practice, no source.
    """
    way_up = job.survey.way_up
    small = small_goods_kg(job.choices.masses, measured)
    together = _Load("small goods", math.fsum(mass_kg for _, mass_kg in small), 0, 0)
    loads = [load for load in (*_loads(job, layout, framing, plans), together) if load.mass_kg > 0.0]
    items = tuple((load.item, load.mass_kg, _trips(load, way_up)) for load in loads)
    trips = sum(trips for _, _, trips in items)
    longest = tuple((load.item, load.longest_mm) for load in loads if load.longest_mm > 0.0)
    return Carry(
        mass_kg=math.fsum(load.mass_kg for load in loads),
        longest_mm=max((longest_mm for _, longest_mm in longest), default=0.0),
        trips=trips,
        hours_h=trips * way_up.minutes_per_trip_min * way_up.people / 60.0,
        items=items,
        longest=longest,
        small_goods=small,
        cut_below=_cut_below(job, plans),
    )


def carry_findings(job: Job, layout: Layout) -> tuple[Finding, ...]:
    """Give a check for each single thing that weighs more than one trip takes, or is too long.

    Parameters
    ----------
    job : Job
        The way up; furniture and tops.
    layout : Layout
        Counters as built.

    Returns
    -------
    findings : tuple of Finding
        And one for each that is longer than what turns on the way up.

    References
    ----------
    The survey's own figures.
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
                f"{name} weighs {format_mass(mass_kg, job.units)} in one piece and a trip takes "
                f"{format_mass(trip_kg, job.units)}: it needs more hands, a hoist, or to come "
                f"apart. Plan the lift before it is bought."
            ),
            value=mass_kg,
            limit=trip_kg,
            unit="kg",
            source="survey: mass of one trip on the way up",
        )
        for place, name, mass_kg in single
        if mass_kg > trip_kg
    ) + _too_long(job)


def _too_long(job: Job) -> tuple[Finding, ...]:
    """Give a check for each thing that is longer than what turns on the way up."""
    longest_mm, say = job.survey.way_up.longest_piece_mm, Spoken(job.units)
    return tuple(
        Finding(
            code="totals.too-long-for-the-way-up",
            grade="check",
            place=thing.id,
            text=(
                f"{thing.name or thing.id} is {say.length(max(thing.length_mm, thing.width_mm))} long and "
                f"nothing longer than {say.length(longest_mm)} turns on the way up. Find out whether it "
                f"comes apart, or how else it gets up, before it is bought."
            ),
            value=max(thing.length_mm, thing.width_mm),
            limit=longest_mm,
            unit="mm",
            source="survey: longest piece that turns on the way up",
        )
        for thing in (*job.plan.furniture, *job.plan.counters)
        if max(thing.length_mm, thing.width_mm) > longest_mm
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
    by_hand = (
        f"{STICKS_PER_TRIP} sticks, {PADS_PER_TRIP} pads or {BULKY_PER_TRIP} counter top or piece of "
        f"furniture"
    )
    counted = f" and at most {by_hand}" if way_up.kind in BY_HAND else ", however many pieces"
    return (
        Assumption(
            code="totals.carry",
            text=(
                f"By {way_up.kind} each trip takes {way_up.people} people "
                f"{way_up.minutes_per_trip_min:g} minutes and at most "
                f"{format_mass(way_up.trip_mass_kg, job.units)}{counted}; hours are of "
                f"all people together. Media are carried saturated, stone dry, basins empty. "
                f"Heavier single things need more hands or a hoist."
            ),
            source="survey; counts by common practice, no source",
        ),
        Assumption(
            code="totals.small-goods",
            text="Screws, tape, cable, lining and fixtures weigh what the choices say of one; see there.",
            source=job.choices.masses.source,
        ),
    )


def _trips(load: _Load, way_up: WayUp) -> int:
    """Give the trips of one item, by mass and, where people carry, by handling."""
    by_mass = math.ceil(load.mass_kg / way_up.trip_mass_kg - 1e-9)
    is_counted = load.per_trip and way_up.kind in BY_HAND
    by_count = math.ceil(load.pieces / load.per_trip) if is_counted else 0
    return max(by_mass, by_count, 1)


def _loads(job: Job, layout: Layout, framing: Framing, plans: tuple[CutPlan, ...]) -> tuple[_Load, ...]:
    """List everything that goes up but the small goods."""
    return (
        *_sticks(job, plans),
        *_pads(job, framing),
        *_loose(job, layout),
        *_tops(job, layout),
        *(
            _Load(
                thing.name or thing.id,
                thing.mass_kg,
                1,
                BULKY_PER_TRIP,
                max(thing.length_mm, thing.width_mm),
            )
            for thing in job.plan.furniture
        ),
    )


def _sticks(job: Job, plans: tuple[CutPlan, ...]) -> tuple[_Load, ...]:
    """Boards and timber, by stock item; what is longer than the way up goes up as the pieces cut from it."""
    kg_m = {profile.id: profile.mass_kg_m for profile in job.choices.boards}
    kg_m |= {profile.id: profile.mass_kg_m for profile in job.choices.sections}
    longest_mm = job.survey.way_up.longest_piece_mm
    carried = [
        (stick.item or f"offcuts of {plan.profile}", long_mm / 1000 * kg_m[plan.profile], long_mm)
        for plan in plans
        for stick in plan.sticks
        for long_mm in (
            [stick.stock_mm]
            if stick.stock_mm <= longest_mm
            else [length_mm for _, length_mm in stick.pieces]  # rips beside another are part of its length
        )
    ]
    return _gathered(carried, STICKS_PER_TRIP)


def _cut_below(job: Job, plans: tuple[CutPlan, ...]) -> tuple[str, ...]:
    """Name the stock items that are longer than the way up, and so are cut on the ground."""
    longest_mm = job.survey.way_up.longest_piece_mm
    found = (s.item for plan in plans for s in plan.sticks if s.stock_mm > longest_mm)
    return tuple(dict.fromkeys(found))


def _pads(job: Job, framing: Framing) -> tuple[_Load, ...]:
    """Pads and packers, by item."""
    pads = {pad.id: pad for pad in job.choices.pads}
    packer_kg = {packer.item: packer.mass_kg for pad in job.choices.pads for packer in pad.packers}
    pedestals = {pedestal.id: pedestal for pedestal in job.choices.pedestals}
    stood = [pedestals[spot.pedestal] if spot.pedestal else pads[spot.pad] for spot in framing.pads]
    found = [(support.item, support.mass_kg, 0.0) for support in stood]
    found += [(item, packer_kg[item], 0.0) for spot in framing.pads for item in spot.packers]
    return _gathered(found, PADS_PER_TRIP)


def _loose(job: Job, layout: Layout) -> tuple[_Load, ...]:
    """Media and stone, by item; in bags or buckets, so by mass alone."""
    media = {medium.id: medium for medium in job.choices.media}
    stones = {stone.id: stone for stone in job.choices.stones}
    medium_of = {planter.id: media[planter.medium] for planter in job.plan.planters}
    stone_of = {bed.id: stones[bed.stone] for bed in job.plan.stone_beds}
    poured = [
        (medium_of[box.box].item, box.media_m3 * medium_of[box.box].saturated_kg_m3, 0.0)
        for box in layout.boxes
        if box.kind == "planter"
    ]
    poured += [
        (stone_of[bed.bed].item, bed.volume_m3 * stone_of[bed.bed].dry_kg_m3, 0.0) for bed in layout.beds
    ]
    return _gathered(poured, 0)


def _tops(job: Job, layout: Layout) -> tuple[_Load, ...]:
    """Counter tops, one at a time."""
    tops = {top.id: top for top in job.choices.tops}
    top_of = {counter.id: tops[counter.top] for counter in job.plan.counters}
    long_mm = {counter.id: max(counter.length_mm, counter.width_mm) for counter in job.plan.counters}
    return _gathered(
        [
            (top_of[box.box].item, box.top_m2 * top_of[box.box].mass_kg_m2, long_mm[box.box])
            for box in layout.boxes
            if box.kind == "counter"
        ],
        BULKY_PER_TRIP,
    )


def _gathered(parts: Iterable[tuple[str, float, float]], per_trip: int) -> tuple[_Load, ...]:
    """Sum masses, count pieces and find the longest by item, in the order found."""
    by_item: dict[str, list[tuple[float, float]]] = {}
    for item, mass_kg, longest_mm in parts:
        by_item.setdefault(item, []).append((mass_kg, longest_mm))
    return tuple(
        _Load(
            item,
            math.fsum(mass_kg for mass_kg, _ in found),
            len(found),
            per_trip,
            max(longest_mm for _, longest_mm in found),
        )
        for item, found in by_item.items()
    )
