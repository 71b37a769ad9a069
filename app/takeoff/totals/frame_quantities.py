"""What carries: sticks, pads, shims, tape, connectors, screws, lift-out panels."""

import math
from dataclasses import replace

from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.framing.records import Framing, Stick
from app.takeoff.totals.measured import Inputs, by_item, listed, named, quantity, said, sum_of
from app.takeoff.totals.records import Quantity

DECK_STICKS = ("sleeper", "breaker sleeper", "rim", "blocking", "trimmer", "doubling")
# Two screws at each end of a stick; a furring strip one every 400 mm and one at each end.
# Common practice, no source; connectors bring their own.
SCREWS_PER_END = 2
FURRING_SCREW_MM = 400.0


def frame_quantities(job: Job, framing: Framing) -> tuple[Quantity, ...]:
    """Give what is measured of the frames under decks and behind cladding.

    Parameters
    ----------
    job : Job
        Pads and items in the choices.
    framing : Framing
        Sticks, pads, tape, connectors.

    Returns
    -------
    quantities : tuple of Quantity
        Timber itself is bought by stock length and stands there.

    References
    ----------
    Definition; screws by common practice, no source.
    """
    items = job.choices.fastening
    pads = {pad.id: pad for pad in job.choices.pads}
    on_pads = replace(framing, pads=tuple(spot for spot in framing.pads if not spot.pedestal))
    units = job.units
    deck = [stick for stick in framing.sticks if stick.role in DECK_STICKS]
    return (
        *_metres("frame.sticks", deck, units),
        *by_item(
            "frame.pads",
            [(pads[spot.pad].item, spot.place, 1.0) for spot in on_pads.pads],
            "pads, one at each support",
            _sticks_on_pads(on_pads),
        ),
        *_pedestals(job, framing),
        *by_item(
            "frame.packers",
            [(item, spot.place, 1.0) for spot in framing.pads for item in spot.packers],
            "packers, fewest parts that make up the height of each pad",
            lambda item: _packer_inputs(job, framing, item),
        ),
        *by_item(
            "frame.shims",
            [(pads[spot.pad].shim_item, spot.place, float(spot.shims)) for spot in on_pads.pads],
            _shims_why(on_pads),
            _shim_inputs(job, on_pads),
        ),
        *quantity(
            "frame.tape",
            items.joist_tape,
            [(field, length_mm / 1000) for field, length_mm in framing.tape_mm],
            f"on top of the sticks: {sum_of((mm / 1000 for _, mm in framing.tape_mm), 'm', units)}",
            named(((f"tops of sticks in {field}", mm / 1000) for field, mm in framing.tape_mm), "m", units),
        ),
        *by_item(
            "frame.connectors",
            [(items.connector, field, float(count)) for field, count in framing.connectors],
            "connectors, where sticks meet",
            named(((f"meetings in {field}", float(n)) for field, n in framing.connectors), "each", units),
        ),
        *_screws(items.frame_screw, framing.sticks, units),
        *by_item(
            "frame.panels",
            [("", field, 1.0) for _, field in framing.access_panels],
            f"over drains ({', '.join(drain for drain, _ in framing.access_panels)})",
            listed("drains", (f"{drain} under {field}" for drain, field in framing.access_panels)),
        ),
        *_metres("wall.furring", [stick for stick in framing.sticks if stick.role == "furring"], units),
        *_metres("box.frame", [stick for stick in framing.sticks if stick.role == "frame"], units),
    )


def frame_screws(stick: Stick) -> int:
    """Give how many frame screws a stick takes.

    Parameters
    ----------
    stick : Stick
        Any stick.

    Returns
    -------
    screws : int
        Two at each end; along a furring strip one at most every 400 mm.

    References
    ----------
    Common practice, no source.
    """
    if stick.role == "furring":
        return math.ceil(stick.length_mm / FURRING_SCREW_MM) + 1
    return 2 * SCREWS_PER_END


