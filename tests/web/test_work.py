"""Clients, jobs, prices, days, orders, log and handover, as a person works them."""

import json

import pytest

from app.actions.jobs import job_sheet, list_jobs
from app.actions.price import price_item, shop
from app.settings import SEED_DATA
from tests.web.conftest import HARBOUR, Server
from tests.web.page_client import PageClient

_PASTED = (SEED_DATA / "jobs" / "net-store.json").read_text(encoding="utf-8")


def test_a_client_is_added_changed_and_found(staff: PageClient) -> None:
    page = staff.send("/clients/new", "/clients/new", name="Ada <Quill>", email="ada@example.org")
    assert page.heading == "Ada <Quill>"
    assert "Ada &lt;Quill&gt;" in page.text
    client = next(link for link in staff.get("/clients").links() if link.rpartition("/")[2] == "4")
    assert "Saved." in staff.send(client, client, phone="555 0101").text


def test_a_client_needs_a_name_and_a_whole_address(staff: PageClient) -> None:
    page = staff.send("/clients/new", "/clients/new", 422, email="not an address")
    assert {"#f-name", "#f-email"} <= set(page.links())
    assert 'value="not an address"' in page.text


def test_two_who_change_one_client_see_both(staff: PageClient) -> None:
    early = staff.get("/clients/1").fields("/clients/1")
    staff.post("/clients/1", early | {"phone": "111"})
    page = staff.post("/clients/1", early | {"phone": "222"}, 409)
    assert "111" in page.text
    assert "222" in page.text


@pytest.mark.parametrize(
    "start", [{"start": "blank"}, {"start": "net-store"}, {"start": "file", "pasted": _PASTED}]
)
def test_a_job_starts_blank_from_a_demo_or_from_a_file(
    server: Server, staff: PageClient, start: dict[str, str]
) -> None:
    page = staff.send("/jobs/new", "/jobs/new", client="1", title="Roof of the chandlery", **start)
    assert page.heading == "Survey"
    newest = list_jobs(server.db)[0]
    assert newest.title == "Roof of the chandlery"


def test_a_job_file_is_uploaded(server: Server, staff: PageClient) -> None:
    data = {**staff.get("/jobs/new").fields("/jobs/new"), "client": "1", "title": "Sent", "start": "file"}
    data.pop("file")
    sent = staff.browser.post("/jobs/new", data=data, files={"file": ("job.json", _PASTED.encode())})
    assert sent.status_code == 200
    assert list_jobs(server.db)[0].title == "Sent"


