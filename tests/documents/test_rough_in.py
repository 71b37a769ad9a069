"""The rough-in sheet for the site: what it lists."""

from datetime import date

from app.build.run_checks import run_checks
from app.documents.rough_in import RoughInInputs, materials_of, rough_in_pdf
from app.takeoff.chain import take_off
from tests import demo

JOB = demo.demo_job()
TAKEOFF = take_off(JOB, {})


def test_the_materials_add_up_to_the_runs() -> None:
    rows = {row.name: row.amount for row in materials_of(JOB, TAKEOFF)}
    lighting = sum(run.length_mm for run in TAKEOFF.rough_in.runs if run.cable == "lv-14")
    assert rows["Lighting cable 14 AWG"] == f"{lighting / 1000:.1f} m"
    assert rows["Boxes for joints"] == str(len(TAKEOFF.rough_in.joints))
    assert any(name.startswith("Gas pipe") and name.endswith("to be confirmed") for name in rows)


def test_the_same_inputs_give_the_same_bytes() -> None:
    checks = run_checks(TAKEOFF.rough_in.runs, [])
    inputs = RoughInInputs(demo.firm(), JOB, "0001", TAKEOFF, checks, date(2026, 5, 4), "9 Slip Lane")
    assert rough_in_pdf(inputs) == rough_in_pdf(inputs)
