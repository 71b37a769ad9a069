"""Price files: packs and prices as suppliers write them, in our units; and what a file would change."""

from datetime import date
from decimal import Decimal

import pytest

from app.job.errors import InputErrors
from app.pricing.lines import price_lines
from app.pricing.price_book import book_for
from app.pricing.price_changes import price_changes
from app.pricing.price_rows import read_numbered_rows
from tests.shop_builders import a_book, a_price, an_assembly, material

ROW = {
    "item": "A",
    "name": "A thing",
    "unit": "each",
    "pack": "1",
    "pack_price": "10",
    "supplier": "Quay",
    "lead_days": "5",
    "priced_on": "2026-05-01",
}


def read(**cells: str) -> tuple[Decimal, Decimal]:
    item = read_numbered_rows([(2, ROW | cells)])[0]
    return item.pack, item.pack_price


@pytest.mark.parametrize(
    ("cells", "pack", "price"),
    [
        # By hand: 350 screws at 12.50 the hundred.
        ({"pack": "350", "pack_price": "12.50", "price_per": "100"}, "350", "43.75"),
        ({"pack": "5000", "pack_price": "9", "price_per": "1000"}, "5000", "45"),
        ({"pack": "8", "pack_price": "3", "price_per": "each"}, "8", "24"),
        # 8 ft = 8 × 0.3048 m exactly; 1.25 a foot is 10.00 the length (NIST SP 811, B.8: 1 ft = 0.3048 m).
        ({"unit": "m", "pack": "8 ft", "pack_price": "1.25", "price_per": "lf"}, "2.4384", "10"),
        ({"unit": "m", "pack": "8 ft", "pack_price": "125", "price_per": "100 ft"}, "2.4384", "10"),
        # A sheet of 4 × 8 ft is 32 sq ft = 32 × 0.09290304 m2.
        ({"unit": "m2", "pack": "32 sq ft", "pack_price": "48", "price_per": "sheet"}, "2.972897", "48"),
        ({"unit": "m2", "pack": "32 sq ft", "pack_price": "1.50", "price_per": "sq ft"}, "2.972897", "48"),
        # 50 lb = 50 × 0.45359237 kg.
        ({"unit": "kg", "pack": "50 lb", "pack_price": "7.40", "price_per": "bag"}, "22.679619", "7.4"),
        ({"unit": "kg", "pack": "50 lb", "pack_price": "0.148", "price_per": "lb"}, "22.679619", "7.4"),
        ({"unit": "m3", "pack": "1 yd3", "pack_price": "65"}, "0.764555", "65"),
    ],
    ids=str,
)
def test_packs_and_prices_are_read_in_the_units_of_the_supplier(
    cells: dict[str, str], pack: str, price: str
) -> None:
    found = read(**cells)
    assert found == (pytest.approx(Decimal(pack), abs=Decimal("0.000001")), Decimal(price))


@pytest.mark.parametrize(
    ("column", "value", "unit", "said"),
    [
        ("pack", "8 ft", "m2", "a length"),
        ("pack", "a lot", "m", "such as 8 ft"),
        ("pack", "8 ft", "each", "no count"),
        ("price_per", "fortnight", "m", "not a unit"),
        ("price_per", "kg", "m", "a mass"),
        ("price_per", "0", "each", "Say what the price is for"),
        ("length", "5 kg", "each", "a length"),
        ("mass_kg", "3 m", "each", "a mass"),
        ("item", "with space", "each", "without spaces"),
    ],
)
def test_a_broken_cell_names_row_column_and_value(column: str, value: str, unit: str, said: str) -> None:
    with pytest.raises(InputErrors) as refusal:
        read_numbered_rows([(12_345, ROW | {"unit": unit, column: value})])
    fault = next(fault for fault in refusal.value.errors if fault.path.endswith(column))
    assert fault.path == f"row 12345.{column}"
    assert fault.value == value
    assert said in fault.wanted.lower() or said in fault.wanted


def test_a_row_without_a_day_holds_from_the_day_given() -> None:
    row = {key: value for key, value in ROW.items() if key != "priced_on"}
    assert read_numbered_rows([(2, row)], date(2026, 6, 1))[0].priced_on == date(2026, 6, 1)
    with pytest.raises(InputErrors):
        read_numbered_rows([(2, row)])


def test_a_file_is_told_apart_into_new_dearer_cheaper_otherwise_gone_and_same() -> None:
    old = [a_price(code, pack_price=Decimal(20)) for code in ("SAME", "UP", "DOWN", "NAME", "GONE", "REPACK")]
    new = [
        a_price("SAME", pack_price=Decimal(20)),
        a_price("UP", pack_price=Decimal(25)),
        a_price("DOWN", pack_price=Decimal(10)),
        a_price("NAME", pack_price=Decimal(20), name="Renamed"),
        a_price("REPACK", pack_price=Decimal(30), pack=Decimal(200)),  # 0.15 each after 0.20
        a_price("NEW"),
    ]
    found = price_changes(old, new)
    assert [item.item for item in found.new] == ["NEW"]
    assert [(move.new.item, move.change_pct) for move in found.dearer] == [("UP", Decimal(25))]
    assert [(m.new.item, m.change_pct) for m in found.cheaper] == [
        ("DOWN", Decimal(-50)),
        ("REPACK", Decimal(-25)),
    ]
    assert [move.new.item for move in found.otherwise] == ["NAME"]
    assert [move.differs for move in found.otherwise] == [("name Renamed, was NAME (invented)",)]
    assert [move.differs for move in found.cheaper] == [(), ("pack 200, was 100",)]
    assert [item.item for item in found.gone] == ["GONE"]
    assert found.same == 1


def test_spares_are_bought_over_the_need_and_not_counted_as_waste() -> None:
    from app.pricing.drafts import draft_lines, measured_by_basis
    from tests.shop_builders import a_quantity, price_rules

    drafts = draft_lines(
        measured_by_basis([a_quantity("boards.fasteners", 195)]),
        [an_assembly("boards.fasteners", "boards", material("SCREW"))],
    )
    plain = price_lines(drafts, {"SCREW": a_price()}, price_rules())[0]
    spare = price_lines(drafts, {"SCREW": a_price(spares_pct=Decimal(10))}, price_rules())[0]
    assert (plain.packs, spare.packs) == (2, 3)  # 195 and 214.5 in packs of 100
    assert plain.with_waste == spare.with_waste == 195


def test_a_job_gets_the_part_of_the_list_that_it_can_use() -> None:
    book = a_book(
        (an_assembly("deck.area", "boards", material("SCREW")),),
        items=(a_price("SCREW"), a_price("PAD"), a_price("UNUSED")),
    )
    found = book_for(book, {"choices": {"pads": [{"item": "PAD", "height": 20}]}})
    assert [item.item for item in found.items] == ["SCREW", "PAD"]
