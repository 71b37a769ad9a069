"""Goods of a job: what is needed, ordered, there, and still missing for a day."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from app.schedule.records import OrderLine


@dataclass(frozen=True, slots=True)
class Goods:
    """One item of a job.

    Attributes
    ----------
    line : OrderLine
        What is needed, and by when.
    ordered, came, damaged : int
        Packs. What came damaged is not in `came`.
    """

    line: OrderLine
    ordered: int
    came: int
    damaged: int

    @property
    def missing(self) -> int:
        """Packs still to come."""
        return max(0, self.line.packs - self.came)

    @property
    def to_order(self) -> int:
        """Packs that nobody has ordered, those that came damaged in."""
        return max(0, self.line.packs + self.damaged - self.ordered)


def goods_of(
    lines: Sequence[OrderLine],
    ordered: Mapping[str, int],
    came: Iterable[tuple[str, int, int]],
) -> tuple[Goods, ...]:
    """Give the goods of a job as they stand.

    Parameters
    ----------
    lines : sequence of OrderLine
        What the job needs.
    ordered : mapping of str to int
        Packs ordered, by item.
    came : iterable of (str, int, int)
        What came: item, packs, and how many of them damaged.

    Returns
    -------
    goods : tuple of Goods
        In the order of the lines.

    Raises
    ------
    ValueError
        If more packs of a delivery are damaged than came.

    References
    ----------
    Definition.
    """
    good: dict[str, int] = {}
    bad: dict[str, int] = {}
    for item, packs, damaged in came:
        if not 0 <= damaged <= packs:
            raise ValueError(f"{damaged} of {packs} packs of {item} cannot be damaged.")
        good[item] = good.get(item, 0) + packs - damaged
        bad[item] = bad.get(item, 0) + damaged
    return tuple(
        Goods(line, ordered.get(line.item, 0), good.get(line.item, 0), bad.get(line.item, 0))
        for line in lines
    )


def missing_for(goods: Iterable[Goods], on: date) -> tuple[Goods, ...]:
    """Give what should be on the roof on a day and is not.

    Parameters
    ----------
    goods : iterable of Goods
        As they stand.
    on : date
        The day.

    Returns
    -------
    missing : tuple of Goods
        Needed on that day or before.

    References
    ----------
    Definition.
    """
    return tuple(one for one in goods if one.missing and one.line.needed_on <= on)
