"""Parts of the shop's rules: who makes up an hour, what prices are rounded to, and how things are taxed."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal


@dataclass(frozen=True, slots=True)
class Worker:
    """One kind of worker in the crew's mix.

    Attributes
    ----------
    name : str
    wage : Decimal
        Per hour.
    burden_pct : Decimal
        On the wage. [%]
    share : Decimal
        Hours of this kind for every hour of the others, such as 1 lead for 2 hands.
    """

    name: str
    wage: Decimal
    burden_pct: Decimal
    share: Decimal


# Whether a client is shown prices with the tax on the contract apart from them, or in them.
TaxShown = Literal["apart", "inside"]

Rounding = Literal["cent", "one", "five", "ten", "fifty"]
ROUNDINGS: dict[Rounding, Decimal] = {
    "cent": Decimal("0.01"),
    "one": Decimal(1),
    "five": Decimal(5),
    "ten": Decimal(10),
    "fifty": Decimal(50),
}


@dataclass(frozen=True, slots=True)
class TaxCode:
    """A rate of tax beside the usual one, for things that bear its code.

    Attributes
    ----------
    code : str
        As it stands in the price list.
    rate_pct : Decimal
        Zero for what is exempt. [%]
    text : str
        What it is for, or the number of the certificate that exempts.
    """

    code: str
    rate_pct: Decimal
    text: str = ""


@dataclass(frozen=True, slots=True)
class TaxShare:
    """What is taxed at one rate.

    Attributes
    ----------
    rate_pct : Decimal
        As the shop says. [%]
    base : Decimal
        Cost when tax is paid on buying; share of the price when it is added to that.
    tax : Decimal
        To the cent.
    """

    rate_pct: Decimal
    base: Decimal
    tax: Decimal
