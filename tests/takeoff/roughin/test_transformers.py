"""Transformers: load over loading, the next size up, never past the list in silence."""

import pytest

from app.job.choices import TransformerSize
from app.job.findings import Finding
from app.job.plan import Transformer
from app.takeoff.roughin.records import TransformerReading
from app.takeoff.roughin.transformers import needed_w, size_transformer

SIZES = tuple(TransformerSize(item=f"T{w}", rating_w=w) for w in (300, 60, 150))


def sized(load_w: float, rating_w: float | None = None) -> tuple[TransformerReading, tuple[Finding, ...]]:
    drawn = Transformer(id="T", x_mm=0, y_mm=0, output_v=12, rating_w=rating_w, fed_from="panel")
    return size_transformer(drawn, (), load_w, SIZES, 0.8)


@pytest.mark.parametrize(("load_w", "need_w"), [(40, 50), (32, 40), (42, 52.5), (60, 75)])
def test_worked_loads_need_what_is_worked(load_w: float, need_w: float) -> None:
    assert needed_w(load_w, load_w, 0.8) == pytest.approx(need_w)


def test_at_full_loading_the_loss_in_the_cable_still_counts() -> None:
    assert needed_w(60.0, 63.2, 1.0) == 63.2


@pytest.mark.parametrize(("load_w", "item"), [(48, "T60"), (48.1, "T150"), (240, "T300")])
def test_the_smallest_that_is_large_enough_is_bought(load_w: float, item: str) -> None:
    reading, findings = sized(load_w)
    assert (reading.item, findings) == (item, ())


def test_past_the_list_is_a_stop_with_need_and_largest() -> None:
    reading, (stop,) = sized(241)
    assert (stop.code, stop.grade, stop.value, stop.limit) == (
        "roughin.transformer-none",
        "stop",
        301.25,
        300,
    )
    assert reading.rating_w == 300


def test_a_typed_rating_is_kept_and_judged() -> None:
    assert sized(40, 60)[1] == ()
    reading, (stop,) = sized(50, 60)
    assert (reading.rating_w, reading.item, stop.code) == (60, "T60", "roughin.transformer-small")
    assert [f.code for f in sized(10, 100)[1]] == ["roughin.transformer-not-listed"]