def _screws(item: str, sticks: tuple[Stick, ...], units: str) -> tuple[Quantity, ...]:
    """Count the frame screws over all sticks."""
    apart = Spoken(units).length(FURRING_SCREW_MM)
    furring = [stick for stick in sticks if stick.role == "furring"]
    others = len(sticks) - len(furring)
    parts = []
    if others:
        parts.append(f"{others} sticks × 2 ends × {SCREWS_PER_END} screws")
    if furring:
        along = sum(frame_screws(stick) for stick in furring)
        parts.append(f"{along} along {len(furring)} furring strips, one every {apart}")
    shares = [(stick.place, float(frame_screws(stick))) for stick in sticks]
    inputs = (
        ("sticks", f"{others}"),
        ("screws at an end", f"{SCREWS_PER_END}"),
        ("furring strips", f"{len(furring)}"),
        ("spacing along furring", apart),
    )
    return quantity("frame.screws", item, shares, " + ".join(parts), inputs)


def _pedestals(job: Job, framing: Framing) -> tuple[Quantity, ...]:
    """Count the pedestals, by item."""
    kinds = {pedestal.id: pedestal for pedestal in job.choices.pedestals}
    spots = [spot for spot in framing.pads if spot.pedestal]
    say = Spoken(job.units)

    def inputs(item: str) -> Inputs:
        under = [spot for spot in spots if kinds[spot.pedestal].item == item]
        kind = kinds[under[0].pedestal]
        return (
            ("its range", f"{say.length(kind.least_mm)} to {say.length(kind.greatest_mm)}"),
            ("pads too tall", f"{len(under)}"),
            _heights(job, [spot.height_mm for spot in under]),
        )

    return by_item(
        "frame.pedestals",
        [(kinds[spot.pedestal].item, spot.place, 1.0) for spot in spots],
        "pedestals, one where a pad would be too tall",
        inputs,
    )


def _sticks_on_pads(framing: Framing) -> tuple[tuple[str, str], ...]:
    """Say how many sticks the pads stand under."""
    return (("sticks on pads", f"{len({spot.stick for spot in framing.pads})}"),)


def _shim_inputs(job: Job, framing: Framing) -> tuple[tuple[str, str], ...]:
    """Say the heights made up, the thickness of the pads and the steps of the shims."""
    heights = [spot.height_mm for spot in framing.pads]
    used = {spot.pad for spot in framing.pads}
    if not heights:
        return ()
    say = Spoken(job.units)
    return (
        ("pads", f"{len(heights)}"),
        _heights(job, heights),
        *(
            (pad.id, f"{say.shim(pad.thickness_mm)} thick, shims of {say.shim(pad.shim_step_mm)}")
            for pad in job.choices.pads
            if pad.id in used
        ),
    )


def _heights(job: Job, heights: list[float]) -> tuple[str, str]:
    """Say the lowest and the tallest height made up."""
    say = Spoken(job.units)
    return ("heights", f"{say.length(min(heights))} to {say.length(max(heights))}")


def _packer_inputs(job: Job, framing: Framing, item: str) -> Inputs:
    """Say where one packer is used, and what it makes up."""
    under = [spot for spot in framing.pads if item in spot.packers]
    sizes = {packer.item: packer.height_mm for pad in job.choices.pads for packer in pad.packers}
    return (
        ("its height", Spoken(job.units).shim(sizes[item])),
        ("pads with it", f"{len(under)}"),
        _heights(job, [spot.height_mm for spot in under]),
    )


def _shims_why(framing: Framing) -> str:
    """Say how many shims a pad takes."""
    counts = [spot.shims for spot in framing.pads]
    if not counts:
        return "no pads"
    return f"height of each pad less pad and packers, in steps: {min(counts)} to {max(counts)} on a pad"


def _metres(basis: str, sticks: list[Stick], units: str) -> tuple[Quantity, ...]:
    """Give the summed length of sticks, with the count by role."""
    roles: dict[str, int] = {}
    for stick in sticks:
        roles[stick.role] = roles.get(stick.role, 0) + 1
    counted = ", ".join(f"{count} {role}" for role, count in roles.items())
    shares = [(stick.place, stick.length_mm / 1000) for stick in sticks]
    inputs = (
        *((role, f"{count}") for role, count in roles.items()),
        *named(((f"{stick.role}, together", stick.length_mm / 1000) for stick in sticks), "m", units),
    )
    return quantity(
        basis, "", shares, f"{counted}: {said(math.fsum(m for _, m in shares), 'm', units)}", inputs
    )
