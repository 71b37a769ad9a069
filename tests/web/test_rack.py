"""The rack in the browser: put in from one job, taken by the next, thrown out in the shop."""

from app.actions.jobs import add_job, job_sheet
from app.actions.rack import whole_rack
from app.actions.records import StaffMember
from app.store import jobs
from tests import demo
from tests.web.conftest import NET_STORE, NOW, Server
from tests.web.page_client import PageClient

RACK = f"/jobs/{NET_STORE}/takeoff/rack"


def on_the_roof(server: Server) -> None:
    with server.db.write() as session:
        jobs.put_state(session, NET_STORE, "on the roof", NOW)


def test_before_it_is_signed_a_job_offers_no_leftovers(server: Server, staff: PageClient) -> None:
    with server.db.write() as session:
        jobs.put_state(session, NET_STORE, "priced", NOW)
    page = staff.get(f"/jobs/{NET_STORE}/takeoff")
    assert "Once the job is signed and cut" in page.text
    assert 'value="leftovers"' not in page.text
    token = {"form_token": page.token, "version": "1", "do": "leftovers"}
    refused = staff.post(RACK, token, 422)
    assert "no leftovers before it is signed" in refused.text


def test_leftovers_go_from_one_job_through_the_rack_into_the_next(server: Server, staff: PageClient) -> None:
    on_the_roof(server)
    page = staff.get(f"/jobs/{NET_STORE}/takeoff")
    done = staff.post(RACK, page.fields(RACK) | {"do": "leftovers"})
    there = whole_rack(server.db)
    assert there
    assert f"{len(there)} offcut" in done.text
    listed = staff.get("/shop/rack")
    assert listed.text.count("Throw out<span") == len(there)
    owner = StaffMember(1, "Maren", "", "owner")
    other = add_job(server.db, owner, 1, "Next one", demo.document("net-store"), NOW)
    path = f"/jobs/{other}/takeoff/rack"
    page = staff.get(f"/jobs/{other}/takeoff")
    assert "In the rack, of the profiles of this job" in page.text
    taken = staff.post(path, page.fields(path) | {"do": "take", "offcut": ""})
    assert taken.text.count(">Put back<span") == len(there)
    assert len(job_sheet(server.db, other).job.choices.cutting.kept_offcuts) == len(there)
    back = taken.fields(path) | {"do": "back", "offcut": str(there[0].id)}
    assert "It lies in the rack again." in staff.post(path, back).text
    thrown = staff.send("/shop/rack", "/shop/rack", offcut=str(there[0].id))
    assert "Removed." in thrown.text
    assert len(whole_rack(server.db)) == len(there) - 1
    first = {"form_token": thrown.token, "offcut": str(there[1].id)}
    assert "has taken it" in staff.post("/shop/rack", first, 422).text
