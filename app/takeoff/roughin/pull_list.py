"""The order of pulling: stiff before soft, one reel after the other, the longest first."""

from collections.abc import Mapping, Sequence

from app.takeoff.roughin.conduits import Cased
from app.takeoff.roughin.records import Pull, Run

ORDER = {"gas": 0, "power": 1, "lighting": 2, "sound": 3}


def pull_list(runs: Sequence[Run], cased: Mapping[str, Cased]) -> tuple[Pull, ...]:
    """Give every run in the order of pulling.

    Parameters
    ----------
    runs : sequence of Run
        All of the job.
    cased : mapping of str to Cased
        Conduit by circuit.

    Returns
    -------
    pulls : tuple of Pull
        Pipe, then line voltage, lights and sound; of each the cables one after the other, so that a reel
        is set up once, and its longest runs first, so that what is left serves the short ones.

    References
    ----------
    Common practice, no source.
    """
    ordered = sorted(runs, key=lambda run: (ORDER[run.kind], run.cable, run.size, -run.length_mm, run.id))
    return tuple(_pull(number, run, cased) for number, run in enumerate(ordered, start=1))


def _pull(number: int, run: Run, cased: Mapping[str, Cased]) -> Pull:
    """Give one line of the list."""
    conduit = cased.get(run.circuit, Cased())
    return Pull(
        number=number,
        run=run.id,
        from_id=run.from_id,
        to_id=run.to_id,
        cable=run.cable,
        size=run.size,
        length_mm=run.length_mm,
        conduit=conduit.size,
        fill_pct=conduit.fill_pct,
        conduit_item=conduit.item,
    )
