"""Assemblies without formulas, figures set by hand, options: as forms, without JavaScript."""

import hashlib
import re
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from app.actions.assemblies import assembly_versions
from app.actions.by_hand import save_work_rules, work_rules
from app.actions.imports import let_in, read_price_file
from app.actions.jobs import job_sheet
from app.actions.offer import make_link, offer, revision_pdf
from app.actions.price import price_book
from app.actions.price_file import as_csv
from app.actions.price_risk import how_sure
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from app.documents.proposal import proposal_pdf
from tests.web.conftest import HARBOUR, NET_STORE, NOW, QUAY_LOFT, Server
from tests.web.page_client import PageClient

TODAY = NOW.date()


def total(server: Server, job: int = HARBOUR) -> Decimal:
    return work_out(server.db, job, TODAY).answer.estimate.total


def a_line(server: Server, kind: str = "labour") -> str:
    lines = work_out(server.db, HARBOUR, TODAY).answer.estimate.lines
    return next(line.id for line in lines if line.kind == kind and line.basis != "job.once")


def test_an_assembly_is_tried_on_a_job_before_it_is_saved(server: Server, staff: PageClient) -> None:
    before = total(server)
    form, post = "/shop/assembly?code=set-up", "/shop/assembly"
    page = staff.send(form, post, **{"rate-0": "16", "do": "try", "job": str(HARBOUR)})
    assert "Nothing is saved yet" in page.text
    assert "preparation/set-up/1" in page.text
    assert total(server) == before
    staff.send(form, post, **{"rate-0": "16", "do": "save"})
    assert total(server) > before
    versions = assembly_versions(server.db, "set-up")
    assert [version.version for version in versions] == [2, 1]
    assert versions[0].assembly.parts[0].rate == 16
    page = staff.get(form)
    assert "Version 2" in page.text
    assert "Harbour workshop" in page.text


def test_a_row_cleared_of_its_text_goes_and_a_blank_one_filled_comes(
    server: Server, staff: PageClient
) -> None:
    filled = {"text-0": "", "text-3": "Skip hire", "kind-3": "equipment", "rate-3": "250", "do": "save"}
    staff.send("/shop/assembly?code=set-up", "/shop/assembly", **filled)
    parts = assembly_versions(server.db, "set-up")[0].assembly.parts
    assert [part.text for part in parts][-1] == "Skip hire"
    assert len(parts) == 3


def test_a_copy_holds_only_where_its_conditions_are_met(server: Server, staff: PageClient) -> None:
    copied = {"code": "deck-clip", "name": "Clipped", "fastening": "clip", "do": "save"}
    staff.send("/shop/assembly?copy=set-up", "/shop/assembly", **copied, basis="deck.area")
    lines = [
        line
        for line in work_out(server.db, HARBOUR, TODAY).answer.estimate.lines
        if line.assembly == "deck-clip"
    ]
    assert lines
    decks = work_out(server.db, HARBOUR, TODAY).answer.takeoff.totals.quantities
    whole = next(quantity.amount for quantity in decks if quantity.basis == "deck.area")
    assert all(float(line.net) < 16 * whole for line in lines)
    assert "only boards fastened by clip" in staff.get("/shop/assemblies").text


def test_a_faulty_assembly_is_refused_with_row_and_field(staff: PageClient) -> None:
    page = staff.send(
        "/shop/assembly?code=set-up",
        "/shop/assembly",
        422,
        **{"rate-0": "six", "low_mm": "900", "high_mm": "800"},
    )
    assert "Row 1" in page.text
    assert "#rate-0" in page.links()
    assert "a height above 900" in page.text


def test_a_new_assembly_needs_a_code_of_its_own(staff: PageClient) -> None:
    page = staff.send("/shop/assembly?copy=set-up", "/shop/assembly", 422, code="set-up", do="save")
    assert "already" in page.text


