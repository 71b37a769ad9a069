"""Every page holds to the rules for pages."""

import re

import pytest

from app.web.parts import CHOICES, PLAN, SURVEY
from app.web.sheets import SET
from tests.web.conftest import HARBOUR, NET_STORE, QUAY_LOFT
from tests.web.page_client import PageClient

_DESK = ("/", "/clients", "/clients/new", "/clients/1", "/jobs", "/jobs/new", "/jobs/new?client=1")
_SHOP = (
    "/shop",
    "/shop/prices",
    "/shop/assemblies",
    "/shop/rules",
    "/shop/crews",
    "/shop/wording",
    "/shop/calendar",
    "/shop/people",
    "/shop/items/new",
    "/shop/work",
    "/shop/crews/feed",
    "/days",
)


@pytest.mark.parametrize("path", [*_DESK, *_SHOP, "/shop/prices?search=deck", "/shop/prices/SCREW-DECK"])
def test_a_page_of_the_desk_holds_to_the_rules(staff: PageClient, path: str) -> None:
    staff.get(path)


@pytest.mark.parametrize("job", [NET_STORE, QUAY_LOFT, HARBOUR])
def test_the_thirteen_sheets_of_a_job_hold_to_the_rules(staff: PageClient, job: int) -> None:
    for number, name, path in SET:
        page = staff.get(f"/jobs/{job}/{path}")
        assert page.heading == name
        assert f"{number} of 13" in page.text


def test_every_part_of_the_job_file_has_its_form(staff: PageClient) -> None:
    for part in (*SURVEY, *PLAN, *CHOICES):
        page = staff.get(f"/jobs/{HARBOUR}/{part.stem}/{part.name}")
        assert page.heading == part.title


def test_a_sheet_leads_to_all_thirteen_and_to_nothing_that_is_missing(staff: PageClient) -> None:
    page = staff.get(f"/jobs/{HARBOUR}/plan")
    for _, _, path in SET:
        assert f"/jobs/{HARBOUR}/{path}" in page.links()
    for link in page.links():
        if link.startswith("/"):
            assert staff.browser.get(link).status_code == 200, link


def test_a_job_opens_at_its_survey(staff: PageClient) -> None:
    assert staff.get(f"/jobs/{HARBOUR}").heading == "Survey"


def test_the_title_block_names_firm_job_sheet_revision_date_and_hand(staff: PageClient) -> None:
    text = staff.get(f"/jobs/{HARBOUR}/walls").text
    block = text[text.index('class="title-block"') :]
    for label in ("Firm", "Job", "Sheet", "Client", "Revision", "Date", "Drawn by", "Sheet number"):
        assert f"<dt>{label}</dt>" in block


def test_a_finding_shows_its_grade_as_a_word_and_a_shape(staff: PageClient) -> None:
    text = staff.get(f"/jobs/{HARBOUR}/takeoff").text
    assert '<li class="check">' in text
    part = text[text.index('<li class="check">') :][:400]
    assert "<svg" in part
    assert "check" in part.partition("</svg>")[2]


def test_the_takeoff_explains_each_quantity_and_says_when_it_is_carried_up(staff: PageClient) -> None:
    text = staff.get(f"/jobs/{HARBOUR}/takeoff").text
    assert text.count("<summary>Why this many</summary>") > 40
    assert "sticks × 2 ends × 2 screws" in text
    assert "Falls on" in text
    assert "with small goods" in text
    assert "Carrying up:" in staff.get(f"/jobs/{HARBOUR}/days").text


def test_the_loads_name_the_worst_place_and_the_legs(staff: PageClient) -> None:
    text = staff.get(f"/jobs/{HARBOUR}/loads").text
    assert "Worst place" in text
    assert "The heaviest squares" in text
    assert "as if four legs shared the mass" in text


def test_the_cut_plan_is_a_pdf_to_save(staff: PageClient) -> None:
    answer = staff.browser.get(f"/jobs/{QUAY_LOFT}/takeoff/cut-plan.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    assert "cut-plan.pdf" in answer.headers["content-disposition"]


def test_imperial_jobs_are_read_in_feet_and_inches(staff: PageClient) -> None:
    text = staff.get(f"/jobs/{QUAY_LOFT}/plan").text
    assert "ft²" in text or "sq ft" in text
    loads = staff.get(f"/jobs/{QUAY_LOFT}/loads").text
    told = re.sub(r"<svg.*?</svg>|<span class=\"soft small\">.*?</span>|<dd>.*?</dd>", "", loads, flags=re.S)
    assert "psf" in told
    assert " lbf" in told
    assert not re.search(r"\d (kPa|kN|MPa|kg)\b", told)


@pytest.mark.parametrize(
    "path", ["/jobs/999/survey", "/jobs/1/plan/nothing", "/clients/999", "/nowhere", "/jobs/x"]
)
def test_what_is_not_there_is_said_plainly(staff: PageClient, path: str) -> None:
    assert staff.get(path, 404).heading == "Not found"
