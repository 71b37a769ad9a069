"""Edits on the board: all that a drag does can be typed, undo gives the start, nothing drawn is lost."""

import json
import re
from typing import Any

import pytest
from playwright.sync_api import FilePayload, Page, Route, ViewportSize, expect

from tests import demo
from tests.browser.axe import faults, overflow_px
from tests.browser.board import choose, document_of, open_board, press, said, saved
from tests.browser.conftest import DESK, PHONE
from tests.web.content_model import page_faults

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]
MODULES = "/static/js/board"
SEEDS = 40


def plan_of(page: Page, job: str) -> dict[str, Any]:
    saved(page)
    found: dict[str, Any] = document_of(page, job)["plan"]
    return found


def of_id(things: list[dict[str, Any]], mark: str) -> dict[str, Any]:
    return next(thing for thing in things if thing["id"] == mark)


def test_things_are_moved_copied_turned_mirrored_and_set_out_by_number(page: Page, job: str) -> None:
    choose(page, "Table")
    page.get_by_label("By x, y").fill("1', -0.1 m")
    press(page, "Move by x, y")
    said(page, "moved.")
    press(page, "Copy by x, y")
    said(page, "copied.")
    page.get_by_label("By an angle, degrees").fill("30°")
    press(page, "Turn")
    said(page, "turned.")
    press(page, "Mirror left to right")
    choose(page, "spot-3")
    page.get_by_label("How many more").fill("2")
    page.get_by_label("Step from one to the next").fill("20 in")
    page.get_by_label("Edge", exact=True).select_option("roof outline roof, side 1")
    press(page, "Set out along the edge")
    said(page, "2 set out along the edge.")
    plan = plan_of(page, job)
    table = of_id(plan["furniture"], "table")
    assert (table["x"], table["y"]) == (5904.8, 2500)
    (copied,) = (one for one in plan["furniture"] if one["id"] not in ("sofa", "table"))
    assert (copied["x"], copied["y"]) == (6209.6, 2400)
    assert copied["angle"] == -30  # 30° anticlockwise becomes 30° clockwise; its front stays its front
    lights = [one for one in plan["fixtures"] if one["id"].startswith("light-")]
    start = of_id(plan["fixtures"], "spot-3")
    assert [(one["x"] - start["x"], one["y"] - start["y"]) for one in lights] == [(508, 0), (1016, 0)]
    assert {one["circuit"] for one in lights} == {start["circuit"]}


def test_a_mirrored_wall_keeps_its_openings_and_its_face(page: Page, job: str) -> None:
    before = demo.document()["plan"]["feature_walls"][0]
    choose(page, "Screen wall")
    press(page, "Mirror top to bottom")
    wall = plan_of(page, job)["feature_walls"][0]
    # Both its ends change places twice over: mirrored, and turned round so that the face stays.
    assert (wall["start"], wall["end"]) == (before["start"], before["end"])
    slot, old = wall["openings"][0], before["openings"][0]
    assert slot["x"] == 2000 - old["x"] - old["width"]


def test_a_field_is_cut_to_the_edge_that_is_chosen(page: Page, job: str) -> None:
    choose(page, "Table", "Sofa")
    press(page, "Delete")
    choose(page, "Main deck")
    page.get_by_label("Edge", exact=True).select_option("counter kitchen, side 4")
    press(page, "Cut to the edge")
    said(page, "cut to the edge.")
    deck = page.locator("#chosen-corners").input_value()
    assert "6550, 150" in deck
    press(page, "Undo")
    expect(page.locator("#chosen-corners")).to_have_value(re.compile("8850, 150"))


def test_values_are_typed_in_any_unit_and_faults_stand_beside_the_field(page: Page, job: str) -> None:
    choose(page, "Table")
    page.locator("#chosen-x").fill("18' 0 1/2\"")
    page.locator("#chosen-x").press("Tab")
    said(page, "x changed.")
    page.locator("#chosen-length").fill("long")
    page.locator("#chosen-length").press("Tab")
    expect(page.locator("#chosen-length-fault")).to_contain_text("A length is wanted")
    assert of_id(plan_of(page, job)["furniture"], "table")["x"] == pytest.approx(5499.1)


def test_arrow_keys_move_by_the_grid_and_ten_and_a_millimetre(page: Page, job: str) -> None:
    choose(page, "Sofa")
    drawing = page.get_by_role("application")
    drawing.focus()
    for key in ("ArrowRight", "ArrowRight", "Alt+ArrowUp"):
        page.keyboard.press(key)
    sofa = of_id(plan_of(page, job)["furniture"], "sofa")
    assert (sofa["x"], sofa["y"]) == (1700, 5201)
    drawing.focus()
    page.keyboard.press("Control+z")  # nudges of one thing are one edit
    expect(page.locator("#chosen-x")).to_have_value("1500")
    page.keyboard.press("Control+y")
    expect(page.locator("#chosen-x")).to_have_value("1700")