def test_a_figure_is_set_by_hand_with_a_reason_and_taken_back(server: Server, staff: PageClient) -> None:
    before, line = total(server), a_line(server)
    form = f"/jobs/{HARBOUR}/price/line?line={line}"
    post = f"/jobs/{HARBOUR}/price/line"
    assert "Enter why" in staff.send(form, post, 422, field="cost", value="1", do="set").text
    page = staff.send(form, post, field="cost", value="1.00", reason="agreed on the roof", do="set")
    assert "agreed on the roof" in page.text
    assert total(server) < before
    page = staff.get(form)
    assert "set to 1" in page.text
    staff.send(form, post, do="take-back:cost")
    assert total(server) == before
    said = [entry.what for entry in job_sheet(server.db, HARBOUR).history[:2]]
    assert said == [f"took back cost of {line}", f"set cost of {line} to 1.00: agreed on the roof"]


def test_a_range_shows_how_sure_the_price_is(server: Server, staff: PageClient) -> None:
    line = a_line(server)
    assert "No line has a range yet" in staff.get(f"/jobs/{HARBOUR}/price").text
    form, post = f"/jobs/{HARBOUR}/price/line?line={line}", f"/jobs/{HARBOUR}/price/line"
    assert "from 0 up" in staff.send(form, post, 422, low_pct="-5", high_pct="x", do="range").text
    page = staff.send(form, post, low_pct="10", high_pct="60", do="range")
    assert "100 draws" in page.text
    assert "Deepest out of pocket" in page.text


def test_usual_ranges_say_price_and_days_at_once(server: Server, staff: PageClient) -> None:
    form = f"/jobs/{HARBOUR}/price"
    page = staff.send(form, form, do="ranges")
    assert "Lines that carry most of the spread of the price, of 12 with a range" in page.text
    assert "Lines that carry most of the spread of the days" in page.text
    sure = how_sure(server.db, work_out(server.db, HARBOUR, TODAY))
    assert sure.days is not None
    assert sure.days.planned_days == len(work_out(server.db, HARBOUR, TODAY).answer.days.days)
    assert sure.days.p50_days <= sure.days.p80_days <= sure.days.p90_days
    assert list(sure.ends_on) == sorted(sure.ends_on)
    assert "No line has a range yet" in staff.send(form, form, do="undo").text
    staff.send(form, form, do="undo")  # undone twice: as it was set
    assert [entry.what for entry in job_sheet(server.db, HARBOUR).history[:3]] == [
        "undid the last change of what is set by hand on the price",
        "undid the last change of what is set by hand on the price",
        "gave usual ranges to the lines that cost most",
    ]


def test_days_lost_to_weather_by_month_are_in_how_sure_the_days_are(
    server: Server, staff: PageClient
) -> None:
    form, owner = f"/jobs/{HARBOUR}/price", StaffMember(1, "Demo", "demo@example.org", "owner")
    assert "No days lost to weather are in it" in staff.send(form, form, do="ranges").text
    dry = how_sure(server.db, work_out(server.db, HARBOUR, TODAY)).days
    save_work_rules(server.db, owner, replace(work_rules(server.db), lost_days=(6.0,) * 12), NOW)
    wet = how_sure(server.db, work_out(server.db, HARBOUR, TODAY)).days
    assert dry is not None
    assert wet is not None
    assert wet.p80_days > dry.p80_days
    assert f"{wet.weather_days:.1f} on average are lost to weather" in staff.get(form).text
    save_work_rules(server.db, owner, replace(work_rules(server.db), lost_days=(0.0,) * 12), NOW)
    staff.send(form, form, do="undo")


def test_a_quote_is_added_and_taken_out(server: Server, staff: PageClient) -> None:
    before, form = total(server), f"/jobs/{HARBOUR}/price"
    sent = {"code": "crane", "kind": "equipment", "phase": "carry-up", "text": "Crane", "amount": "700"}
    assert "#f-reason" in staff.send(form, form, 422, **sent, do="add").links()
    page = staff.send(form, form, **sent, reason="quote of 2 May", valid_until_on="2026-05-01", do="add")
    assert "holds until" in page.text
    assert "pricing.quote-run-out" in page.text
    assert total(server) > before
    staff.send(form, form, do="take-out:crane")
    assert total(server) == before


