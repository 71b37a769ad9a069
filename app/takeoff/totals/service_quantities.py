"""What runs hidden and what hangs on it: lights, power, sound, gas, trench and holes."""

from collections.abc import Iterable
from typing import Protocol

from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.roughin.records import RoughIn, Run
from app.takeoff.totals.measured import by_item, listed, named, number, quantity, said
from app.takeoff.totals.records import Quantity


class _Drawn(Protocol):
    """Anything drawn that has an id."""

    @property
    def id(self) -> str: ...


def service_quantities(job: Job, roughin: RoughIn) -> tuple[Quantity, ...]:
    """Give what is measured of the services.

    Parameters
    ----------
    job : Job
        Devices, cables and items.
    roughin : RoughIn
        Runs, transformers, gas.

    Returns
    -------
    quantities : tuple of Quantity
        Runs by circuit; devices by their own id.

    References
    ----------
    Definition.
    """
    items = job.choices.fastening
    plan, units = job.plan, job.units
    trench = said(roughin.trench_mm / 1000, "m", units)
    gas = [run for run in roughin.runs if run.kind == "gas"]
    return (
        *by_item(
            "light.fixtures",
            [(light.item or items.fixture, light.id, 1.0) for light in plan.fixtures],
            "lights drawn",
            lambda item: listed(
                "lights", (light.id for light in plan.fixtures if (light.item or items.fixture) == item)
            ),
        ),
        *by_item(
            "light.transformers",
            [(reading.item, reading.transformer, 1.0) for reading in roughin.transformers],
            "; ".join(
                f"{reading.transformer} {number(reading.load_w)} W of lights, "
                f"{number(reading.needed_w)} W needed, {number(reading.rating_w)} W chosen"
                for reading in roughin.transformers
            ),
            (("loading allowed", f"{number(100 * job.choices.limits.transformer_loading)} %"),),
        ),
        *_cable(job, roughin, "lighting", "light.cable"),
        *_devices("power.outlets", items.outlet, plan.outlets, "outlets drawn"),
        *_cable(job, roughin, "power", "power.cable"),
        *_devices(
            "power.circuits", "", [c for c in plan.circuits if c.kind == "power"], "line-voltage circuits"
        ),
        *_devices("sound.speakers", items.speaker, plan.speakers, "speakers drawn"),
        *_devices("sound.amplifiers", items.amplifier, plan.amplifiers, "amplifiers drawn"),
        *_cable(job, roughin, "sound", "sound.cable"),
        *_devices("gas.stubs", "", plan.gas_stubs, "gas stubs drawn"),
        *by_item(
            "gas.pipe",
            [(items.gas_pipe, run.circuit, run.length_mm / 1000) for run in gas],
            "way + up and down",
            (
                *named((("way", run.level_mm / 1000) for run in gas), "m", units),
                *named((("up and down", run.drop_mm / 1000) for run in gas), "m", units),
            ),
            units,
        ),
        *_conduit(roughin, "power.conduit", ("power",)),
        *_conduit(roughin, "roughin.conduit", ("lighting", "sound")),
        *quantity(
            "roughin.trench",
            "",
            [("job", roughin.trench_mm / 1000)],
            f"ways of {len(roughin.runs)} runs, shared lengths once: {trench}",
            (
                ("runs", f"{len(roughin.runs)}"),
                *named((("their ways one by one", r.level_mm / 1000) for r in roughin.runs), "m", units),
                ("ways, shared lengths once", trench),
            ),
        ),
        *by_item(
            "roughin.holes",
            [("", run.circuit, float(run.sticks_crossed)) for run in roughin.runs],
            "sticks crossed, summed over the runs: each cable and pipe has a hole of its own, none is shared",
            named(
                ((f"crossed by {run.circuit}", float(run.sticks_crossed)) for run in roughin.runs),
                "each",
                units,
            ),
        ),
    )


def _devices(basis: str, item: str, drawn: Iterable[_Drawn], noun: str) -> tuple[Quantity, ...]:
    """Count things drawn, each its own place."""
    ids = [thing.id for thing in drawn]
    return by_item(basis, [(item, thing, 1.0) for thing in ids], noun, listed(noun, ids))


def _cable(job: Job, roughin: RoughIn, kind: str, basis: str) -> tuple[Quantity, ...]:
    """Sum the cable of one kind, by item; without an item where no cable could be chosen."""
    item_of = {cable.id: cable.item for cable in job.choices.cables}
    slack = ("slack at each end", Spoken(job.units).length(job.choices.limits.cable_slack_mm))
    by_cable: dict[str, list[Run]] = {}
    for run in roughin.runs:
        if run.kind == kind:
            by_cable.setdefault(item_of[run.cable] if run.cable else "", []).append(run)
    return tuple(
        made
        for item, runs in by_cable.items()
        for made in quantity(
            basis,
            item,
            [(run.circuit, run.length_mm / 1000) for run in runs],
            _parts(runs, job.units),
            (
                *named(((f"runs of {run.circuit}", 1.0) for run in runs), "each", job.units),
                *named((("way", run.level_mm / 1000) for run in runs), "m", job.units),
                *named((("up and down", run.drop_mm / 1000) for run in runs), "m", job.units),
                slack,
            ),
        )
    )


def _conduit(roughin: RoughIn, basis: str, kinds: tuple[str, ...]) -> tuple[Quantity, ...]:
    """Sum the conduit round runs of some kinds, by item; each run lies in its own."""
    runs = {run.id: run for run in roughin.runs if run.kind in kinds}
    cased = [(pull, runs[pull.run]) for pull in roughin.pulls if pull.run in runs and pull.conduit_item]
    level, drop = (sum(getattr(run, part) for _, run in cased) / 1000 for part in ("level_mm", "drop_mm"))
    return by_item(
        basis,
        [(pull.conduit_item, run.circuit, (run.level_mm + run.drop_mm) / 1000) for pull, run in cased],
        f"{len(cased)} runs: {level:.2f} m way + {drop:.2f} m up and down",
        (
            *named(((f"runs of {run.circuit}", 1.0) for _, run in cased), "each", "metric"),
            ("way", f"{level:.2f} m"),
            ("up and down", f"{drop:.2f} m"),
        ),
    )


def _parts(runs: list[Run], units: str) -> str:
    """Write out way, drop and slack."""
    level, drop, slack = (
        _metres(sum(getattr(run, part) for run in runs), units)
        for part in ("level_mm", "drop_mm", "slack_mm")
    )
    return f"{len(runs)} runs: {level} way + {drop} up and down + {slack} slack"


def _metres(length_mm: float, units: str) -> str:
    """Write a length of cable: to the centimetre, or in feet and inches."""
    return f"{length_mm / 1000:.2f} m" if units == "metric" else Spoken(units).length(length_mm)