def test_title_units_and_the_whole_job_file_are_changed(server: Server, staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/job-file"
    staff.send(path, path, title="Room over the slip", units="imperial")
    kept = job_sheet(server.db, HARBOUR)
    assert (kept.job.title, kept.job.units) == ("Room over the slip", "imperial")
    assert "ft" in staff.get(f"/jobs/{HARBOUR}/loads").text
    staff.send(path, path, 422, title="")
    sent = staff.browser.get(f"{path}.json")
    assert sent.json() == kept.document
    assert "attachment" in sent.headers["content-disposition"]
    staff.send(path, f"{path}/replace", pasted=_PASTED)
    assert job_sheet(server.db, HARBOUR).job.survey.surveyed_by == "Oddny Vale (invented)"
    staff.send(path, f"{path}/replace", 422, pasted='{"schema_version": 1}')
    staff.send(path, f"{path}/replace", 422, pasted="")


def test_title_and_notes_saved_too_late_show_both(staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/job-file"
    early = staff.get(path).fields(path)
    staff.post(path, early | {"title": "First"})
    page = staff.post(path, early | {"title": "Second"}, 409)
    assert "First" in page.text
    assert "Second" in page.text


@pytest.mark.parametrize(
    ("pasted", "words"),
    [
        ("", "Choose a job file"),
        ("{not json", "not JSON"),
        ("[1, 2]", "one JSON object"),
        ('{"schema_version": 1}', "survey"),
        ("[" * 100_000, "not JSON"),
    ],
)
def test_a_bad_job_file_is_refused_with_the_reason(staff: PageClient, pasted: str, words: str) -> None:
    page = staff.send("/jobs/new", "/jobs/new", 422, client="1", title="X", start="file", pasted=pasted)
    assert words in page.text


def test_a_new_price_holds_from_its_day(server: Server, staff: PageClient) -> None:
    path = "/shop/prices/SCREW-DECK"
    staff.send(path, path, pack_price="$1,234.50", from_on="2026-05-01")
    assert str(price_item(server.db, "SCREW-DECK").prices[0].pack_price) == "1234.50"
    assert "#f-pack-price" in staff.send(path, path, 422, pack_price="cheap").links()


def test_a_new_item_joins_the_price_list_once(staff: PageClient) -> None:
    item = {"item": "ROPE-8", "name": "Rope 8 mm", "unit": "m", "pack": "50", "pack_price": "31.20"}
    assert staff.send("/shop/items/new", "/shop/items/new", **item).heading == "Rope 8 mm"
    assert "ROPE-8" in staff.get("/shop/prices?search=rope").text
    staff.send("/shop/items/new", "/shop/items/new", 422, **item)
    staff.send("/shop/items/new", "/shop/items/new", 422, **(item | {"item": "a/b"}))


def test_rules_are_saved_and_faults_named(server: Server, staff: PageClient) -> None:
    staff.send("/shop/rules", "/shop/rules", wage="41,50")
    assert str(shop(server.db).rules.wage) == "41.50"
    page = staff.send("/shop/rules", "/shop/rules", 422, wage="much", validity_days="0", currency="dollars")
    assert {"#f-wage", "#f-validity-days", "#f-currency"} <= set(page.links())


def test_crews_wording_calendar_and_presets_are_saved(server: Server, staff: PageClient) -> None:
    staff.send("/shop/crews", "/shop/crews", code="west", name="West pier crew", people="4", day_h="7.5")
    code = shop(server.db).wording[0].code
    staff.send("/shop/wording", "/shop/wording", **{code: "First line\n\n- second"})
    staff.send("/shop/calendar", "/shop/calendar", days_off="2026-12-24 Yard closed", weekday=["0", "1"])
    staff.send("/shop/calendar", "/shop/law", withdrawal="us-ma")
    kept = shop(server.db)
    assert any(crew.name == "West pier crew" for crew in kept.crews)
    assert kept.wording[0].text == "First line\n\n- second"
    assert kept.weekdays == (0, 1)
    assert kept.days_off[0][1] == "Yard closed"
    assert kept.withdrawal == "us-ma"
    staff.send("/shop/calendar", "/shop/calendar", 422, days_off="Christmas")


def test_crew_and_first_day_are_set(server: Server, staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/days"
    staff.send(path, path, crew_code="south", start_on="2026-07-06")
    kept = job_sheet(server.db, HARBOUR)
    assert (kept.crew_code, str(kept.start_on)) == ("south", "2026-07-06")
    page = staff.send(path, path, 422, crew_code="nobody", start_on="someday")
    assert {"#f-crew-code", "#f-start-on"} <= set(page.links())


def test_a_task_set_by_hand_is_looked_at_first_and_without_a_script_too(staff: PageClient) -> None:
    path, action = f"/jobs/{HARBOUR}/days", f"/jobs/{HARBOUR}/tasks"
    typed = {"code": "boards", "not_before_on": "2027-01-20", "do": "look"}
    page = staff.send(path, action, **typed)
    assert "What binds it: Set by hand: not before 2027-01-20." in page.text
    assert "Set by hand</caption>" not in staff.get(path).text
    part = staff.browser.post(
        action, data=staff.get(path).fields(action) | typed, headers={"hx-request": "true"}
    )
    assert part.text.lstrip().startswith("<section")
    refused = staff.browser.post(
        action,
        data=staff.get(path).fields(action) | {"code": "no", "do": "look"},
        headers={"hx-request": "1"},
    )
    assert (refused.status_code, refused.text) == (422, "There is no task no.")
    staff.send(path, action, code="boards", not_before_on="2027-01-20", reason="<away>", do="set")
    assert "not before 2027-01-20: &lt;away&gt;" in staff.get(path).text
    by = {"code": "boards", "end_by_on": "2026-05-05", "reason": "the party"}
    assert "was promised to be done by 2026-05-05" in staff.send(path, action, **by, do="look").text
    staff.send(path, action, **by, do="set")
    assert "promised to be done by 2026-05-05: the party" in staff.get(path).text


def test_an_order_is_noted_and_taken_back(staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/orders"
    sent = staff.get(path).fields(path)
    assert "PO 17" in staff.post(path, sent | {"reference": "PO 17"}).text
    undone = {"form_token": sent["form_token"], "item": sent["item"], "do": "undo"}
    assert "PO 17" not in staff.post(path, undone).text


def test_the_log_keeps_what_happened(staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/log"
    page = staff.send(path, path, text="Carried the boards up", hours="12.5", people="3", phase="carry-up")
    assert "Carried the boards up" in page.text
    page = staff.send(path, path, 422, text="", hours="many", people="-1")
    assert {"#f-text", "#f-hours", "#f-people"} <= set(page.links())


def test_a_hold_point_is_signed_by_a_name(staff: PageClient) -> None:
    path, action = f"/jobs/{HARBOUR}/log", f"/jobs/{HARBOUR}/hold-points"
    staff.send(path, action, 422)
    assert "Signed" in staff.send(path, action, name="B. Tarn", note="looked at").text
    assert "B. Tarn" in staff.get(path).text


def test_the_punch_list_is_added_to_and_closed(staff: PageClient) -> None:
    path, action = f"/jobs/{HARBOUR}/log", f"/jobs/{HARBOUR}/punch"
    page = staff.send(path, action, punch_text="Plug missing", place="main", due_on="2026-06-01")
    assert "Plug missing" in page.text
    assert "Mon 1 Jun 2026" in page.text
    closed = staff.post(action, {"form_token": page.token, "close": "1"})
    assert "Put right<span" not in closed.text


def test_a_paper_of_the_handover_file_is_noted_and_taken_back(staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/handover"
    token = staff.get(path).token
    noted = staff.post(path, {"form_token": token, "code": "permit", "note": "blue folder"})
    assert "blue folder" in noted.text
    taken = staff.post(path, {"form_token": token, "code": "permit", "do": "undo"})
    assert "blue folder" not in taken.text


def test_a_stop_keeps_the_offer_back_and_is_named(server: Server, staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/survey/loads"
    sent = {name: "" for name in staff.get(path).fields(path) if name.startswith("survey.allowable_load")}
    staff.send(path, path, **sent)
    proposal = f"/jobs/{HARBOUR}/proposal"
    page = staff.send(proposal, proposal, 422)
    assert "Settle what stops the job" in page.text
    assert '<li class="stop">' in page.text


def test_a_state_out_of_order_is_refused(staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/proposal"
    staff.send(path, f"/jobs/{HARBOUR}/state", 422, state="handed over")


def test_what_is_typed_is_never_run_as_a_page(staff: PageClient) -> None:
    path = f"/jobs/{HARBOUR}/survey/visit"
    shout = '"><script>alert(1)</script>'
    staff.send(path, path, **{"survey.surveyed_by": shout, "survey.notes": shout})
    assert "<script>alert" not in staff.get(f"/jobs/{HARBOUR}/survey").text
    assert "<script>alert" not in staff.get(path).text


def test_a_pasted_job_file_may_not_smuggle_a_drawing(server: Server, staff: PageClient) -> None:
    document = json.loads(_PASTED)
    document["plan"]["deck_fields"][0]["name"] = "</text><script>alert(1)</script>"
    sent = {"client": "1", "title": "X", "start": "file", "pasted": json.dumps(document)}
    page = staff.send("/jobs/new", "/jobs/new", **sent)
    assert "<script>alert" not in page.text
    assert "<script>alert" not in staff.get(f"/jobs/{list_jobs(server.db)[0].id}/plan").text


@pytest.mark.parametrize("sheet", ["days", "day-sheet", "orders", "takeoff"])
def test_what_is_bought_is_called_by_its_name(staff: PageClient, sheet: str) -> None:
    text = staff.get(f"/jobs/{HARBOUR}/{sheet}").text
    bare = [line for line in text.splitlines() if "PROTECT-MAT" in line and "protection mat" not in line]
    assert not bare
    assert "Roof protection mat" in text or sheet == "takeoff"
    assert "pad adhesive" in text.lower() or sheet != "days"


def test_what_if_it_is_colder_moves_what_a_measured_rule_names_and_shows_the_rule(staff: PageClient) -> None:
    rule = "frame; cold 5; no pad adhesive"
    staff.send("/shop/work", "/shop/work", weather=rule)
    assert rule in staff.get("/shop/work").text
    asked = "/days?kind=cold&on=2026-05-14&measure="
    cold = staff.get(asked + "-3").text
    assert "Stops frame: cold (below 5 °C): no pad adhesive." in cold
    assert "-3 °C" in cold
    assert "No rule of work is met by it." in staff.get(asked + "9").text
    refused = staff.send("/shop/work", "/shop/work", 422, weather="frame; rain 5; wet")
    assert "such as cold 5" in refused.text
