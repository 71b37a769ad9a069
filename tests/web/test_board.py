"""The board's questions and answers: the job in base units, looks without a save, saves that lose nothing."""

import copy
from typing import Any

import pytest

from app.actions.board import board
from app.actions.jobs import job_sheet
from app.actions.takeoff import work_out
from app.drawings.dxf_out import plan_dxf
from tests import demo
from tests.web.conftest import HARBOUR, NOW, QUAY_LOFT, Server
from tests.web.page_client import PageClient

API = f"/api/jobs/{HARBOUR}/board"


def opened(staff: PageClient, job: int = HARBOUR) -> dict[str, Any]:
    found: dict[str, Any] = staff.browser.get(f"/api/jobs/{job}/board").json()
    return found


def faults(answer: Any, status: int = 422) -> list[dict[str, Any]]:
    assert answer.status_code == status, answer.text
    found: list[dict[str, Any]] = answer.json()["error"]["faults"]
    return found


@pytest.mark.parametrize("path", ["board", "section", "view"])
def test_the_pages_of_the_board_hold_to_the_rules(staff: PageClient, path: str) -> None:
    staff.get(f"/jobs/{HARBOUR}/{path}")


def test_survey_and_plan_lead_to_the_board(staff: PageClient) -> None:
    for sheet in ("survey", "plan"):
        assert f"/jobs/{HARBOUR}/board" in staff.get(f"/jobs/{HARBOUR}/{sheet}").links()


def test_the_job_is_opened_with_numbers_and_the_fields_of_every_kind(staff: PageClient) -> None:
    found = opened(staff, QUAY_LOFT)
    assert all(
        isinstance(x, int | float) for corner in found["document"]["survey"]["outline"] for x in corner
    )
    planter = found["kinds"]["plan.planters"]
    assert planter["word"] == "planter"
    assert {"x", "y", "length", "medium"} <= {field["key"] for field in planter["fields"]}
    assert HARBOUR in {one["id"] for one in found["materials"]}


def test_a_look_says_what_the_engine_says_and_writes_nothing(server: Server, staff: PageClient) -> None:
    before = opened(staff)
    look = staff.browser.post(f"{API}/look", json={"document": before["document"]}).json()
    answer = work_out(server.db, HARBOUR, NOW.date()).answer
    on_plan = [piece for piece in answer.takeoff.layout.pieces if piece.plane == "plan"]
    assert [piece[0] for piece in look["pieces"]] == [piece.id for piece in on_plan]
    said = dict(look["figures"])
    assert said["The client pays"].replace("$", "").replace(",", "") == f"{answer.estimate.total:.2f}"
    assert said["Days"].startswith(f"{len(answer.days.days)}, done {answer.days.end_on}")
    assert len(look["findings"]) == sum(
        len(part.findings) for part in (answer.takeoff, answer.estimate, answer.days)
    )
    assert opened(staff)["version"] == before["version"]


def test_a_finding_about_a_thing_is_placed_where_the_thing_is(staff: PageClient) -> None:
    document = opened(staff)["document"]
    look = staff.browser.post(f"{API}/look", json={"document": document}).json()
    (kitchen,) = (one for one in document["plan"]["counters"] if one["id"] == "kitchen")
    heavy = next(one for one in look["findings"] if one["place"] == "kitchen")
    assert heavy["at"] == [kitchen["x"], -kitchen["y"]]  # on the sheet y runs down


def test_a_look_at_what_cannot_be_read_names_the_place(staff: PageClient) -> None:
    document = opened(staff)["document"]
    document["plan"]["planters"][0]["x"] = 50_000
    found = faults(staff.browser.post(f"{API}/look", json={"document": document}))
    assert found[0]["path"].startswith("plan.planters[0]")


