"""Holes and corners by mouse, finger and keyboard; what lies beneath, what snaps, what is shown."""

import io
import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, FilePayload, Page, expect
from weasyprint import HTML

from tests import demo
from tests.browser.board import Keys, Mouse, Spot, Touch, document_of, new_job, open_board, saved, sign_in
from tests.browser.conftest import DESK, Server

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]
MODULES = "/static/js/board"
HOLE = ((4000, 1700), (4500, 1700), (4500, 2300), (4000, 2300))


@pytest.fixture(scope="module")
def desk(browser: Browser, server: Server) -> Iterator[Page]:
    context = browser.new_context(base_url=server.address, viewport=DESK, locale="en-US")
    page = context.new_page()
    sign_in(page, server)
    yield page
    context.close()


@pytest.fixture(scope="module")
def job(desk: Page) -> str:
    return new_job(desk, "Shapes", demo.document())


def opened_anew(page: Page, job: str) -> Page:
    """The board with the demo job as it was, in a browser that remembers nothing."""
    page.goto("/health")  # away from the board first: what it still saves must not come after the start
    now = page.request.get(f"/api{job}").json()
    page.request.put(f"/api{job}", data={"version": now["version"], "document": demo.document()})
    page.evaluate("localStorage.clear()")
    open_board(page, job)
    return page


@pytest.fixture
def page(desk: Page, job: str) -> Page:
    return opened_anew(desk, job)


@pytest.fixture
def tablet(browser: Browser, desk: Page, server: Server, job: str) -> Iterator[Page]:
    context = browser.new_context(
        base_url=server.address,
        viewport={"width": 820, "height": 1180},
        has_touch=True,
        is_mobile=True,
        locale="en-US",
        storage_state=desk.context.storage_state(),
    )
    yield opened_anew(context.new_page(), job)
    context.close()


def job_of(page: Page, job: str) -> dict[str, Any]:
    saved(page)
    return document_of(page, job)


def holes_of(page: Page, job: str, field: str = "main") -> list[Any]:
    fields = job_of(page, job)["plan"]["deck_fields"]
    found: list[Any] = next(one for one in fields if one["id"] == field).get("holes", [])
    return found


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def choose(page: Page, name: str) -> None:
    page.locator("details", has=page.locator("#board-things")).evaluate("(one) => { one.open = true; }")
    page.locator("#board-things").get_by_role("button", name=name, exact=True).click()


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
    press(page, "Copy by x, y")
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


def test_a_wall_folds_up_into_its_elevation_as_drawn_now(page: Page) -> None:
    choose(page, "Screen wall")
    page.locator("#chosen-height").fill("1900")
    page.locator("#chosen-height").press("Tab")
    press(page, "Fold the wall up")
    expect(page.locator(".board-folded svg text", has_text=re.compile("^1900 mm$")).first).to_be_visible()
    page.locator("summary", has_text="Look at it").click()
    for words in ("View of the whole, turned", "The roof after dark", "Elevations of the walls"):
        link = page.get_by_role("link", name=words).get_attribute("href") or ""
        assert page.request.get(link).ok
    press(page, "Fold the wall up")
    expect(page.locator(".board-folded svg")).to_have_count(0)


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
    expect(page.locator("#board-said")).to_have_text("3000 mm: 3000 mm across, 0 mm up.")
    expect(page.locator(".board-dimensions text", has_text=re.compile("^3000 mm$")).first).to_be_visible()
    press(page, "Section along the last measure")
    expect(page.get_by_role("heading", level=1)).to_have_text("Section")
    expect(page.get_by_label("From x, y")).to_have_value("1000, 2000")


def a_plan_on_paper() -> bytes:
    """A sheet of A3 with a line of 100 mm at its middle, the second of two pages."""
    line = "<svg width='420mm' height='297mm' viewBox='0 0 420 297'>"
    line += "<path d='M160 148.5h100' stroke='black'/></svg>"
    style = "<style>@page { size: A3 landscape; margin: 0; } p { break-after: page; }</style>"
    printed: bytes = HTML(string=f"{style}<p>Cover</p>{line}").write_pdf()
    return printed


def test_a_page_of_a_pdf_lies_beneath_and_is_scaled_by_two_spots(page: Page) -> None:
    page.locator("summary", has_text="Bring in").click()
    file = FilePayload(name="old.pdf", mimeType="application/pdf", buffer=a_plan_on_paper())
    page.get_by_label(re.compile("^Photo, drawing or PDF")).set_input_files(file)
    image = page.locator(".board-picture image")
    expect(image).to_have_attribute("width", "21000")  # A3 as if drawn 1 : 50
    page.get_by_label("Page of the PDF").fill("2")
    page.get_by_label("Page of the PDF").press("Tab")
    expect(page.locator("#board-said")).to_contain_text("Page 2 of 2")
    hand = Mouse(page)
    hand.tool("Measure")
    hand.line((1000, 1000), (3000, 1000))
    page.get_by_label("The last measured length truly is").fill("16' 4 7/8\"")
    press(page, "Scale the picture")
    expect(page.locator("#board-said")).to_have_text("The picture is scaled.")
    width = float(image.get_attribute("width") or 0)
    assert width == pytest.approx(21000 * (16 * 304.8 + 4.875 * 25.4) / 2000)
    page.get_by_label("Show the picture").uncheck()
    expect(page.locator(".board-picture")).to_be_hidden()
    bad = FilePayload(name="bad.pdf", mimeType="application/pdf", buffer=io.BytesIO(b"%PDF-1.7 no").read())
    page.get_by_label(re.compile("^Photo, drawing or PDF")).set_input_files(bad)
    expect(page.locator("#board-picture .fault")).to_contain_text("cannot be read")
