"""Direct cost against plan, by phase and kind: planned, ordered, spent, and what is still to come."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from app.pricing.money import share_out, to_cents
from app.pricing.records import KINDS, PHASES, EstimateLine

Cell = tuple[str, str]  # phase and kind
_NOTHING = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class CostRow:
    """The direct cost of one kind in one phase.

    Attributes
    ----------
    phase, kind : str
        Phase is empty for what was spent without saying for what.
    planned, ordered, spent : Decimal
        Estimated, on purchase orders, and billed or worked.
    to_finish, at_finish : Decimal
        Still to come, and spent with it: the two always differ by what is spent.
    """

    phase: str
    kind: str
    planned: Decimal
    ordered: Decimal
    spent: Decimal
    to_finish: Decimal
    at_finish: Decimal


def planned_costs(lines: Iterable[EstimateLine]) -> dict[Cell, Decimal]:
    """Give what each phase is estimated to cost, by kind.

    Parameters
    ----------
    lines : iterable of EstimateLine
        Of the estimate.

    Returns
    -------
    planned : dict of (str, str) to Decimal
        By phase and kind, before tax.

    References
    ----------
    Definition.
    """
    found: dict[Cell, Decimal] = {}
    for line in lines:
        key = (line.phase, line.kind)
        found[key] = found.get(key, _NOTHING) + line.cost
    return found


def ordered_costs(lines: Sequence[EstimateLine], packs: Mapping[str, int]) -> dict[Cell, Decimal]:
    """Give what stands on purchase orders by phase, at the prices of the estimate.

    Parameters
    ----------
    lines : sequence of EstimateLine
        Of the estimate; those of material count.
    packs : mapping of str to int
        Packs ordered, by item.

    Returns
    -------
    ordered : dict of (str, str) to Decimal
        By phase; what serves several phases is shared among them by their cost, to the cent.

    References
    ----------
    Definition of the largest-remainder method.
    """
    found: dict[Cell, Decimal] = {}
    for item, count in packs.items():
        of_item = [line for line in lines if line.kind == "material" and line.item == item and line.packs]
        wanted = sum((line.packs for line in of_item), Decimal(0))
        cost = sum((line.cost for line in of_item), _NOTHING)
        if not wanted or not cost:
            continue
        whole = to_cents(cost * count / wanted)
        for line, part in zip(of_item, share_out(whole, [line.cost for line in of_item]), strict=True):
            key = (line.phase, "material")
            found[key] = found.get(key, _NOTHING) + part
    return found


def cost_rows(
    planned: Mapping[Cell, Decimal],
    ordered: Mapping[Cell, Decimal],
    spent: Mapping[Cell, Decimal],
    labour_at_finish: Mapping[str, Decimal],
    done_pct: Mapping[str, float],
) -> tuple[CostRow, ...]:
    """Give direct cost against plan.

    Parameters
    ----------
    planned, ordered, spent : mapping of (str, str) to Decimal
        By phase and kind.
    labour_at_finish : mapping of str to Decimal
        What labour of a phase will have cost, from hours noted over the share done.
    done_pct : mapping of str to float
        How far each phase is. [%]

    Returns
    -------
    rows : tuple of CostRow
        In the order of the work; cells with nothing in them are left out.

    Notes
    -----
    At finish = the greatest of planned, ordered and spent; spent alone once the phase is done. Labour is at
    finish what its hours say, and never less than spent. To finish = at finish − spent.

    References
    ----------
    Common practice, no source: forecast = spent + what is left.
    """
    rows = []
    for phase in (*PHASES, ""):
        for kind in KINDS:
            key = (phase, kind)
            plan, order, paid = (cells.get(key, _NOTHING) for cells in (planned, ordered, spent))
            if not (plan or order or paid):
                continue
            if done_pct.get(phase, 0.0) >= 100.0 or not phase:
                end = paid
            elif kind == "labour":
                end = max(labour_at_finish.get(phase, plan), paid)
            else:
                end = max(plan, order, paid)
            rows.append(CostRow(phase, kind, plan, order, paid, end - paid, end))
    return tuple(rows)


def whole_cost(rows: Iterable[CostRow], phase: str = "job", kind: str = "") -> CostRow:
    """Add rows up.

    Parameters
    ----------
    rows : iterable of CostRow
        Any of them.
    phase, kind : str
        What the sum is called.

    Returns
    -------
    whole : CostRow

    References
    ----------
    Definition.
    """
    cells = tuple(rows)

    def added(values: Iterable[Decimal]) -> Decimal:
        return sum(values, _NOTHING)

    return CostRow(
        phase,
        kind,
        added(row.planned for row in cells),
        added(row.ordered for row in cells),
        added(row.spent for row in cells),
        added(row.to_finish for row in cells),
        added(row.at_finish for row in cells),
    )
