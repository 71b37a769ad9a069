"""Records of price: what the shop knows, and what an estimate says. Money is Decimal in one currency."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal, get_args

from app.job.findings import Assumption, Finding
from app.pricing.rule_parts import Rounding, TaxCode, TaxShare, TaxShown, Worker

Phase = Literal[
    "preparation",
    "carry-up",
    "frame",
    "rough-in",
    "boards",
    "walls",
    "planters",
    "beds",
    "fit-out",
    "clean-down",
]
PHASES: tuple[Phase, ...] = get_args(Phase)


@dataclass(frozen=True, slots=True)
class PriceItem:
    """One thing that can be bought, at its price from a date.

    Attributes
    ----------
    item : str
        Its code.
    name : str
        What a supplier would call it.
    unit : str
        Unit of the quantity it serves: ``each``, ``m``, ``m2``, ``m3``, ``kg``.
    pack : Decimal
        How many units one pack holds; whole packs are bought.
    pack_price : Decimal
        Price of one pack, before tax.
    supplier : str
    lead_days : int
        Working days from order to delivery.
    priced_on : date
        From when the price holds.
    mass_kg : float or None
        Mass of one unit. [kg]
    length_mm : float or None
        Length of one piece, where it has one. [mm]
    spares_pct : Decimal
        Bought over what is needed, to stay with the client. [%]
    tax_code : str
        Of the shop's tax codes; empty: the usual rate.
    """

    item: str
    name: str
    unit: str
    pack: Decimal
    pack_price: Decimal
    supplier: str
    lead_days: int
    priced_on: date
    mass_kg: float | None = None
    length_mm: float | None = None
    spares_pct: Decimal = Decimal(0)
    tax_code: str = ""


Kind = Literal["material", "labour", "equipment", "subcontract", "allowance"]
KINDS: tuple[Kind, ...] = ("material", "labour", "equipment", "subcontract", "allowance")


@dataclass(frozen=True, slots=True)
class AssemblyPart:
    """One thing an assembly brings per unit of its basis.

    Attributes
    ----------
    kind : str
        ``material``: buy `item`; ``labour``: `rate` hours per unit; ``equipment``, ``subcontract``,
        ``allowance``: `rate` is money per unit.
    text : str
        What the line says.
    rate : Decimal
        Amount per unit of basis.
    item : str
        Price-list item, for material. Empty with kind material: each item that the basis itself names.
    waste_pct : Decimal
        Added before rounding to packs. [%]
    people, output : Decimal
        For labour, where the rate was given as so many people making so many units in an hour; else zero.
    """

    kind: Kind
    text: str
    rate: Decimal
    item: str = ""
    waste_pct: Decimal = Decimal(0)
    people: Decimal = Decimal(0)
    output: Decimal = Decimal(0)


ConditionKind = Literal["edge", "wall height", "fastening"]
CONDITION_KINDS: tuple[ConditionKind, ...] = ("edge", "wall height", "fastening")
EDGES: tuple[str, ...] = (
    "plain",
    "bordered",
    "fascia",
    "steps",
    "by a parapet",
    "by a wall",
    "by a guard",
    "by an open edge",
)
FASTENINGS: tuple[str, ...] = ("face", "clip")


@dataclass(frozen=True, slots=True)
class Condition:
    """Where an assembly holds; from a fixed list, never a formula.

    Attributes
    ----------
    kind : str
        ``edge``: the deck's edge is `value`, or the place lies by such a roof edge; ``wall height``:
        higher than `low_mm` and at most `high_mm`; ``fastening``: the boards there are fastened by `value`.
    value : str
        One of `EDGES`; ``face`` or ``clip``. Empty for wall heights.
    low_mm, high_mm : float or None
        None: no limit on that side. [mm]
    """

    kind: ConditionKind
    value: str = ""
    low_mm: float | None = None
    high_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Assembly:
    """What it takes to make one unit of something measured.

    Attributes
    ----------
    code : str
    name : str
    basis : str
        From the fixed list of measured bases.
    phase : str
        When it is done.
    parts : tuple of AssemblyPart
        None at all says that its basis costs nothing of its own.
    source : str
        Where its rates come from, as printed.
    when : tuple of Condition
        All of them must hold at a place; none: it holds everywhere.
    """

    code: str
    name: str
    basis: str
    phase: Phase
    parts: tuple[AssemblyPart, ...]
    source: str = ""
    when: tuple[Condition, ...] = ()


@dataclass(frozen=True, slots=True)
class PriceRules:
    """How cost becomes price; every figure is the shop's own.

    Attributes
    ----------
    currency : str
        ISO 4217 code.
    wage : Decimal
        Per hour.
    burden_pct, overhead_pct, profit_pct, contingency_pct, tax_pct : Decimal
        Burden on wage; overhead and profit as share of sales; contingency on cost; tax. [%]
    tax_on : str
        ``materials``: the firm pays tax when it buys; ``contract``: tax is added to the price;
        ``none``.
    access_factor : Decimal
        Multiplies hours of work for the way up; 1 is ground level.
    validity_days : int
        How long an offer holds.
    deposit_pct, holdback_pct : Decimal
        Of the total. [%]
    stale_after_days : int
        Age at which a price is called stale.
    mix : tuple of Worker
        Who makes up an hour of labour; none: `wage` and `burden_pct`.
    efficiency : tuple of int
        Eight scores of 25 to 100 on how well work goes here, or none. [%]
    access_by : str
        ``shop``: `access_factor` as it stands; ``way up``: from the minutes of one trip on the survey.
    set_up_h : Decimal
        Of one person's day, for setting up and clearing. [h]
    rounding : str
        What the price before tax is rounded to: ``cent``, ``one``, ``five``, ``ten``, ``fifty``.
    taxed : tuple of str
        Kinds that tax falls on; none: material with tax on materials, all with tax on the contract.
    tax_codes : tuple of TaxCode
        Rates beside `tax_pct`, for items that bear their code.
    tax_shown : str
        ``apart``: a client is shown prices before tax, and tax on the contract beside them; ``inside``:
        every price it is shown has that tax in it, as consumer law asks in some regions.
    """

    currency: str
    wage: Decimal
    burden_pct: Decimal
    overhead_pct: Decimal
    profit_pct: Decimal
    contingency_pct: Decimal
    tax_pct: Decimal
    tax_on: Literal["materials", "contract", "none"]
    access_factor: Decimal
    validity_days: int
    deposit_pct: Decimal
    holdback_pct: Decimal
    stale_after_days: int
    mix: tuple[Worker, ...] = ()
    efficiency: tuple[int, ...] = ()
    access_by: Literal["shop", "way up"] = "shop"
    set_up_h: Decimal = Decimal(0)
    rounding: Rounding = "cent"
    taxed: tuple[Kind, ...] = ()
    tax_codes: tuple[TaxCode, ...] = ()
    tax_shown: TaxShown = "apart"


@dataclass(frozen=True, slots=True)
class PriceBook:
    """All the shop knows of prices, as it stood on one day.

    Attributes
    ----------
    items : tuple of PriceItem
    assemblies : tuple of Assembly
    rules : PriceRules
    as_of : date
    """

    items: tuple[PriceItem, ...]
    assemblies: tuple[Assembly, ...]
    rules: PriceRules
    as_of: date


@dataclass(frozen=True, slots=True)
class EstimateLine:
    """One line: where each cent comes from.

    Attributes
    ----------
    id : str
        Stable for the same inputs: ``frame/sleepers/2``.
    phase : str
    kind : str
        As in `AssemblyPart`.
    text : str
    assembly : str
        Assembly it comes from.
    basis : str
        Measured basis it hangs on.
    item : str
        Price-list item, or empty.
    net : Decimal
        From the takeoff, in `unit`.
    with_waste : Decimal
        After waste, in `unit`.
    packs : Decimal
        Whole packs bought; zero when not bought by the pack.
    unit : str
    unit_price : Decimal
        Per pack, per hour or per unit.
    cost : Decimal
        To the cent.
    hours_h : float
        Labour hours of this line, access factor in. [h]
    priced_on : date or None
        Date of the price.
    was : Decimal or None
        Its cost before somebody set it by hand; None: it stands as reckoned.
    reason : str
        Why it was set by hand, and by whom.
    tax_pct : Decimal
        Rate at which it is taxed, on buying or in the price. [%]
    """

    id: str
    phase: Phase
    kind: Kind
    text: str
    assembly: str
    basis: str
    item: str
    net: Decimal
    with_waste: Decimal
    packs: Decimal
    unit: str
    unit_price: Decimal
    cost: Decimal
    hours_h: float
    priced_on: date | None
    was: Decimal | None = None
    reason: str = ""
    tax_pct: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class PhasePrice:
    """The price of one phase, its share of everything in; phases sum to the price before tax.

    Attributes
    ----------
    phase : str
    cost : Decimal
        Direct cost.
    price : Decimal
        What the client is shown, before tax on the contract.
    hours_h : float
        Labour hours. [h]
    """

    phase: Phase
    cost: Decimal
    price: Decimal
    hours_h: float


@dataclass(frozen=True, slots=True)
class Estimate:
    """The whole price, reproducible from its inputs.

    Attributes
    ----------
    currency : str
    lines : tuple of EstimateLine
    phases : tuple of PhasePrice
    labour, material, equipment, subcontract, allowance : Decimal
        Direct cost by kind; material before tax.
    purchase_tax : Decimal
        Tax the firm pays when it buys.
    direct, contingency, cost : Decimal
        Direct cost; contingency on it; the two together.
    overhead, profit : Decimal
        Shares of the price.
    price : Decimal
        Before tax on the contract.
    contract_tax : Decimal
    total : Decimal
        What the client pays.
    markup_pct, margin_pct : Decimal
        Price over cost; profit and overhead as share of price. [%]
    hours_h : float
        All labour. [h]
    findings : tuple of Finding
    assumptions : tuple of Assumption
    taxes : tuple of TaxShare
        What is taxed at which rate, whether on buying or in the price.
    tax_shown : str
        ``apart`` or ``inside``: a client is shown prices before tax on the contract, or with it.
    """

    currency: str
    lines: tuple[EstimateLine, ...]
    phases: tuple[PhasePrice, ...]
    labour: Decimal
    material: Decimal
    equipment: Decimal
    subcontract: Decimal
    allowance: Decimal
    purchase_tax: Decimal
    direct: Decimal
    contingency: Decimal
    cost: Decimal
    overhead: Decimal
    profit: Decimal
    price: Decimal
    contract_tax: Decimal
    total: Decimal
    markup_pct: Decimal
    margin_pct: Decimal
    hours_h: float
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
    taxes: tuple[TaxShare, ...] = ()
    tax_shown: TaxShown = "apart"
