"""The demo firm and its main job, read once for the tests that need the whole way."""

import csv
import json
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from app.agreement.records import Party, Wording
from app.agreement.revision import make_revision
from app.agreement.wording import read_firm, read_wording
from app.documents.records import DayPlanInputs, ProposalInputs
from app.job.file import read_job
from app.job.job import Job
from app.pricing.book_file import read_assemblies, read_price_rows, read_rules
from app.pricing.records import PriceBook
from app.schedule.calendars import calendar_for
from app.schedule.records import Calendar, Crew
from app.whole_job import WholeJob, whole_job

SEED = Path(__file__).parents[1] / "seed_data"
TODAY, START = date(2026, 5, 4), date(2026, 6, 15)
CLIENT = Party("Ada Quill (invented)", "4 Ropewalk, Skerrow (invented)", "555 0101", "ada@client.example")


def document(name: str = "harbour-workshop") -> dict[str, Any]:
    found: dict[str, Any] = json.loads((SEED / "jobs" / f"{name}.json").read_text(encoding="utf-8"))
    return found


@cache
def demo_job(name: str = "harbour-workshop") -> Job:
    return read_job(document(name))


def shop_file(name: str) -> Any:
    return json.loads((SEED / "shop" / name).read_text(encoding="utf-8"))


@cache
def prices() -> PriceBook:
    with (SEED / "shop" / "prices.csv").open(encoding="utf-8", newline="") as rows:
        items = read_price_rows(csv.DictReader(rows))
    assemblies = read_assemblies(shop_file("assemblies.json"))
    return PriceBook(items, assemblies, read_rules(shop_file("rules.json")), TODAY)


def crew() -> Crew:
    return Crew(**shop_file("crews.json")["crews"][0])


@cache
def calendar() -> Calendar:
    rules = shop_file("crews.json")["calendar"]
    leave = tuple((date.fromisoformat(day["on"]), day["name"]) for day in rules["leave"])
    return calendar_for(rules["region"], (2026, 2027), tuple(rules["weekdays"]), leave)


@cache
def answer(name: str = "harbour-workshop") -> WholeJob:
    return whole_job(demo_job(name), prices(), crew(), calendar(), START, TODAY)


def wording() -> tuple[Wording, ...]:
    files = sorted(file for file in (SEED / "shop" / "wording").glob("*.md") if "." not in file.stem)
    return tuple(read_wording(file.stem, file.read_text(encoding="utf-8")) for file in files)


def firm() -> Party:
    return read_firm(shop_file("firm.json"))


@cache
def proposal_inputs(name: str = "harbour-workshop") -> ProposalInputs:
    whole = answer(name)
    revision = make_revision(1, TODAY, whole.estimate, prices().rules, document(name))
    return ProposalInputs(
        firm(), CLIENT, demo_job(name), "0001", whole, revision, wording(), "9 Slip Lane, Skerrow"
    )


def day_plan_inputs(name: str = "harbour-workshop") -> DayPlanInputs:
    return DayPlanInputs(firm(), CLIENT, demo_job(name), "0001", answer(name), TODAY, "9 Slip Lane, Skerrow")
