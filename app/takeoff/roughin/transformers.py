"""The transformer for what hangs on it, from the sizes that can be had."""

from collections.abc import Sequence

from app.job.choices import TransformerSize
from app.job.findings import Finding
from app.job.plan import Transformer
from app.takeoff.roughin.records import CircuitReading, TransformerReading

LOADING_SOURCE = "common practice, no source (load at most 80 % of the rating)"


def needed_w(load_w: float, drawn_w: float, loading: float) -> float:
    """Give the least rating for a load.

    Parameters
    ----------
    load_w : float
        Sum of the fixtures. [W]
    drawn_w : float
        Leaving the source, with what the cable loses. [W]
    loading : float
        Greatest share of the rating to use.

    Returns
    -------
    needed_w : float
        Never less than what is really drawn. [W]

    Notes
    -----
    load / loading. Watts are taken as volt-amperes (power factor 1); drivers with less need more.

    Examples
    --------
    >>> needed_w(60.0, 63.2, 0.8)
    75.0

    References
    ----------
    Common practice, no source.
    """
    return max(load_w / loading, drawn_w)


def size_transformer(
    transformer: Transformer,
    readings: Sequence[CircuitReading],
    load_w: float,
    sizes: Sequence[TransformerSize],
    loading: float,
) -> tuple[TransformerReading, tuple[Finding, ...]]:
    """Give the transformer to buy; a typed rating is kept and judged.

    Parameters
    ----------
    transformer : Transformer
        As drawn.
    readings : sequence of CircuitReading
        Its circuits that have a solution.
    load_w : float
        All fixtures on it, reached or not. [W]
    sizes : sequence of TransformerSize
        That can be had.
    loading : float
        Greatest share of the rating to use.

    Returns
    -------
    reading : TransformerReading
        With the largest listed and a stop past the end of the list.
    findings : tuple of Finding

    References
    ----------
    Common practice, no source.
    """
    drawn = sum(reading.current_a for reading in readings) * transformer.output_v
    need = needed_w(load_w, drawn, loading)
    listed = sorted(sizes, key=lambda size: (size.rating_w, size.item))
    if transformer.rating_w is not None:
        rating, item, found = _typed(transformer.id, transformer.rating_w, load_w, need, listed)
    else:
        rating, item, found = _picked(transformer.id, load_w, need, listed)
    return TransformerReading(transformer.id, load_w, need, rating, item), tuple(found)


def _typed(
    name: str, rating_w: float, load_w: float, need_w: float, listed: Sequence[TransformerSize]
) -> tuple[float, str, list[Finding]]:
    """Judge the rating asked for."""
    found = []
    if rating_w < need_w - 1e-9:
        text = f"{name} is asked for at {rating_w:g} W, but {load_w:g} W on it need {need_w:.1f} W."
        found.append(
            Finding("roughin.transformer-small", "stop", name, text, rating_w, need_w, "W", LOADING_SOURCE)
        )
    item = next((size.item for size in listed if abs(size.rating_w - rating_w) < 1e-6), "")
    if not item:
        text = f"{name} is asked for at {rating_w:g} W, but no transformer of that rating is listed."
        found.append(Finding("roughin.transformer-not-listed", "stop", name, text, rating_w, None, "W"))
    return rating_w, item, found


def _picked(
    name: str, load_w: float, need_w: float, listed: Sequence[TransformerSize]
) -> tuple[float, str, list[Finding]]:
    """Pick the smallest that is large enough."""
    for size in listed:
        if size.rating_w >= need_w - 1e-9:
            return size.rating_w, size.item, []
    largest = listed[-1].rating_w if listed else 0.0
    text = (
        f"{load_w:g} W on {name} need a transformer of {need_w:.1f} W; "
        + (f"the largest listed has {largest:g} W." if listed else "none is listed among the choices.")
        + " Share the circuits between two transformers, or list a larger one."
    )
    stop = Finding("roughin.transformer-none", "stop", name, text, need_w, largest, "W", LOADING_SOURCE)
    return largest, listed[-1].item if listed else "", [stop]