def test_what_was_typed_stays_typed_where_the_drawing_did_not_move_it(
    server: Server, staff: PageClient
) -> None:
    got = staff.browser.get(f"/api/jobs/{HARBOUR}").json()
    typed = copy.deepcopy(got["document"])
    typed["plan"]["planters"][0]["x"] = "3 m"
    typed["plan"]["planters"][1]["width"] = "450mm"
    staff.browser.put(f"/api/jobs/{HARBOUR}", json={"version": got["version"], "document": typed})
    drawn = board(server.db, HARBOUR)
    document = copy.deepcopy(drawn.document)
    document["plan"]["planters"][1]["x"] += 100
    answer = staff.browser.put(API, json={"version": drawn.version, "document": document})
    assert answer.json()["version"] == drawn.version + 1
    kept = job_sheet(server.db, HARBOUR)
    assert kept.document["plan"]["planters"][0] == typed["plan"]["planters"][0]
    assert kept.document["plan"]["planters"][1]["width"] == "450mm"
    assert kept.document["plan"]["planters"][1]["x"] == typed["plan"]["planters"][1]["x"] + 100
    assert kept.document["survey"] == typed["survey"]
    assert kept.history[0].what == "changed plan.planters.herbs-2.x"


def test_saving_what_was_only_opened_changes_nothing(staff: PageClient) -> None:
    for job in (HARBOUR, QUAY_LOFT):
        found = opened(staff, job)
        body = {"version": found["version"], "document": found["document"]}
        assert staff.browser.put(f"/api/jobs/{job}/board", json=body).json()["version"] == found["version"]


def test_a_thing_taken_out_or_put_in_between_keeps_the_others_as_typed(
    server: Server, staff: PageClient
) -> None:
    found = opened(staff)
    document = found["document"]
    gone = document["plan"]["fixtures"].pop(1)
    document["plan"]["planters"].insert(0, {**document["plan"]["planters"][0], "id": "herbs-3", "x": 5000})
    staff.browser.put(API, json={"version": found["version"], "document": document})
    stored = job_sheet(server.db, HARBOUR).document["plan"]
    wanted = [one for one in demo.document()["plan"]["fixtures"] if one["id"] != gone["id"]]
    assert stored["fixtures"] == wanted
    assert [one["id"] for one in stored["planters"]] == ["herbs-3", "herbs-1", "herbs-2"]
    assert stored["planters"][1:] == demo.document()["plan"]["planters"]


def test_a_stale_save_gives_both_and_writes_nothing(staff: PageClient) -> None:
    found = opened(staff)
    mine, theirs = copy.deepcopy(found["document"]), copy.deepcopy(found["document"])
    theirs["plan"]["planters"][0]["x"] += 100
    mine["plan"]["planters"][1]["x"] += 100
    staff.browser.put(API, json={"version": found["version"], "document": theirs})
    late = staff.browser.put(API, json={"version": found["version"], "document": mine})
    assert late.status_code == 409
    assert late.json()["error"]["theirs_version"] == found["version"] + 1
    assert opened(staff)["document"]["plan"]["planters"] == theirs["plan"]["planters"]


def test_a_save_without_version_is_refused(staff: PageClient) -> None:
    bodies: tuple[dict[str, Any], ...] = ({}, {"version": "1", "document": {}}, {"version": True})
    for body in bodies:
        assert faults(staff.browser.put(API, json=body))[0]["path"] == "version"


def test_typed_values_are_read_in_any_unit(staff: PageClient) -> None:
    values = {"x": "12' 6\"", "length": "1.2 m", "angle": "45°"}
    answer = staff.browser.post(f"{API}/read", json={"place": "plan.planters", "values": values})
    assert answer.json()["values"] == {"x": 3810.0, "length": 1200.0, "angle": 45.0}
    rows = {"columns": ["mm", "mm", "deg"], "rows": [["12' 6", "3 m", "90"], ["1", "2"]]}
    assert staff.browser.post(f"{API}/read", json=rows).json() == {
        "rows": [[3810.0, 3000.0, 90.0], [1.0, 2.0]]
    }


UNREADABLE: tuple[tuple[dict[str, Any], str], ...] = (
    ({"place": "plan.planters", "values": {"x": "far"}}, "x"),
    ({"place": "plan.planters", "values": {"length": "-3 m"}}, "length"),
    ({"place": "plan.planters", "values": {"colour": "red"}}, "colour"),
    ({"place": "plan.nothing", "values": {"x": "1"}}, "plan.nothing"),
    ({"place": "plan.planters", "values": []}, "values"),
    ({"columns": ["mm"], "rows": [["1", "2"]]}, "rows[0]"),
    ({"columns": ["mm"], "rows": [["wide"]]}, "rows[0]"),
    ({"columns": ["mm"], "rows": "1"}, "rows"),
    ({"columns": ["mm"], "rows": [["1"]] * 401}, "rows"),
)


