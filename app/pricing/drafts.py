"""Assemblies on measured bases: what each quantity brings, before packs and money."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from app.job.findings import Finding
from app.pricing.conditions import PlaceFacts, holds_at
from app.pricing.money import exact
from app.pricing.records import PHASES, Assembly, AssemblyPart, Kind, Phase
from app.takeoff.totals.records import Quantity


@dataclass(frozen=True, slots=True)
class Draft:
    """One part of one assembly on one measured amount.

    Attributes
    ----------
    id : str
        As the line's.
    phase, kind, text, assembly, basis, item : str
        As the line's.
    amount : Decimal
        Of the basis (for an item the basis names: of that item), in `unit`.
    unit : str
        Unit of the basis.
    part : AssemblyPart
    """

    id: str
    phase: Phase
    kind: Kind
    text: str
    assembly: str
    basis: str
    item: str
    amount: Decimal
    unit: str
    part: AssemblyPart


@dataclass(frozen=True, slots=True)
class Measured:
    """All there is of one basis.

    Attributes
    ----------
    unit : str
    amounts : tuple of (str, Decimal)
        Amount by item, the empty item included, in the order of the takeoff; none is zero.
    places : tuple of (str, str, Decimal)
        Item, place and amount there; empty where the takeoff names no places.
    """

    unit: str
    amounts: tuple[tuple[str, Decimal], ...]
    places: tuple[tuple[str, str, Decimal], ...] = ()


def measured_by_basis(quantities: Iterable[Quantity]) -> dict[str, Measured]:
    """Gather the quantities by what is measured.

    Parameters
    ----------
    quantities : iterable of Quantity
        From the takeoff.

    Returns
    -------
    measured : dict of str to Measured
        Bases with nothing measured are left out.

    References
    ----------
    Definition.
    """
    units: dict[str, str] = {}
    amounts: dict[str, dict[str, Decimal]] = {}
    places: dict[str, list[tuple[str, str, Decimal]]] = {}
    for quantity in quantities:
        amount = exact(quantity.amount)
        if not amount:
            continue
        units.setdefault(quantity.basis, quantity.unit)
        of_basis = amounts.setdefault(quantity.basis, {})
        of_basis[quantity.item] = of_basis.get(quantity.item, Decimal(0)) + amount
        places.setdefault(quantity.basis, []).extend(
            (quantity.item, part.place, exact(part.amount)) for part in quantity.places
        )
    return {
        basis: Measured(units[basis], tuple(of_basis.items()), tuple(places[basis]))
        for basis, of_basis in amounts.items()
    }


def draft_lines(
    measured: Mapping[str, Measured], assemblies: Iterable[Assembly], facts: Iterable[PlaceFacts] = ()
) -> tuple[Draft, ...]:
    """Hang the assemblies on what was measured.

    Parameters
    ----------
    measured : mapping of str to Measured
        Amounts by basis.
    assemblies : iterable of Assembly
        The shop's.
    facts : iterable of PlaceFacts
        What conditions are held against.

    Returns
    -------
    drafts : tuple of Draft
        By phase, and in the shop's order within it; parts that come to nothing are left out.

    References
    ----------
    Definition.
    """
    by_place = {fact.place: fact for fact in facts}
    ordered = sorted(assemblies, key=lambda assembly: PHASES.index(assembly.phase))
    return tuple(
        draft
        for assembly in ordered
        if assembly.basis in measured
        for number, part in enumerate(assembly.parts, start=1)
        for draft in _drafts_of(assembly, number, part, _where(assembly, measured[assembly.basis], by_place))
        if draft.amount * part.rate
    )


def gap_findings(
    measured: Mapping[str, Measured], assemblies: Iterable[Assembly], facts: Iterable[PlaceFacts] = ()
) -> tuple[Finding, ...]:
    """Say what was measured and is not priced, so that nothing is left out unseen.

    Parameters
    ----------
    measured : mapping of str to Measured
        Amounts by basis.
    assemblies : iterable of Assembly
        The shop's; one without parts says that its basis costs nothing of its own.
    facts : iterable of PlaceFacts
        What conditions are held against.

    Returns
    -------
    findings : tuple of Finding
        A check for each basis without an assembly, and for each item named that no assembly buys.

    References
    ----------
    Definition.
    """
    by_basis: dict[str, list[Assembly]] = {}
    for assembly in assemblies:
        by_basis.setdefault(assembly.basis, []).append(assembly)
    by_place = {fact.place: fact for fact in facts}
    findings = []
    for basis, amounts in measured.items():
        if basis not in by_basis:
            findings.append(_no_assembly(basis, amounts))
        elif not _buys(by_basis[basis]):
            items = [item for item, _ in amounts.amounts if item]
            findings += [_not_bought(basis, item) for item in items]
        findings += _places_left_out(basis, amounts, by_basis.get(basis, []), by_place)
    return tuple(findings)


def _drafts_of(assembly: Assembly, number: int, part: AssemblyPart, measured: Measured) -> list[Draft]:
    """Give the drafts of one part: one, or one for each item that the basis names."""
    names_items = part.kind == "material" and not part.item
    whole = sum((amount for _, amount in measured.amounts), Decimal(0))
    wanted = [(item, amount) for item, amount in measured.amounts if item] if names_items else [("", whole)]
    plain_id = f"{assembly.phase}/{assembly.code}/{number}"
    return [
        Draft(
            id=f"{plain_id}/{item}" if item else plain_id,
            phase=assembly.phase,
            kind=part.kind,
            text=part.text,
            assembly=assembly.code,
            basis=assembly.basis,
            item=item or part.item,
            amount=amount,
            unit=measured.unit,
            part=part,
        )
        for item, amount in wanted
    ]


def _where(assembly: Assembly, measured: Measured, facts: Mapping[str, PlaceFacts]) -> Measured:
    """Give the part of a basis that lies where an assembly holds."""
    if not assembly.when:
        return measured
    amounts: dict[str, Decimal] = {}
    for item, place, amount in measured.places:
        if holds_at(assembly, place, facts):
            amounts[item] = amounts.get(item, Decimal(0)) + amount
    return Measured(measured.unit, tuple(amounts.items()))


def _places_left_out(
    basis: str, measured: Measured, assemblies: list[Assembly], facts: Mapping[str, PlaceFacts]
) -> list[Finding]:
    """Say at which places no assembly of a basis holds."""
    if not assemblies or not all(assembly.when for assembly in assemblies):
        return []
    places = dict.fromkeys(place for _, place, _ in measured.places)
    left = [place for place in places if not any(holds_at(one, place, facts) for one in assemblies)]
    return [
        Finding(
            code="pricing.place-not-priced",
            grade="check",
            place=place,
            text=f"{basis} was measured at {place}, but the conditions of its assemblies all leave it out.",
            source="the shop's assemblies",
        )
        for place in left
    ]


def _buys(assemblies: Iterable[Assembly]) -> bool:
    """Tell whether what a basis names is paid for in some way, or said to cost nothing."""
    parts = [part for assembly in assemblies for part in assembly.parts]
    return not parts or any(part.kind in ("material", "subcontract", "allowance") for part in parts)


def _no_assembly(basis: str, measured: Measured) -> Finding:
    """Say that a basis has a quantity and no assembly."""
    whole = sum((amount for _, amount in measured.amounts), Decimal(0))
    return Finding(
        code="pricing.no-assembly",
        grade="check",
        place="job",
        text=(
            f"{whole:f} {measured.unit} of {basis} was measured, but no assembly prices it. Add one, or one "
            "without parts if it costs nothing of its own."
        ),
        value=float(whole),
        unit=measured.unit,
        source="the shop's assemblies",
    )


def _not_bought(basis: str, item: str) -> Finding:
    """Say that an item is named and nothing buys it."""
    return Finding(
        code="pricing.item-not-bought",
        grade="check",
        place="job",
        text=f"{basis} needs {item}, but its assemblies hold labour alone: nothing buys it.",
        source="the shop's assemblies",
    )