def test_the_focus_can_leave_the_drawing(page: Page) -> None:
    page.get_by_role("application").focus()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") != "board-drawing"


def test_any_run_of_edits_undone_gives_the_start(page: Page) -> None:
    """Random edits with a seed, done in the page by the board's own modules, undone, and done again."""
    lost = page.evaluate(
        """async ([path, document, seeds]) => {
            const [{ History }, edits, { drawThing }, { all }] = await Promise.all(
                ["history", "edits", "fresh", "things"].map((name) => import(`${path}/${name}.js`)));
            const lost = [];
            for (let seed = 1; seed <= seeds; seed += 1) {
                let state = seed * 2654435761 % 4294967296;
                const chance = (most) => {  // mulberry32: small, seeded, plain arithmetic
                    state = (state + 0x6d2b79f5) | 0;
                    let t = Math.imul(state ^ (state >>> 15), 1 | state);
                    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
                    return ((t ^ (t >>> 14)) >>> 0) % most;
                };
                const history = new History(document);
                const start = JSON.stringify(document);
                const steps = [];
                for (let step = 0; step < 30; step += 1) {
                    const doc = history.document;
                    const things = all(doc).map(({ ref }) => ref);
                    const refs = [things[chance(things.length)], things[chance(things.length)]];
                    const unique = [...new Set(refs)];
                    const size = chance(4000) - 2000;
                    const places = ["plan.planters", "survey.drains", "plan.deck_fields", "plan.benches"];
                    const spots = [[0, 0], [size + 3000, 0], [size + 3000, 900]];
                    const made = [
                        () => edits.move(doc, unique, size, chance(500)),
                        () => edits.copy(doc, unique, size, 100)[0],
                        () => edits.turn(doc, unique, chance(360)),
                        () => edits.mirror(doc, unique, [0, 0], [chance(9) + 1, size]),
                        () => edits.remove(doc, unique),
                        () => edits.array(doc, unique, 3, 400, [0, 0], [1, 1])[0],
                        () => edits.trim(doc, unique, [size, 0], [size + 50, 4000]) ?? doc,
                        () => edits.pull(doc, refs[0], 0, [size, size]),
                        () => drawThing(doc, places[chance(4)], spots, {})[0],
                    ][chance(9)]();
                    history.push(`step ${step}`, made, chance(3) ? "" : `nudge ${chance(2)}`);
                    if (chance(5) === 0) { history.undo(); }
                    if (chance(9) === 0) { history.redo(); }
                    steps.push(JSON.stringify(history.document));
                }
                const [end, many] = [JSON.stringify(history.document), history.past.length];
                while (history.past.length) { history.undo(); }
                if (JSON.stringify(history.document) !== start) { lost.push(`seed ${seed}: not the start`); }
                for (let step = 0; step < many; step += 1) { history.redo(); }
                if (JSON.stringify(history.document) !== end) { lost.push(`seed ${seed}: not the end`); }
            }
            return lost;
        }""",
        [MODULES, opened(page), SEEDS],
    )
    assert lost == []


def opened(page: Page) -> dict[str, Any]:
    found: dict[str, Any] = page.evaluate(
        "async (job) => (await (await fetch(`/api/jobs/${job}/board`)).json()).document",
        page.locator("#board").get_attribute("data-job"),
    )
    return found


def test_two_merged_drawings_hold_what_each_changed(page: Page) -> None:
    merged = page.evaluate(
        """async ([path, base]) => {
            const { merge, chooseTheirs } = await import(`${path}/merge.js`);
            const edits = await import(`${path}/edits.js`);
            const [table, sofa] = ["plan.furniture#table", "plan.furniture#sofa"];
            const mine = edits.remove(edits.move(base, [table], 100, 0), ["plan.outlets#outlet-lounge"]);
            const theirs = edits.move(edits.move(base, [sofa], 0, 100), [table], 0, 50);
            const { merged, clashes } = merge(base, mine, theirs);
            return { merged, clashes, theirs: chooseTheirs(merged, clashes[0]) };
        }""",
        [MODULES, opened(page)],
    )
    (clash,) = merged["clashes"]
    assert clash["at"] == "plan.furniture#table"
    furniture = merged["merged"]["plan"]["furniture"]
    assert (of_id(furniture, "table")["x"], of_id(furniture, "table")["y"]) == (5700, 2600)
    assert of_id(furniture, "sofa")["y"] == 5300
    settled = merged["theirs"]["plan"]["furniture"]
    assert (of_id(settled, "table")["x"], of_id(settled, "table")["y"]) == (5600, 2650)
    assert "outlet-lounge" not in [one["id"] for one in merged["merged"]["plan"]["outlets"]]


def test_undo_still_works_after_the_page_is_loaded_again(page: Page, job: str) -> None:
    choose(page, "Table")
    page.get_by_label("By x, y").fill("300, 0")
    press(page, "Move by x, y")
    saved(page)
    open_board(page, job)
    press(page, "Undo")
    assert of_id(plan_of(page, job)["furniture"], "table")["x"] == 5600


