"""Holes and corners by mouse, finger and keyboard; what snaps, what is shown."""

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests import demo
from tests.browser.board import (
    Keys,
    Mouse,
    Spot,
    Touch,
    choose,
    job_of,
    opened_anew,
    press,
    said,
    stands_still,
)

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]
MODULES = "/static/js/board"
HOLE = ((4000, 1700), (4500, 1700), (4500, 2300), (4000, 2300))


def holes_of(page: Page, job: str, field: str = "main") -> list[Any]:
    fields = job_of(page, job)["plan"]["deck_fields"]
    found: list[Any] = next(one for one in fields if one["id"] == field).get("holes", [])
    return found


def main_field() -> str:
    return str(demo.document()["plan"]["deck_fields"][0]["id"])


def without_furniture(page: Page) -> None:
    for name in ("Table", "Sofa"):
        choose(page, name)
        press(page, "Delete")


def drawn_hole(hand: Any, page: Page, job: str) -> list[Any]:
    without_furniture(page)
    hand.tool("Hole in a deck")
    hand.rectangle(HOLE[0], HOLE[2])
    return holes_of(page, job, main_field())


def corners(ring: list[Any]) -> list[Spot]:
    return [tuple(corner) for corner in ring]


def test_a_hole_is_drawn_by_mouse_and_by_keyboard_alike_and_cut_out_of_the_boards(
    page: Page, job: str
) -> None:
    (by_mouse,) = drawn_hole(Mouse(page), page, job)
    boards = page.locator("#board-figures dd").all_inner_texts()
    opened_anew(page, job)
    (by_keys,) = drawn_hole(Keys(page), page, job)
    assert corners(by_mouse) == corners(by_keys) == list(HOLE)
    expect(page.locator("#board-figures")).not_to_contain_text("NaN")
    assert boards


def test_a_hole_is_drawn_and_its_corner_moved_by_finger(tablet: Page, job: str) -> None:
    hand = Touch(tablet)
    (hole,) = drawn_hole(hand, tablet, job)
    assert corners(hole) == list(HOLE)
    hand.tool("Choose")
    for _ in range(3):
        hand.press_button("Larger")
    stands_still(tablet)
    hand.bring_into_view()
    hand.click((4250, 1800))
    expect(tablet.locator(".is-chosen.hole")).to_have_count(1)
    box = tablet.locator(".handle[data-handle='2']:not(.between)").bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 44  # gloves: 44 px, WCAG 2.5.5
    hand.drag(HOLE[2], (4600, 2500))
    (moved,) = holes_of(tablet, job, main_field())
    assert corners(moved)[2] == (4600, 2500)


def test_a_hole_is_moved_copied_and_deleted_like_any_other_thing(page: Page, job: str) -> None:
    drawn_hole(Mouse(page), page, job)
    page.get_by_label("By x, y").fill("100, 0")
    press(page, "Move by x, y")
    said(page, "moved.")
    press(page, "Copy by x, y")
    said(page, "copied.")
    page.get_by_role("application").focus()
    page.keyboard.press("Delete")
    (hole,) = holes_of(page, job, main_field())
    assert corners(hole)[0] == (4100, 1700)
    choose(page, f"{main_field()}-hole-1")
    page.get_by_role("application").focus()
    page.keyboard.press("Delete")
    assert holes_of(page, job, main_field()) == []
    press(page, "Undo")
    assert len(holes_of(page, job, main_field())) == 1


def test_a_hole_outside_every_deck_is_refused_with_the_way_out(page: Page, job: str) -> None:
    press(page, "Hole in a deck")
    page.locator("#typed-place").fill("-900, -900; -500, -500")
    press(page, "Draw it")
    expect(page.locator("#board-said")).to_contain_text("lies wholly within one deck field")
    press(page, "Hole in the roof")
    page.locator("#typed-place").fill("8000, 3000; 8300, 3300")
    press(page, "Draw it")
    expect(page.locator("#chosen-corners")).to_have_value(re.compile("8000, 3000"))
    press(page, "Undo")