def test_what_cannot_be_read_is_told_under_its_key(staff: PageClient) -> None:
    for body, path in UNREADABLE:
        assert faults(staff.browser.post(f"{API}/read", json=body))[0]["path"] == path


def test_a_walk_tells_by_how_much_it_does_not_close(staff: PageClient) -> None:
    body = {"text": "9 m east, 4 m north, 9.03 m west, 4 m south", "start": ["100", "1 m"]}
    walk = staff.browser.post(f"{API}/walk", json=body).json()
    assert walk["corners"][0] == [100, 1000]
    assert not walk["is_closed"]
    assert walk["closing"] == pytest.approx(30)
    assert walk["closing_text"] == "30 mm"
    assert len(walk["spread"]) == 4
    assert faults(staff.browser.post(f"{API}/walk", json={"text": "9 m east, 4 m sideways"}))
    assert faults(staff.browser.post(f"{API}/walk", json={"text": "9 m e, 4 m n", "start": ["1"]}))


def test_the_drawings_come_as_files_of_their_kind(staff: PageClient) -> None:
    for name, kind, start in (
        ("plan.svg?scale=50", "image/svg+xml", b"<svg"),
        ("plan.pdf?scale=48", "application/pdf", b"%PDF"),
        ("plan.dxf", "image/vnd.dxf", b"  0\nSECTION"),
    ):
        answer = staff.browser.get(f"/jobs/{HARBOUR}/drawings/{name}")
        assert answer.status_code == 200
        assert answer.headers["content-type"].startswith(kind)
        assert answer.headers["content-disposition"].startswith("attachment")
        assert answer.content.startswith(start)


def test_an_odd_scale_is_brought_into_range(staff: PageClient) -> None:
    for scale in ("nan", "inf", "0", "-4", "1e9"):
        answer = staff.browser.get(f"/jobs/{HARBOUR}/drawings/plan.svg?scale={scale}")
        assert answer.status_code == 200, scale


def test_a_dxf_is_shown_before_it_is_used(staff: PageClient) -> None:
    text = plan_dxf(demo.demo_job(), demo.answer().takeoff)
    found = staff.browser.post(f"{API}/dxf", json={"text": text, "unit": ""}).json()
    assert found["outlines"][0]["layer"] == "ROOF"
    assert found["outlines"][0]["area"] == pytest.approx(52.92, rel=1e-6)
    assert faults(staff.browser.post(f"{API}/dxf", json={"text": "hello"}))


def test_a_section_line_that_cannot_be_read_is_told_at_its_field(staff: PageClient) -> None:
    for query in ("start=far&end=1,2", "start=1&end=1,2", "start=1,2&end=1,3"):
        page = staff.get(f"/jobs/{HARBOUR}/section?{query}", 422)
        assert "There is a problem" in page.text


def test_the_view_turns_and_its_sun_moves(staff: PageClient) -> None:
    one = staff.get(f"/jobs/{HARBOUR}/view?turn=10&on=2026-06-21&hour=18:00").text
    other = staff.get(f"/jobs/{HARBOUR}/view?turn=190&on=2026-06-21&hour=08:00").text
    assert one != other
    staff.get(f"/jobs/{HARBOUR}/view?on=never&hour=noon", 422)


def test_nobody_draws_without_signing_in(server: Server) -> None:
    browser = server.visitor().browser
    assert browser.get(API).status_code == 401
    for path in ("look", "read", "walk", "dxf"):
        assert browser.post(f"{API}/{path}", json={}).status_code == 401


def test_a_wall_not_saved_yet_is_folded_up_into_its_elevation(staff: PageClient) -> None:
    document = opened(staff)["document"]
    wall = document["plan"]["feature_walls"][0]
    wall["height"] -= 300
    folded = staff.browser.post(f"{API}/wall", json={"document": document, "wall": wall["id"]}).json()["svg"]
    assert folded.startswith("<svg")
    assert 'class="ink-wall-outline' in folded or "wall-outline" in folded
    assert f"{wall['height']:g} mm" in folded
    refused = faults(staff.browser.post(f"{API}/wall", json={"document": document, "wall": "none"}))
    assert refused[0]["path"] == "wall"