def test_without_a_connection_the_drawing_is_kept_and_sent_later(page: Page, job: str) -> None:
    choose(page, "Table")
    page.context.set_offline(True)
    press(page, "Move by x, y")
    expect(page.locator("#board-kept")).to_contain_text("No connection")
    page.context.set_offline(False)
    assert of_id(plan_of(page, job)["furniture"], "table")["x"] == 5700


def test_when_both_changed_one_thing_both_are_shown_and_a_person_chooses(page: Page, job: str) -> None:
    got = page.request.get(f"/api{job}").json()
    theirs = got["document"]
    of_id(theirs["plan"]["furniture"], "table")["x"] = 5000
    of_id(theirs["plan"]["furniture"], "sofa")["y"] = 5300
    page.request.put(f"/api{job}", data={"version": got["version"], "document": theirs})
    choose(page, "Table")
    page.get_by_label("By x, y").fill("100, 100")
    press(page, "Move by x, y")
    expect(page.get_by_role("heading", name="Somebody saved first")).to_be_visible()
    assert not faults(page)
    page.locator("[name=clash-0][value=theirs]").check()
    press(page, "Use these and save")
    expect(page.locator("#board-clashes")).to_be_hidden()
    furniture = plan_of(page, job)["furniture"]
    assert (of_id(furniture, "table")["x"], of_id(furniture, "sofa")["y"]) == (5000, 5300)


def test_a_walk_that_does_not_close_is_spread_or_refused(page: Page) -> None:
    press(page, "Stone bed")
    page.get_by_label("Walk round it").fill("1 m east, 1 m north, 1.02 m west, 1 m south")
    page.get_by_label("Starting at x, y").fill("6 m, 1 m")
    press(page, "Draw the walk")
    expect(page.locator(".walk-answer")).to_contain_text("ends 20 mm from where it began")
    press(page, "Refuse it")
    press(page, "Draw the walk")
    press(page, "Spread the error")
    corners = page.locator("#chosen-corners").input_value().splitlines()
    assert corners[0] == "6000, 1000"
    assert corners[1] == "7005, 1000"  # 20 mm over 4.02 m: a leg of 1 m takes 5 mm


def test_a_dxf_is_looked_at_before_it_is_used(page: Page) -> None:
    page.locator("summary", has_text="Bring in").click()
    head = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n6\n0\nENDSEC\n"
    head += "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n5\n1F\n100\nAcDbEntity\n8\nroof\n"
    ring = "100\nAcDbPolyline\n90\n4\n70\n1\n10\n0\n20\n0\n10\n8\n20\n0\n10\n8\n20\n5\n10\n0\n20\n5\n"
    file = FilePayload(
        name="old.dxf", mimeType="image/vnd.dxf", buffer=f"{head}{ring}0\nENDSEC\n0\nEOF\n".encode()
    )
    page.get_by_label("Outlines from a DXF").set_input_files(file)
    expect(page.locator("#board-dxf")).to_contain_text("roof: 4 corners, 40.00 m²")
    expect(page.locator(".draft")).to_have_count(1)
    page.get_by_role("button", name="Use as the roof").click()
    roof = page.locator('.thing[data-ref="survey.outline#roof"]')
    expect(roof).to_have_attribute("aria-label", re.compile("4 corners"))
    press(page, "Undo")


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_board_is_free_of_faults_and_fits(page: Page, size: ViewportSize, job: str) -> None:
    page.set_viewport_size(size)
    choose(page, "Table")
    for summary in page.locator("#board summary").all():
        summary.evaluate("(one) => { one.parentElement.open = true; }")
    assert overflow_px(page) <= 0
    assert not faults(page)
    assert not page_faults(page.content())  # as the script has made it
    for path in ("section", "view"):
        page.goto(f"{job}/{path}")
        assert overflow_px(page) <= 0
        assert not faults(page)


def test_a_finding_leads_to_its_thing_and_the_drawing_names_it(page: Page) -> None:
    page.locator("summary", has_text="Findings").click()
    page.get_by_role("button", name="Show kitchen").first.click()
    expect(page.locator('.is-chosen[data-ref="plan.counters#kitchen"]')).to_have_attribute(
        "aria-label", re.compile("counter Kitchen counter, 1500 by 650 mm")
    )
    assert page.locator(".found.check").count() > 0


def test_what_was_drawn_and_not_saved_is_there_after_a_crash(page: Page, job: str) -> None:
    def refuse_saves(route: Route) -> None:
        if route.request.method == "PUT":
            route.abort()
        else:
            route.continue_()

    choose(page, "Table")
    page.route("**/board", refuse_saves)
    press(page, "Move by x, y")
    expect(page.locator("#board-kept")).to_contain_text("kept")
    page.unroute("**/board")
    open_board(page, job)
    assert of_id(plan_of(page, job)["furniture"], "table")["x"] == 5700
    assert json.dumps(document_of(page, job)["survey"]) == json.dumps(demo.document()["survey"])
