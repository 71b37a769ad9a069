"""The tax cases of one job, reckoned by hand to the cent.

Inputs of the worked build-up (`price_build_up_example`): labour 5 491.20, material 9 800.00, equipment
650.00, subcontract 2 400.00, permit 420.00; contingency 5 %, overhead and profit 30 % of sales.

- Paid on buying (lump-sum contract, the firm is the consumer): 8 % of 9 800.00 is 784.00 and stands in the
  cost; price 29 317.80; nothing is added.
- Charged on material (separated contract, the firm sells the goods): D = 18 761.20, K = 19 699.26,
  price 28 141.80; material's part of it 9 800.00 × 1.05 / 0.70 = 14 700.00, taxed 8 % = 1 176.00.
- Charged on the contract: 8 % of 28 141.80 = 2 251.34.
- Charged on material and hire: (9 800.00 + 650.00) × 1.05 / 0.70 = 15 675.00, taxed 8 % = 1 254.00.
- Not taxed: 28 141.80.

Which case holds where: general rule, it differs from state to state; check local law. Arithmetic by hand.
"""

from decimal import Decimal

import pytest

from app.pricing.build_up import DirectCost, build_up
from tests.shop_builders import price_rules

COST = DirectCost(
    labour=Decimal("5491.20"),
    material=Decimal("9800.00"),
    equipment=Decimal("650.00"),
    subcontract=Decimal("2400.00"),
    allowance=Decimal("420.00"),
)


@pytest.mark.parametrize(
    ("tax_on", "taxed", "price", "tax", "total"),
    [
        ("materials", (), "29317.80", "784.00", "29317.80"),
        ("contract", ("material",), "28141.80", "1176.00", "29317.80"),
        ("contract", (), "28141.80", "2251.34", "30393.14"),
        ("contract", ("material", "equipment"), "28141.80", "1254.00", "29395.80"),
        ("none", (), "28141.80", "0.00", "28141.80"),
    ],
    ids=[
        "by-hand-paid-on-buying-784.00",
        "by-hand-charged-on-material-1176.00",
        "by-hand-charged-on-contract-2251.34",
        "by-hand-charged-on-material-and-hire-1254.00",
        "by-hand-not-taxed",
    ],
)
def test_a_tax_case_is_met_to_the_cent(
    tax_on: str, taxed: tuple[str, ...], price: str, tax: str, total: str
) -> None:
    steps = build_up(COST, price_rules(tax_on=tax_on, taxed=taxed))
    assert (steps.price, steps.purchase_tax + steps.contract_tax, steps.total) == (
        Decimal(price),
        Decimal(tax),
        Decimal(total),
    )
    assert sum((share.tax for share in steps.taxes), Decimal(0)) == Decimal(tax)
