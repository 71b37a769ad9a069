"""Tax by line and rate: who pays it, on what, and what is told when a code is not known."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.pricing.estimate import estimate_quantities
from app.pricing.job_pricing import NOTHING_SET, JobPricing, Override
from app.pricing.records import KINDS, Estimate, PriceBook
from app.pricing.rule_parts import TaxCode, TaxShare
from app.pricing.taxes import rate_of, tax_by_line, tax_within, taxed_kinds
from tests.shop_builders import SMALL_JOB, TODAY, price_rules, small_shop

REDUCED = TaxCode("reduced", Decimal("2.5"), "insulation")
EXEMPT = TaxCode("exempt", Decimal(0), "certificate 12")


def shop_with(codes: dict[str, str], **rules: object) -> PriceBook:
    """The small shop, some of its items with tax codes."""
    book = small_shop(**{"tax_codes": (REDUCED, EXEMPT), **rules})
    items = tuple(replace(item, tax_code=codes.get(item.item, "")) for item in book.items)
    return replace(book, items=items)


def priced(book: PriceBook, pricing: JobPricing = NOTHING_SET) -> Estimate:
    return estimate_quantities(SMALL_JOB, book, TODAY, pricing=pricing)


def test_where_the_shop_says_nothing_buying_taxes_material_and_the_contract_everything() -> None:
    assert taxed_kinds(price_rules()) == ("material",)
    assert taxed_kinds(price_rules(tax_on="contract")) == KINDS
    assert taxed_kinds(price_rules(tax_on="none")) == ()
    assert taxed_kinds(price_rules(taxed=("material", "equipment"))) == ("material", "equipment")
    assert rate_of("labour", "", price_rules()) == 0
    assert rate_of("material", "reduced", price_rules(tax_codes=(REDUCED,))) == Decimal("2.5")


def test_each_item_is_taxed_at_the_rate_of_its_code() -> None:
    answer = priced(shop_with({"PAD": "reduced", "CABLE": "exempt"}))
    rates = {line.item: line.tax_pct for line in answer.lines if line.item}
    assert rates == {"SCREW": 8, "PAD": Decimal("2.5"), "CABLE": 0, "LIGHT": 8}
    assert [(share.rate_pct, share.tax) for share in answer.taxes] == [
        (share.rate_pct, (share.base * share.rate_pct / 100).quantize(Decimal("0.01")))
        for share in answer.taxes
    ]
    assert sum(share.tax for share in answer.taxes) == answer.purchase_tax
    pads = next(line for line in answer.lines if line.item == "PAD" and line.kind == "material")
    assert answer.taxes[0].base == pads.cost


def test_hire_is_taxed_on_buying_when_the_shop_says_so() -> None:
    plain, both = priced(small_shop()), priced(small_shop(taxed=("material", "equipment")))
    assert both.purchase_tax - plain.purchase_tax == (plain.equipment * 8 / 100).quantize(Decimal("0.01"))
    assert sum(tax_by_line(both.lines, both.purchase_tax).values()) == both.purchase_tax


def test_a_code_that_the_rules_do_not_know_is_told_and_taxed_as_usual() -> None:
    answer = priced(shop_with({"PAD": "old"}))
    told = [finding for finding in answer.findings if finding.code == "pricing.tax-code-unknown"]
    assert [finding.grade for finding in told] == ["check"]
    assert "PAD" in told[0].text
    assert answer.purchase_tax == priced(small_shop()).purchase_tax


def test_a_rate_set_by_hand_on_a_line_holds_and_is_told() -> None:
    book = small_shop()
    line = next(line for line in priced(book).lines if line.kind == "material")
    by_hand = JobPricing(overrides=(Override(line.id, "tax_pct", Decimal(0), "exempt, certificate 12"),))
    answer = priced(book, by_hand)
    found = next(one for one in answer.lines if one.id == line.id)
    assert (found.tax_pct, found.cost) == (0, line.cost)
    assert "certificate 12" in found.reason
    assert priced(book).purchase_tax > answer.purchase_tax
    assert priced(book, JobPricing()) == priced(book)


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(["materials", "contract", "none"]),
    st.lists(st.sampled_from(KINDS), unique=True),
    st.dictionaries(
        st.sampled_from(["SCREW", "PAD", "CABLE", "LIGHT"]), st.sampled_from(["reduced", "exempt"])
    ),
    st.sampled_from(["cent", "five", "fifty"]),
)
def test_every_cent_of_tax_has_its_rate_and_its_phase(
    tax_on: str, taxed: list[str], codes: dict[str, str], rounding: str
) -> None:
    answer = priced(shop_with(codes, tax_on=tax_on, taxed=tuple(taxed), rounding=rounding))
    told = sum((share.tax for share in answer.taxes), Decimal(0))
    assert told == answer.purchase_tax + answer.contract_tax
    assert not (answer.purchase_tax and answer.contract_tax)
    assert sum((phase.cost for phase in answer.phases), Decimal(0)) == answer.direct
    assert sum((phase.price for phase in answer.phases), Decimal(0)) == answer.price
    assert answer.price + answer.contract_tax == answer.total
    if tax_on == "contract":
        assert sum((share.base for share in answer.taxes), Decimal(0)) <= answer.price


@pytest.mark.parametrize("value", ["0", "2.5"])
def test_tax_by_hand_moves_no_line_of_labour_it_does_not_name(value: str) -> None:
    book = small_shop(tax_on="contract")
    line = next(line for line in priced(book).lines if line.kind == "labour")
    answer = priced(book, JobPricing(overrides=(Override(line.id, "tax_pct", Decimal(value), "agreed"),)))
    others = [one.tax_pct for one in answer.lines if one.id != line.id]
    assert set(others) == {Decimal(8)}
    assert answer.price == priced(book).price
    assert answer.contract_tax < priced(book).contract_tax


@settings(max_examples=50, deadline=None)
@given(
    st.lists(st.integers(1, 3_000_000), min_size=1, max_size=7),
    st.lists(st.integers(0, 2_500), min_size=1, max_size=3, unique=True),
)
def test_the_tax_in_all_payments_adds_up_to_the_tax_in_the_price(
    payments: list[int], rates: list[int]
) -> None:
    amounts = [Decimal(cents) / 100 for cents in payments]
    total = sum(amounts, Decimal(0))
    base = (total / 5).quantize(Decimal("0.01"))
    whole = [TaxShare(Decimal(r) / 100, base, (base * r / 10_000).quantize(Decimal("0.01"))) for r in rates]
    before, found = Decimal(0), [Decimal(0)] * len(whole)
    for amount in amounts:
        for number, share in enumerate(tax_within(whole, total, before, amount)):
            assert 0 <= share.tax <= amount
            found[number] += share.tax
        before += amount
    assert found == [share.tax for share in whole]