def test_two_who_set_figures_at_once_see_both(server: Server, staff: PageClient) -> None:
    form, post, line = f"/jobs/{HARBOUR}/price/line", f"/jobs/{HARBOUR}/price/line", a_line(server)
    form = f"{form}?line={line}"
    staff.send(form, post, field="cost", value="5", reason="one", do="set")
    assert staff.send(form, post, 409, field="cost", value="6", reason="two", do="set", version="0")


def test_options_are_worked_out_by_the_engine(server: Server, staff: PageClient) -> None:
    form = f"/jobs/{HARBOUR}/options"
    page = staff.send(form, form, code="no-herbs", name="No planters", leaves_out="herbs-1", do="add")
    rows = re.findall(r"No planters(?:</a>)?</th>.*?</tr>", page.text)
    assert rows
    assert "−" in rows[0]
    assert "code of its own" not in page.text
    with_all, without = (staff.get(f"{form}?show={codes}").text for codes in ("", "no-herbs"))
    assert "Drawn without any option" in with_all
    assert "Drawn with No planters" in without
    drawn, drawn_without = (re.findall(r"<svg.*?</svg>", page, re.S)[0] for page in (with_all, without))
    assert len(drawn) > len(drawn_without)
    assert staff.get(f"{form}?show=no-such", 404)
    faulty = staff.send(form, form, 422, code="empty", name="Nothing", do="add")
    assert "Say what it adds" in faulty.text
    assert 'value="Nothing"' in faulty.text  # what was typed is not lost
    change = f"{form}?change=no-herbs"
    page = staff.get(change)
    assert "Change No planters" in page.text
    assert re.search(r'name="leaves_out" value="herbs-1" checked', page.text)
    staff.send(change, form, code="no-herbs", name="Without herbs", leaves_out="herbs-1", do="add")
    assert [one.name for one in job_sheet(server.db, HARBOUR).pricing.options] == ["Without herbs"]
    staff.send(form, form, do="take-out:no-herbs")
    assert "No option yet" in staff.get(form).text


def test_an_option_that_the_plan_cannot_take_is_told(staff: PageClient) -> None:
    form = f"/jobs/{HARBOUR}/options"
    page = staff.send(form, form, 422, code="dark", name="No transformer", leaves_out="transformer", do="add")
    assert page.title.startswith("Error: ")
    assert "dark" in page.text


def test_rules_take_a_mix_scores_and_a_rounding(server: Server, staff: PageClient) -> None:
    page = staff.send("/shop/rules", "/shop/rules", 422, efficiency="67 67", mix="lead forty")
    assert "8 whole numbers" in page.text
    assert "name, wage" in page.text
    staff.send(
        "/shop/rules", "/shop/rules", efficiency="50 " * 8, mix="lead 40 45 1\nhand 28 40 2", rounding="fifty"
    )
    estimate = work_out(server.db, QUAY_LOFT, TODAY).answer.estimate
    assert estimate.price % 50 == 0
    assert "lead 40 45 1" in staff.get("/shop/rules").text


def test_tax_codes_and_kinds_are_set_and_taken_by_items(server: Server, staff: PageClient) -> None:
    page = staff.send("/shop/rules", "/shop/rules", 422, taxed="material, luck", tax_codes="reduced much")
    assert "“luck”" in page.text
    assert "give a code of its own and a rate" in page.text
    staff.send("/shop/rules", "/shop/rules", taxed="material, equipment", tax_codes="reduced 2.5 insulation")
    page = staff.get("/shop/rules")
    assert "reduced 2.5 insulation" in page.text
    item = {"item": "FOAM-1", "name": "Foam", "pack": "1", "pack_price": "9", "tax_code": "reduced"}
    staff.send("/shop/items/new", "/shop/items/new", **item)
    page = staff.get("/shop/prices/FOAM-1?jobs=yes")
    assert "Tax code" in page.text
    assert "No job at work buys it" in page.text
    estimate = work_out(server.db, HARBOUR, TODAY).answer.estimate
    assert {line.tax_pct for line in estimate.lines if line.kind == "equipment"} == {Decimal("5.5")}
    assert "Tax paid when buying" in staff.get(f"/jobs/{HARBOUR}/price").text


