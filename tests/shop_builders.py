"""Builders of a small shop: two dozen figures that can be reckoned by hand."""

from datetime import date
from decimal import Decimal
from typing import Any

from app.pricing.estimate import estimate_quantities
from app.pricing.records import Assembly, AssemblyPart, Estimate, Phase, PriceBook, PriceItem, PriceRules
from app.schedule.records import Calendar, Crew
from app.takeoff.totals.records import Quantity

TODAY = date(2026, 5, 4)
MONDAY = date(2026, 6, 8)
PLAIN_WEEK = Calendar(weekdays=(0, 1, 2, 3, 4), days_off=(), region="")
TWO_PEOPLE = Crew(code="north", name="North quay crew", people=2, day_h=8.0)


def price_rules(**changes: Any) -> PriceRules:
    """The rules of the handbook's worked example."""
    fields: dict[str, Any] = {"currency": "USD", "wage": Decimal(32), "burden_pct": Decimal(43)}
    fields |= {"overhead_pct": Decimal(20), "profit_pct": Decimal(10), "contingency_pct": Decimal(5)}
    fields |= {"tax_pct": Decimal(8), "tax_on": "materials", "access_factor": Decimal(1)}
    fields |= {"validity_days": 30, "deposit_pct": Decimal(10), "holdback_pct": Decimal(10)}
    return PriceRules(**(fields | {"stale_after_days": 90} | changes))


def a_price(item: str = "SCREW", **changes: Any) -> PriceItem:
    """Screws in packs of 100 at 20.00."""
    fields: dict[str, Any] = {"name": f"{item} (invented)", "unit": "each", "pack": Decimal(100)}
    fields |= {"pack_price": Decimal("20.00"), "supplier": "Quay (invented)", "lead_days": 5}
    return PriceItem(item=item, **(fields | {"priced_on": date(2026, 4, 1)} | changes))


def material(item: str = "", rate: str = "1", waste: str = "0") -> AssemblyPart:
    """A part that is bought."""
    return AssemblyPart("material", item or "Goods", Decimal(rate), item, Decimal(waste))


def labour(rate: str) -> AssemblyPart:
    """A part that takes hours."""
    return AssemblyPart("labour", "Work", Decimal(rate))


def money(kind: Any, rate: str) -> AssemblyPart:
    """A part that is a sum for each unit."""
    return AssemblyPart(kind, f"A {kind}", Decimal(rate))


def an_assembly(basis: str, phase: Phase, *parts: AssemblyPart, code: str = "") -> Assembly:
    """An assembly named after its basis."""
    return Assembly(code=code or basis, name=basis, basis=basis, phase=phase, parts=parts)


def a_book(
    assemblies: tuple[Assembly, ...], items: tuple[PriceItem, ...] | None = None, **rules: Any
) -> PriceBook:
    """A price book with screws alone, unless given more."""
    return PriceBook(
        items=items if items is not None else (a_price(),),
        assemblies=assemblies,
        rules=price_rules(**rules),
        as_of=date(2026, 5, 1),
    )


def a_quantity(basis: str, amount: float, unit: Any = "each", item: str = "") -> Quantity:
    """A quantity without places."""
    return Quantity(basis=basis, item=item, amount=amount, unit=unit, places=(), why="by hand")


# A small job: 30 m2 of deck on pads, a wall, a planter, lights, an outlet and a gas stub.
SMALL_JOB: tuple[Quantity, ...] = (
    a_quantity("job.once", 1),
    a_quantity("carry.hours", 20),
    a_quantity("frame.pads", 150, item="PAD"),
    a_quantity("light.cable", 40, "m", "CABLE"),
    a_quantity("power.circuits", 1),
    a_quantity("gas.pipe", 10, "m"),
    a_quantity("deck.area", 30, "m2"),
    a_quantity("boards.fasteners", 1200, item="SCREW"),
    a_quantity("wall.area", 9, "m2"),
    a_quantity("planter.each", 2),
    a_quantity("bed.area", 4, "m2"),
    a_quantity("light.fixtures", 8, item="LIGHT"),
    a_quantity("power.outlets", 2),
)


def small_shop(**rules: Any) -> PriceBook:
    """A shop that can price the small job."""
    items = (
        a_price("SCREW", lead_days=2),
        a_price("PAD", pack=Decimal(20), pack_price=Decimal("22.00"), lead_days=8),
        a_price("CABLE", unit="m", pack=Decimal(30), pack_price=Decimal("58.00"), lead_days=3),
        a_price("LIGHT", pack=Decimal(1), pack_price=Decimal("31.00"), lead_days=12),
    )
    assemblies = (
        an_assembly("job.once", "preparation", labour("6"), money("equipment", "180")),
        an_assembly("carry.hours", "carry-up", labour("1")),
        an_assembly("frame.pads", "frame", material(waste="3"), labour("0.2")),
        an_assembly("light.cable", "rough-in", material(waste="10"), labour("0.05")),
        an_assembly("power.circuits", "rough-in", money("subcontract", "240")),
        an_assembly("gas.pipe", "rough-in", money("subcontract", "38")),
        an_assembly("deck.area", "boards", labour("0.8")),
        an_assembly("boards.fasteners", "boards", material(waste="5")),
        an_assembly("wall.area", "walls", labour("1.2")),
        an_assembly("planter.each", "planters", labour("5")),
        an_assembly("bed.area", "beds", labour("0.5")),
        an_assembly("light.fixtures", "fit-out", material(), labour("0.75")),
        an_assembly("power.outlets", "fit-out", money("subcontract", "185")),
        an_assembly("job.once", "clean-down", labour("4"), code="clean"),
    )
    return a_book(assemblies, items, **rules)


def an_estimate(quantities: tuple[Quantity, ...] = SMALL_JOB, **rules: Any) -> Estimate:
    """The small job, priced by the small shop."""
    return estimate_quantities(quantities, small_shop(**rules), TODAY)
