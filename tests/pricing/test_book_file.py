"""The price files as records, and their faults told one by one."""

import csv
import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from app.job.errors import InputErrors
from app.pricing.book_file import read_assemblies, read_price_rows, read_rules

SHOP = Path(__file__).parents[2] / "seed_data" / "shop"

ROW = {
    "item": "SCREW",
    "name": "Screw",
    "unit": "each",
    "pack": "100",
    "pack_price": "20.00",
    "supplier": "Quay",
    "lead_days": "5",
    "priced_on": "2026-04-01",
    "mass_kg": "",
}
RULES = json.loads((SHOP / "rules.json").read_text(encoding="utf-8"))["rules"]
PART = {"kind": "labour", "text": "Lay", "rate": "0.8"}
ASSEMBLY = {"code": "deck", "name": "Deck", "basis": "deck.area", "phase": "boards", "source": "x"}


def faults(call: Any, *given: Any) -> list[tuple[str, str]]:
    with pytest.raises(InputErrors) as caught:
        call(*given)
    return [(error.path, error.wanted) for error in caught.value.errors]


def test_a_row_becomes_an_item() -> None:
    item = read_price_rows([ROW])[0]
    assert (item.pack, item.pack_price, item.lead_days) == (100, Decimal("20.00"), 5)
    assert (item.priced_on, item.mass_kg) == (date(2026, 4, 1), None)


@pytest.mark.parametrize(
    ("column", "value", "said"),
    [
        ("item", "", "nothing stands here; give a text."),
        ("unit", "box", "'box' will not do; give one of each, m, m2, m3, kg."),
        ("pack", "0", "'0' will not do; give a number greater than 0, such as 12.50."),
        ("pack_price", "-1", "'-1' will not do; give a number of at least 0, such as 12.50."),
        ("pack_price", "1,50", "'1,50' will not do; give a number of at least 0, such as 12.50."),
        ("pack_price", "NaN", "'NaN' will not do; give a number of at least 0, such as 12.50."),
        ("lead_days", "2.5", "'2.5' will not do; give a whole number of at least 0."),
        ("priced_on", "1.5.2026", "'1.5.2026' will not do; give a day written as 2026-05-01."),
    ],
)
def test_a_fault_names_row_column_and_value(column: str, value: str, said: str) -> None:
    assert faults(read_price_rows, [ROW, ROW | {"item": "B", column: value}]) == [(f"row 3.{column}", said)]


def test_all_faults_are_told_at_once() -> None:
    found = faults(read_price_rows, [ROW | {"unit": "box"}, ROW | {"pack": "none"}])
    assert [path for path, _ in found] == ["row 2.unit", "row 3.pack", "row 3.item"]


def test_an_unknown_column_is_a_fault() -> None:
    assert faults(read_price_rows, [ROW | {"colour": "red"}])[0][0] == "row 2.colour"


def test_an_item_may_have_a_price_for_each_day_but_one_only() -> None:
    assert len(read_price_rows([ROW, ROW | {"priced_on": "2026-05-01"}])) == 2
    assert faults(read_price_rows, [ROW, ROW])[0][0] == "row 3.item"


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"basis": "deck.colour"}, "assemblies[0].basis"),
        ({"phase": "painting"}, "assemblies[0].phase"),
        ({"parts": "none"}, "assemblies[0].parts"),
        ({"code": ""}, "assemblies[0].code"),
        ({"formula": "a*b"}, "assemblies[0].formula"),
        ({"parts": [PART | {"kind": "magic"}]}, "assemblies[0].parts[0].kind"),
        ({"parts": [PART | {"rate": "0"}]}, "assemblies[0].parts[0].rate"),
        ({"parts": [PART | {"item": "SCREW"}]}, "assemblies[0].parts[0].item"),
        ({"parts": [7]}, "assemblies[0].parts[0]"),
    ],
)
def test_a_fault_in_an_assembly_names_its_place(change: dict[str, Any], path: str) -> None:
    document = {"assemblies": [ASSEMBLY | {"parts": [PART]} | change]}
    assert faults(read_assemblies, document)[0][0] == path


def test_a_code_used_twice_is_a_fault() -> None:
    whole = ASSEMBLY | {"parts": [PART]}
    assert faults(read_assemblies, {"assemblies": [whole, whole]})[0][0] == "assemblies[1].code"


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"overhead_pct": "60", "profit_pct": "40"}, "rules.overhead_pct"),
        ({"currency": "dollars"}, "rules.currency"),
        ({"tax_on": "everything"}, "rules.tax_on"),
        ({"deposit_pct": "101"}, "rules.deposit_pct"),
        ({"deposit_pct": "60", "holdback_pct": "50"}, "rules.deposit_pct"),
        ({"access_factor": "0"}, "rules.access_factor"),
        ({"validity_days": 0}, "rules.validity_days"),
        ({"wage": True}, "rules.wage"),
    ],
)
def test_a_fault_in_the_rules_names_the_rule(change: dict[str, Any], path: str) -> None:
    assert path in [where for where, _ in faults(read_rules, {"rules": RULES | change})]


@pytest.mark.parametrize("document", [None, [], {"rules": 3}, {}])
def test_a_file_of_another_shape_is_a_fault(document: Any) -> None:
    assert faults(read_rules, document)


def test_the_demo_shop_reads_without_a_fault() -> None:
    with (SHOP / "prices.csv").open(encoding="utf-8", newline="") as file:
        items = read_price_rows(csv.DictReader(file))
    assemblies = read_assemblies(json.loads((SHOP / "assemblies.json").read_text(encoding="utf-8")))
    assert all("(invented)" in item.supplier for item in items)
    assert all(item.priced_on.year == 2026 for item in items)
    assert all(assembly.source for assembly in assemblies)
    known = {item.item for item in items}
    assert all(part.item in known for assembly in assemblies for part in assembly.parts if part.item)


def test_the_demo_shop_prices_every_item_of_the_demo_jobs() -> None:
    with (SHOP / "prices.csv").open(encoding="utf-8", newline="") as file:
        known = {item.item for item in read_price_rows(csv.DictReader(file))}
    wanted = (SHOP.parent / "ITEMS.md").read_text(encoding="utf-8").split()
    assert not [word for word in wanted if word.isupper() and "-" in word and word not in known]