def test_special_orders_are_asked_for_where_the_cap_on_deposits_knows_them(
    server: Server, staff: PageClient
) -> None:
    form = f"/jobs/{NET_STORE}/price"
    assert "made or ordered for this job alone" not in staff.get(form).text
    staff.send("/shop/calendar", "/shop/law/preset", law="us-ma")
    assert "check local law" in staff.get(form).text
    assert "from 0 up" in staff.send(form, form, 422, special_orders="much", do="special-orders").text
    staff.send(form, form, special_orders="5250.00", do="special-orders")
    assert 'value="5250.00"' in staff.get(form).text
    assert job_sheet(server.db, NET_STORE).pricing.special_orders == Decimal("5250.00")


def test_a_rate_of_tax_is_set_on_one_line(server: Server, staff: PageClient) -> None:
    before, line = total(server), a_line(server, "material")
    form, post = f"/jobs/{HARBOUR}/price/line?line={line}", f"/jobs/{HARBOUR}/price/line"
    sent = {"field": "tax_pct", "reason": "exempt, certificate 12", "do": "set"}
    assert "from 0 to 100" in staff.send(form, post, 422, **sent, value="101").text
    page = staff.send(form, post, value="0", **sent)
    assert "certificate 12" in page.text
    assert total(server) < before
    staff.send(form, post, do="take-back:tax_pct")
    assert total(server) == before


def test_labour_is_given_as_people_and_what_they_make_in_an_hour(server: Server, staff: PageClient) -> None:
    form, post = "/shop/assembly?code=lay-deck", "/shop/assembly"
    page = staff.send(form, post, 422, **{"people-0": "2"}, do="save")
    assert "how many people make how many in an hour" in page.text
    staff.send(form, post, **{"people-0": "2", "output-0": "4"}, do="save")
    part = assembly_versions(server.db, "lay-deck")[0].assembly.parts[0]
    assert (part.rate, part.people, part.output) == (Decimal("0.5000"), Decimal(2), Decimal(4))
    assert 'value="4"' in staff.get(form).text
    # Without the two the rate stands as typed.
    staff.send(form, post, **{"people-0": "", "output-0": "", "rate-0": "0.6"}, do="save")
    assert assembly_versions(server.db, "lay-deck")[0].assembly.parts[0].rate == Decimal("0.6")


def test_the_proposal_of_last_month_is_the_same_bytes_after_every_price_has_moved(
    server: Server, staff: PageClient
) -> None:
    """Printed for real, opened by the client, prices doubled by a file, opened again a month later."""
    owner = StaffMember(1, "Demo", "demo@example.org", "owner")
    card = offer(server.db, owner, NET_STORE, NOW, proposal_pdf)
    client = server.visitor()
    client.get(f"/s/{make_link(server.db, owner, card.id, 60, NOW)}")
    then = client.browser.get("/offer/proposal.pdf")
    assert then.content.startswith(b"%PDF")
    before = total(server, NET_STORE)
    dearer = tuple(
        replace(item, pack_price=item.pack_price * 2) for item in price_book(server.db, TODAY).items
    )
    let_in(
        server.db,
        owner,
        read_price_file(server.db, owner, "dearer.csv", as_csv(dearer), TODAY, NOW),
        takes_out=False,
        now=NOW,
        today=TODAY,
    )
    assert total(server, NET_STORE) > before
    later = NOW + timedelta(days=28)
    server.app.state.clock = lambda: later
    now = client.browser.get("/offer/proposal.pdf")
    assert now.content == then.content
    assert (
        hashlib.sha256(now.content).hexdigest()
        == hashlib.sha256(revision_pdf(server.db, card.id)).hexdigest()
    )