def test_a_new_corner_is_pulled_from_a_side_and_goes_when_pushed_onto_the_next(page: Page, job: str) -> None:
    start = demo.document()["survey"]
    hand = Mouse(page)
    choose(page, "Roof outline")
    hand.bring_into_view()
    a, b = start["outline"][0], start["outline"][1]
    hand.drag(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), ((a[0] + b[0]) / 2, a[1] - 400))
    survey = job_of(page, job)["survey"]
    assert len(survey["outline"]) == len(start["outline"]) + 1
    kinds = [edge["kind"] for edge in start["edges"]]
    assert sorted(edge["from_corner"] for edge in survey["edges"]) == sorted(
        [edge["from_corner"] + (edge["from_corner"] > 0) for edge in start["edges"]] + [1]
    )
    assert sorted(edge["kind"] for edge in survey["edges"]) == sorted([*kinds, kinds[0]])
    hand.drag(tuple(survey["outline"][1]), tuple(b))
    back = job_of(page, job)["survey"]
    assert back["outline"] == start["outline"]
    told = [{"id": one["id"], "from_corner": one["from_corner"]} for one in back["edges"]]
    assert told == [{"id": one["id"], "from_corner": one["from_corner"]} for one in start["edges"]]


SNAPPED = """async ([path, document]) => {
    const { Snap } = await import(`${path}/snap.js`);
    const look = { modules: { main: [0, 144] } };
    const view = { scale: 8 };
    document = structuredClone(document);
    const roof = [[0, 0], [9000, 0], [9000, 5000], [0, 5000]];
    const deck = [[500, 300], [8500, 300], [8500, 4700], [500, 4700]];
    document.survey = { ...document.survey, outline: roof, holes: [], zones: [], folds: [] };
    const lights = [{ id: "a", x: 1000, y: 1000 }, { id: "b", x: 1730, y: 1000 }];
    document.plan = { deck_fields: [{ id: "main", outline: deck }], fixtures: lights };
    const snap = new Snap({ document, look, units: "metric" }, view);
    const all = Object.keys(snap.uses);
    const only = (...names) => all.forEach((name) => { snap.uses[name] = names.includes(name); });
    const found = {};
    const ask = (name, spot, options) => { found[name] = snap.take(spot, options); };
    only("grid"); ask("grid", [1234, 2261], {});
    only("corner"); ask("corner", [8460, 330], {});
    only("edge"); ask("edge", [3333.3, 340], {});
    only("square"); ask("square", [4210, 2040], { from: [[1000, 2000]] });
    const slanted = [[1000, 1000], [2000, 2000]];
    ask("parallel", [3020, 2990], { from: slanted });
    ask("perpendicular", [1010, 3030], { from: slanted });
    only("gap"); ask("gap", [2455, 1010], { place: "plan.fixtures" });
    only("board"); ask("board", [4000, 1010], {});
    only(); ask("free", [1234.567, 2261.123], {});
    return found;
}"""


def test_spots_snap_to_grid_corner_edge_parallel_perpendicular_equal_gap_and_board(page: Page) -> None:
    found = page.evaluate(SNAPPED, [MODULES, demo.document()])
    assert found["grid"] == {"spot": [1200, 2300], "why": "grid"}
    assert found["corner"] == {"spot": [8500, 300], "why": "corner"}
    assert (found["edge"]["spot"][1], found["edge"]["why"]) == (300, "edge")
    assert found["square"]["spot"][1] == 2000
    assert found["parallel"]["spot"][0] == pytest.approx(found["parallel"]["spot"][1])
    x, y = found["perpendicular"]["spot"]
    assert (x - 2000) + (y - 2000) == pytest.approx(0, abs=0.02)
    assert found["gap"] == {"spot": [2460, 1000], "why": "equal gap"}
    assert (found["board"]["spot"][1] - 300) % 144 == pytest.approx(0, abs=0.02)
    assert found["free"]["spot"] == [1234.57, 2261.12]


def test_layers_are_shown_and_hidden_and_measures_taken_and_cut_along(page: Page, job: str) -> None:
    page.locator("summary", has_text="Layers and snapping").click()
    boards = page.locator(".board-boards")
    expect(boards).to_be_visible()
    page.get_by_label("Boards", exact=True).uncheck()
    expect(boards).to_be_hidden()
    page.get_by_label("Frame and pads").check()
    expect(page.locator(".board-frame")).to_be_visible()
    hand = Mouse(page)
    hand.tool("Measure")
    hand.line((1000, 2000), (4000, 2000))
    said(page, "3000 mm: 3000 mm across, 0 mm up.")
    expect(page.locator(".board-dimensions text", has_text=re.compile("^3000 mm$")).first).to_be_visible()
    press(page, "Section along the last measure")
    expect(page.get_by_role("heading", level=1)).to_have_text("Section")
    expect(page.get_by_label("From x, y")).to_have_value("1000, 2000")
