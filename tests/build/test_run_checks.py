"""Runs before they are covered."""

from dataclasses import replace
from datetime import UTC, datetime

from app.build.run_checks import CHECKS_OF_KIND, RunTick, open_runs, run_checks
from app.takeoff.roughin.records import Run

NOW = datetime(2026, 5, 4, tzinfo=UTC)
RUN = Run("P-01", "P", "power", "panel", "O1", ((0, 0), (1, 0)), 1, 0, 0, 1, "c", "12 AWG", 0)


def tick(what: str, ends: str = "panel to O1") -> RunTick:
    return RunTick("P-01", ends, what, "Maren", NOW)


def test_line_voltage_is_tested_for_insulation_and_gas_for_pressure() -> None:
    assert "insulation" in CHECKS_OF_KIND["power"]
    assert CHECKS_OF_KIND["gas"] == ("seen", "photographed", "pressure")
    assert all("seen" in needed and "photographed" in needed for needed in CHECKS_OF_KIND.values())


def test_a_run_is_open_until_all_it_needs_is_ticked() -> None:
    ticks = [tick(what) for what in CHECKS_OF_KIND["power"]]
    assert open_runs(run_checks([RUN], ticks)) == ()
    assert open_runs(run_checks([RUN], ticks[:-1])) == ("P-01 (insulation)",)
    assert open_runs(run_checks([RUN], [])) == ("P-01 (seen, photographed, continuity, insulation)",)


def test_a_run_that_goes_elsewhere_since_is_to_be_ticked_anew() -> None:
    ticks = [tick(what) for what in CHECKS_OF_KIND["power"]]
    (moved,) = run_checks([replace(RUN, to_id="O2")], ticks)
    assert moved.missing == CHECKS_OF_KIND["power"]
