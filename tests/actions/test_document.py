import copy
from typing import Any

import pytest

from app.actions.database import Database
from app.actions.document import replace_document, save_part
from app.actions.errors import NotFound, Refused, StaleSave
from app.actions.job_file import changed_paths
from app.actions.jobs import add_job, job_sheet, let_go, list_jobs, set_state
from app.actions.records import StaffMember
from app.job.errors import InputErrors
from tests.actions.conftest import NOW


def test_a_job_is_kept_exactly_as_typed(
    db: Database, owner: StaffMember, document: dict[str, Any], job_id: int
) -> None:
    document["survey"]["way_up"]["longest_piece"] = "11' 9 3/4\""
    save_part(db, owner, job_id, 1, "survey", document["survey"], NOW)
    sheet = job_sheet(db, job_id)
    assert sheet.document["survey"]["way_up"]["longest_piece"] == "11' 9 3/4\""
    assert sheet.job.survey.way_up.longest_piece_mm == pytest.approx(3600.45)
    assert (sheet.version, sheet.number, sheet.title) == (2, "2026-001", "Quay deck")


def test_a_part_can_be_a_list_deep_in_the_plan(
    db: Database, owner: StaffMember, document: dict[str, Any], job_id: int
) -> None:
    fields = copy.deepcopy(document["plan"]["deck_fields"])
    fields[0]["border_courses"] = 1
    assert save_part(db, owner, job_id, 1, "plan.deck_fields", fields, NOW) == 2
    assert job_sheet(db, job_id).job.plan.deck_fields[0].border_courses == 1
    newest = job_sheet(db, job_id).history[0]
    assert newest.what == f"changed plan.deck_fields.{fields[0]['id']}.border_courses"
    assert (newest.who, newest.before_version, newest.after_version) == ("Maren", 1, 2)


def test_the_title_is_a_part_too(db: Database, owner: StaffMember, job_id: int) -> None:
    save_part(db, owner, job_id, 1, "title", "Quay terrace", NOW)
    assert list_jobs(db)[0].title == "Quay terrace"


def test_faults_are_all_told_and_nothing_is_saved(
    db: Database, owner: StaffMember, document: dict[str, Any], job_id: int
) -> None:
    survey = copy.deepcopy(document["survey"])
    survey["way_up"]["trip_mass"] = "-3 kg"
    survey["membrane"]["colour"] = "grey"
    with pytest.raises(InputErrors) as faults:
        save_part(db, owner, job_id, 1, "survey", survey, NOW)
    paths = {fault.path for fault in faults.value.errors}
    assert paths == {"survey.way_up.trip_mass", "survey.membrane.colour"}
    assert job_sheet(db, job_id).version == 1


def test_a_stale_save_shows_both_and_loses_neither(
    db: Database, owner: StaffMember, other: StaffMember, job_id: int
) -> None:
    save_part(db, other, job_id, 1, "notes", "theirs", NOW)
    with pytest.raises(StaleSave) as stale:
        save_part(db, owner, job_id, 1, "notes", "mine", NOW)
    assert (stale.value.theirs.by, stale.value.theirs.content) == ("Tor", {"notes": "theirs"})
    assert (stale.value.yours.version, stale.value.yours.content) == (1, {"notes": "mine"})
    assert job_sheet(db, job_id).document["notes"] == "theirs"
    assert save_part(db, owner, job_id, 2, "notes", "both", NOW) == 3


def test_saving_what_is_there_already_makes_no_version_and_no_row(
    db: Database, owner: StaffMember, document: dict[str, Any], job_id: int
) -> None:
    rows = len(job_sheet(db, job_id).history)
    assert save_part(db, owner, job_id, 1, "plan", document["plan"], NOW) == 1
    assert len(job_sheet(db, job_id).history) == rows


def test_a_whole_job_file_can_take_the_place_of_the_old(
    db: Database, owner: StaffMember, document: dict[str, Any], job_id: int
) -> None:
    assert replace_document(db, owner, job_id, 1, {**document, "title": "Other"}, NOW) == 2
    with pytest.raises(InputErrors):
        replace_document(db, owner, job_id, 2, {"schema_version": 1}, NOW)
    assert job_sheet(db, job_id).title == "Other"


@pytest.mark.parametrize("part", ["", "price", "plan.deck_fields.0", "id", "survey.way_up.kind.x"])
def test_what_is_no_part_is_not_found(db: Database, owner: StaffMember, job_id: int, part: str) -> None:
    with pytest.raises((NotFound, InputErrors)):
        save_part(db, owner, job_id, 1, part, [], NOW)


def test_a_closed_job_does_not_change(db: Database, owner: StaffMember, job_id: int) -> None:
    let_go(db, owner, job_id, "too dear", NOW)
    with pytest.raises(Refused, match="let go"):
        save_part(db, owner, job_id, 1, "notes", "again", NOW)


def test_a_job_let_go_needs_a_reason_and_can_come_back(db: Database, owner: StaffMember, job_id: int) -> None:
    with pytest.raises(Refused, match="Say why"):
        let_go(db, owner, job_id, " ", NOW)
    let_go(db, owner, job_id, "too dear", NOW)
    set_state(db, owner, job_id, "enquiry", NOW)
    assert [row.what for row in job_sheet(db, job_id).history[:2]] == [
        "let go → enquiry",
        "surveyed → let go: too dear",
    ]


def test_states_follow_the_order_of_the_work(db: Database, owner: StaffMember, job_id: int) -> None:
    with pytest.raises(Refused, match="not to signed"):
        set_state(db, owner, job_id, "signed", NOW)
    set_state(db, owner, job_id, "priced", NOW)
    with pytest.raises(Refused, match="No proposal has been frozen"):
        set_state(db, owner, job_id, "offered", NOW)


def test_a_new_job_starts_as_an_enquiry_to_be_measured(db: Database, owner: StaffMember, job_id: int) -> None:
    new = add_job(db, owner, 1, "Roof of the net store, slip side", None, NOW)
    sheet = job_sheet(db, new)
    assert (sheet.state, sheet.number, sheet.job.id) == (
        "enquiry",
        "2026-002",
        "roof-of-the-net-store-slip-side",
    )
    with pytest.raises(Refused, match="no survey"):
        set_state(db, owner, new, "surveyed", NOW)


def test_a_job_needs_its_client(db: Database, owner: StaffMember) -> None:
    with pytest.raises(NotFound, match="client 99"):
        add_job(db, owner, 99, "Nobody's", None, NOW)
    assert list_jobs(db) == ()


def test_differences_name_things_by_their_ids() -> None:
    old = {"a": [{"id": "x", "n": 1}, {"id": "y", "n": 2}], "b": 1}
    new = {"a": [{"id": "y", "n": 3}, {"id": "x", "n": 1}], "b": 1, "c": []}
    assert changed_paths(old, new) == ["a.y.n", "c"]
    assert changed_paths(old, {**old, "a": list(reversed(old["a"]))}) == ["a"]  # type: ignore[call-overload]
    assert changed_paths(old, copy.deepcopy(old)) == []
