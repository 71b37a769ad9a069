"""The Rough-in sheet: layers, the sheet for the site, ticks, and the hold point that waits for them."""

import io
import math
import re

from pypdf import PdfReader

from app.actions.handover_file import handover_inputs
from app.actions.takeoff import work_out
from app.documents.handover_file import handover_pdf
from tests.web.conftest import HARBOUR, NOW, Server
from tests.web.page_client import PageClient

PAGE = f"/jobs/{HARBOUR}/rough-in"
LOG = f"/jobs/{HARBOUR}/log"
TICK, SIGN = f"{PAGE}/checks", f"/jobs/{HARBOUR}/hold-points"


def cells(text: str) -> list[str]:
    return re.findall(r'name="tick" value="([^"]+)"', text)


def test_the_sheet_shows_one_layer_or_all(staff: PageClient) -> None:
    whole = staff.get(PAGE).text
    assert "Pull list" in whole
    assert "lx at deck level" in whole
    assert "layer-runs-power" in whole
    lights = staff.get(f"{PAGE}?layer=lighting").text
    assert "layer-runs-lighting" in lights
    assert "layer-runs-power" not in lights


def test_the_sheet_for_the_site_holds_every_tag_and_place(staff: PageClient) -> None:
    answer = staff.browser.get(f"{PAGE}.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    reader = PdfReader(io.BytesIO(answer.content))
    text = " ".join(page.extract_text() for page in reader.pages)
    for words in ("steps-01", "grill-01", "outlet-lounge", "from corners A and B", "photographed"):
        assert words in text


def test_the_hold_point_is_signed_only_when_every_run_is_ticked(staff: PageClient) -> None:
    page = staff.get(PAGE)
    every, token = cells(page.text), page.token
    runs = len({cell.rpartition(":")[0] for cell in every})
    assert f"stays open: {runs} of {runs} runs" in page.text
    signature = {"form_token": token, "code": "rough-in inspection", "name": "R. Inspector"}
    refused = staff.post(SIGN, signature, 422).text
    assert f"{runs} runs are not ticked off" in refused
    assert "steps-01 (seen, photographed, continuity)" in refused
    assert f"Open: {runs} runs" in staff.get(LOG).text
    nearly = staff.post(TICK, {"form_token": token, "tick": every[:-1]})
    assert f"stays open: 1 of {runs} runs" in nearly.text
    back = staff.post(TICK, {"form_token": token, "tick": every[1:], "was": every[:-1]})
    assert f"stays open: 1 of {runs} runs" in back.text
    whole = staff.post(TICK, {"form_token": token, "tick": every, "was": every[1:]})
    assert "Every run is ticked off" in whole.text
    assert "R. Inspector" in staff.post(SIGN, signature).text
    kept = staff.post(TICK, {"form_token": token, "was": every[:1]}, 422).text
    assert "ticks are no longer taken back" in kept


def test_what_is_no_cell_of_the_job_is_passed_over(staff: PageClient) -> None:
    token = staff.get(PAGE).token
    odd = ["nowhere-01:seen", "steps-01:dancing", ":", "steps-01"]
    assert "stays open" in staff.post(TICK, {"form_token": token, "tick": odd}).text


def test_a_run_that_lies_elsewhere_is_noted_and_stands_in_the_handover_file(
    server: Server, staff: PageClient
) -> None:
    path, action = f"/jobs/{HARBOUR}/rough-in", f"/jobs/{HARBOUR}/rough-in/elsewhere"
    page = staff.send(path, action, 422, run="steps-02", where=" ")
    assert "two tape measures from A and B" in page.text
    staff.send(path, action, run="steps-02", where="A <3.10 m>, B 2.20 m")
    assert "lies elsewhere: A &lt;3.10 m&gt;, B 2.20 m" in staff.get(path).text
    assert "Run steps-02 lies elsewhere" in staff.get(f"/jobs/{HARBOUR}/log").text
    runs = handover_inputs(server.db, HARBOUR, NOW.date()).runs
    (row,) = (row for row in runs if row.tag == "steps-02")
    assert row.checks.startswith("lies elsewhere than planned: A <3.10 m>, B 2.20 m (")


def test_a_run_measured_by_tape_is_drawn_where_it_lies_with_the_plan_in_fine_dots(
    server: Server, staff: PageClient
) -> None:
    action = f"{PAGE}/elsewhere"
    before = handover_inputs(server.db, HARBOUR, NOW.date())
    assert "ink-run-as-drawn" not in before.rough_in_svg
    half = staff.send(PAGE, action, 422, **{"run": "steps-01", "a-1": "3 m", "b-1": ""})
    assert "Spot 1 needs both tapes" in half.text
    assert 'value="3 m"' in half.text  # what was typed is still there
    apart = staff.send(PAGE, action, 422, **{"run": "steps-01", "a-1": "10 mm", "b-1": "10 mm"})
    assert "The run cannot be drawn: tapes of 0.01 m from A" in apart.text
    takeoff = work_out(server.db, HARBOUR, NOW.date()).answer.takeoff
    run = next(run for run in takeoff.rough_in.runs if run.id == "steps-01")
    (ax, ay), (bx, by) = run.path_mm[0], run.path_mm[-1]
    spot = ((ax + bx) / 2 + 300, (ay + by) / 2 + 300)
    tapes = [f"{math.dist(corner, spot):.0f} mm" for corner in takeoff.rough_in.fixed_points_mm]
    page = staff.send(PAGE, action, **{"run": "steps-01", "a-1": tapes[0], "b-1": tapes[1]})
    assert "ink-run-as-drawn" in page.text
    assert "ink-by-tape" in page.text
    assert "Drawn as measured" in page.text
    inputs = handover_inputs(server.db, HARBOUR, NOW.date())
    assert inputs.has_ways
    assert inputs.rough_in_svg.count("ink-run-as-drawn") == 1
    (row,) = (row for row in inputs.runs if row.tag == "steps-01")
    assert "drawn as measured" in row.checks
    assert "fine dots show where the plan had it" in words(handover_pdf(inputs))
    assert words(staff.browser.get(f"{PAGE}.pdf").content)


def test_the_handover_file_tells_packers_by_their_height_not_by_their_code(server: Server) -> None:
    made = [made for _, _, made, _ in handover_inputs(server.db, HARBOUR, NOW.date()).pads]
    assert any("packer 20 mm, packer 10 mm" in one for one in made)
    assert not any("PACKER" in one for one in made)


def words(made: bytes) -> str:
    """The text of a PDF in one line."""
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(made)).pages)
    return " ".join(text.split())
