"""Changing the survey and the plan: what is typed is kept, faults lead to their field, nothing is lost."""

from typing import Any

from app.actions.jobs import job_sheet
from tests.web.conftest import HARBOUR, NET_STORE, Server
from tests.web.page_client import PageClient

HEIGHTS = f"/jobs/{HARBOUR}/survey/heights"


def _survey(server: Server, job: int = HARBOUR) -> Any:
    return job_sheet(server.db, job).document["survey"]


def test_a_length_is_stored_as_it_was_typed(server: Server, staff: PageClient) -> None:
    page = staff.send(HEIGHTS, HEIGHTS, **{"survey.spot_heights[0].x": "3' 6 1/2\""})
    assert page.heading == "Survey"
    assert "Saved." in page.text
    assert _survey(server)["spot_heights"][0]["x"] == "3' 6 1/2\""
    assert job_sheet(server.db, HARBOUR).job.survey.spot_heights[0].x_mm == 42.5 * 25.4


def test_saving_untouched_changes_nothing_in_any_part(server: Server, staff: PageClient) -> None:
    from app.web.parts import CHOICES, PLAN, SURVEY

    before = job_sheet(server.db, HARBOUR).job
    for part in (*SURVEY, *PLAN, *CHOICES):
        path = f"/jobs/{HARBOUR}/{part.stem}/{part.name}"
        sent = staff.get(path).fields(path) | {"do": "save"}
        assert staff.browser.post(path, data=sent, follow_redirects=False).status_code == 303
    assert job_sheet(server.db, HARBOUR).job == before


def test_a_fault_is_named_above_and_beside_its_field_and_the_rest_is_kept(
    server: Server, staff: PageClient
) -> None:
    before = _survey(server)
    wrong = {"survey.spot_heights[1].z": "about knee high", "survey.spot_heights[0].x": "1.5 m"}
    page = staff.send(HEIGHTS, HEIGHTS, 422, **wrong)
    assert page.title.startswith("Error: ")
    assert "There is a problem" in page.text
    assert "#f-survey-spot-heights-1-z" in page.links()
    assert 'id="f-survey-spot-heights-1-z-fault"' in page.text
    assert 'value="about knee high"' in page.text
    assert 'value="1.5 m"' in page.text
    assert _survey(server) == before


def test_a_row_is_added_without_script_and_not_yet_saved(server: Server, staff: PageClient) -> None:
    before = len(_survey(server)["spot_heights"])
    page = staff.send(HEIGHTS, HEIGHTS, do="add:survey.spot_heights")
    assert f"survey.spot_heights[{before}].x" in page.fields(HEIGHTS)
    assert "not saved yet" in page.text
    assert len(_survey(server)["spot_heights"]) == before


def test_a_row_is_taken_out_and_then_saved(server: Server, staff: PageClient) -> None:
    before = _survey(server)["spot_heights"]
    page = staff.send(HEIGHTS, HEIGHTS, do="remove:survey.spot_heights[2]")
    staff.post(HEIGHTS, page.fields(HEIGHTS) | {"do": "save"})
    assert _survey(server)["spot_heights"] == [*before[:2], *before[3:]]


def test_a_blank_row_is_let_go_and_a_half_filled_one_is_not(server: Server, staff: PageClient) -> None:
    count = len(_survey(server)["spot_heights"])
    page = staff.send(HEIGHTS, HEIGHTS, do="add:survey.spot_heights")
    sent = page.fields(HEIGHTS)
    staff.post(HEIGHTS, sent | {"do": "save"}, 422)
    staff.post(HEIGHTS, sent | {"do": "save", f"survey.spot_heights[{count}].id": ""})
    assert len(_survey(server)["spot_heights"]) == count


def test_a_row_outside_the_part_is_not_touched(staff: PageClient) -> None:
    staff.send(HEIGHTS, HEIGHTS, 404, do="remove:survey.drains[0]")
    staff.send(HEIGHTS, HEIGHTS, 404, do="add:choices.boards")


def test_corners_and_holes_can_be_added_inside_a_deck_field(server: Server, staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/plan/deck-fields"
    page = staff.send(path, path, do="add:plan.deck_fields[0].outline")
    corners = [name for name in page.fields(path) if name.startswith("plan.deck_fields[0].outline[")]
    known = job_sheet(server.db, HARBOUR).document["plan"]["deck_fields"][0]["outline"]
    assert len(corners) == 2 * (len(known) + 1)
    page = staff.post(path, page.fields(path) | {"do": "add:plan.deck_fields[0].holes"})
    assert "Hole 1" in page.text


def test_leaving_the_engineers_figure_blank_takes_it_out(server: Server, staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/survey/loads"
    blank = {
        name: ""
        for name in staff.get(path).fields(path)
        if name.startswith(("survey.allowable_load", "survey.live_load"))
    }
    staff.send(path, path, **blank)
    assert "allowable_load" not in _survey(server)
    assert "nobody yet" in staff.get(f"/jobs/{HARBOUR}/loads").text


def test_a_tick_taken_off_stays_off(server: Server, staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/survey/doors"
    sent = staff.get(path).fields(path)
    assert sent.pop("survey.doors[0].is_required_exit") == ["yes"]
    staff.post(path, sent)
    assert _survey(server)["doors"][0]["is_required_exit"] is False


def test_somebody_who_saves_too_late_sees_both_and_loses_neither(server: Server, staff: PageClient) -> None:
    early = staff.get(HEIGHTS).fields(HEIGHTS)
    staff.post(HEIGHTS, early | {"survey.spot_heights[0].x": "111 mm"})
    page = staff.post(HEIGHTS, early | {"survey.spot_heights[0].x": "222 mm"}, 409)
    assert page.heading == "Somebody saved first"
    assert "111 mm" in page.text
    assert "222 mm" in page.text
    assert "spot_heights[0].x" in page.text
    assert _survey(server)["spot_heights"][0]["x"] == "111 mm"


def test_a_fault_elsewhere_in_the_job_file_names_its_place(server: Server, staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/choices/boards"
    sent = staff.get(path).fields(path)
    board = sent["choices.boards[0].id"]
    page = staff.post(path, sent | {"choices.boards[0].id": "renamed"}, 422)
    assert "plan." in page.text
    assert board in page.text


def test_a_changed_version_number_is_not_taken(staff: PageClient) -> None:
    staff.send(HEIGHTS, HEIGHTS, 404, version="seven")


def test_a_demo_job_file_of_its_own_units_round_trips(server: Server, staff: PageClient) -> None:
    before = job_sheet(server.db, NET_STORE).job
    path = f"/jobs/{NET_STORE}/survey/edges"
    staff.send(path, path)
    assert job_sheet(server.db, NET_STORE).job == before
    assert _survey(server, NET_STORE)["edges"][0]["drop"] == "4.1 m"
