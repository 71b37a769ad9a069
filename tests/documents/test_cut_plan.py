"""The cut plan, read back: every piece on its board, boards counted, leftovers and hands told."""

import io
from functools import cache

from pypdf import PdfReader

from app.documents.cut_plan import cut_plan_pdf, profile_plans
from app.documents.records import CutPlanInputs
from app.drawings.cut_bars import bar_svg
from app.job.choices import Cutting
from app.pricing.price_book import stock_prices
from app.takeoff.chain import take_off
from app.takeoff.totals.records import CutStick
from tests import demo


@cache
def inputs() -> CutPlanInputs:
    firm = demo.day_plan_inputs().firm
    job = demo.demo_job("net-store")
    return CutPlanInputs(firm, job, "J-7", take_off(job, stock_prices(demo.prices())), demo.TODAY)


@cache
def printed() -> str:
    pages = PdfReader(io.BytesIO(cut_plan_pdf(inputs()))).pages
    return "".join("".join(page.extract_text() for page in pages).split())


def test_every_piece_is_printed_with_the_number_of_its_board() -> None:
    for profile in profile_plans(inputs()):
        for name, number in profile.found:
            assert f"{name}:{number}" in printed()
            stick = profile.plan.sticks[number - 1]
            assert name in [cut for cut, _ in stick.pieces] + [cut for cut, _, _ in stick.beside]


def test_what_to_buy_the_method_and_the_hands_are_printed() -> None:
    for plan in inputs().takeoff.totals.cut_plans:
        for made in plan.bought:
            assert f"({made.item}" in printed()
        assert "".join(plan.method.split()) in printed()
        for name, words in plan.ends:
            assert "".join(f"{name}: {words}".split()) in printed()


def test_a_bar_is_true_to_scale_along_the_board() -> None:
    stick = CutStick("A", 3000.0, (("D-1", 1500.0), ("D-2", 900.0)), 594.0, (("D-3", "D-1", 1400.0),))
    svg = bar_svg(stick, Cutting(), "metric", 20.0, "board 1")
    assert 'viewBox="0 0 3040 ' in svg
    for name in ("D-1  1500 mm", "D-2", "900 mm", "D-3  1400 mm", "left 594 mm"):
        assert name in svg


def test_a_piece_too_short_for_its_name_still_has_a_label_for_readers() -> None:
    stick = CutStick("A", 3000.0, (("D1-0001", 30.0),), 2967.0)
    svg = bar_svg(stick, Cutting(), "metric", 20.0, "board 1")
    assert "<title>D1-0001</title>" in svg
    assert ">D1-0001</text>" not in svg
