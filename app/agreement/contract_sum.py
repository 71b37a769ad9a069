"""The running contract sum: what was signed, with every change that was signed since."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class ChangeAmount:
    """One change order.

    Attributes
    ----------
    number : int
    title, state : str
        ``verbal``, ``offered``, ``signed``, ``declined`` or ``taken back``.
    price_change : Decimal
    days_change : int
        Working days. [days]
    """

    number: int
    title: str
    state: str
    price_change: Decimal
    days_change: int


@dataclass(frozen=True, slots=True)
class ContractSum:
    """What the contract comes to.

    Attributes
    ----------
    base : Decimal
        Of the signed revision.
    signed, waiting, verbal : Decimal
        Changes signed, sent and not answered, and only spoken of.
    total : Decimal
        Base and signed changes: what the client owes.
    days_change : int
        Working days of the signed changes. [days]
    unsigned : tuple of int
        Numbers of the changes that are not settled.
    """

    base: Decimal
    signed: Decimal
    waiting: Decimal
    verbal: Decimal
    total: Decimal
    days_change: int
    unsigned: tuple[int, ...]


def contract_sum(base: Decimal, changes: Iterable[ChangeAmount]) -> ContractSum:
    """Give what a contract comes to.

    Parameters
    ----------
    base : Decimal
        Total of the signed revision.
    changes : iterable of ChangeAmount
        All change orders made since.

    Returns
    -------
    whole : ContractSum
        Nothing that is not signed is in the total.

    Examples
    --------
    >>> more = ChangeAmount(1, "wider deck", "signed", Decimal("120.50"), 1)
    >>> contract_sum(Decimal("1000.00"), [more]).total
    Decimal('1120.50')

    References
    ----------
    Definition.
    """
    rows = tuple(changes)

    def added(state: str) -> Decimal:
        return sum((row.price_change for row in rows if row.state == state), Decimal(0))

    return ContractSum(
        base=base,
        signed=added("signed"),
        waiting=added("offered"),
        verbal=added("verbal"),
        total=base + added("signed"),
        days_change=sum(row.days_change for row in rows if row.state == "signed"),
        unsigned=tuple(row.number for row in rows if row.state in ("verbal", "offered")),
    )
