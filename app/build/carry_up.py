"""The carry-up of the delivery days: what goes up when, in which order, by the clock."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from app.takeoff.totals.records import Carry

_FIRST_H = 8.0  # where no hours are set: common practice, no source


@dataclass(frozen=True, slots=True)
class CarryStep:
    """One thing carried up.

    Attributes
    ----------
    on : date
    from_h, until_h : float
        By the clock; breaks are not in it. [h]
    item : str
        Item, material or piece of furniture; ``small goods`` together.
    mass_kg, longest_mm : float
        Longest is 0 where it does not matter. [kg] and [mm]
    trips : int
    """

    on: date
    from_h: float
    until_h: float
    item: str
    mass_kg: float
    longest_mm: float
    trips: int


def carry_up(
    carry: Carry, days: Sequence[tuple[date, float]], people: int, opens_h: float = 0.0
) -> tuple[CarryStep, ...]:
    """Give the carry-up of a job by day and clock.

    Parameters
    ----------
    carry : Carry
        What goes up, in how many trips.
    days : sequence of (date, float)
        Days of carrying, each with the hours of all people together.
    people : int
        Who carries.
    opens_h : float
        When the building lets it begin; 0 where it does not say. [h]

    Returns
    -------
    steps : tuple of CarryStep
        Longest pieces first, while arms are fresh and the way is clear; then the heaviest; small goods last.

    Notes
    -----
    The hours are shared among the things by their trips; a thing that does not fit a day goes on the next.

    References
    ----------
    Common practice, no source.
    """
    if not days or people < 1 or not carry.trips:
        return ()
    longest = dict(carry.longest)
    order = sorted(
        carry.items, key=lambda row: (row[0] == "small goods", -longest.get(row[0], 0.0), -row[1], row[0])
    )
    trips = sum(row[2] for row in order) or 1
    whole_h = sum(hours for _, hours in days)
    first_h = max(opens_h, _FIRST_H)
    ends = [(on, hours / people) for on, hours in days]
    steps: list[CarryStep] = []
    place, used_h = 0, 0.0
    for item, mass, count in order:
        left_h = whole_h * count / trips / people
        while place < len(ends) - 1 and used_h + left_h > ends[place][1] + 1e-9:
            place, used_h = place + 1, 0.0
        start_h = first_h + used_h
        used_h += left_h
        on, until_h = ends[place][0], first_h + used_h
        steps.append(CarryStep(on, start_h, until_h, item, mass, longest.get(item, 0.0), count))
    return tuple(steps)


def left_over(with_waste: Mapping[str, float], bought: Mapping[str, float]) -> dict[str, float]:
    """Give what is bought over what is needed, because packs are whole.

    Parameters
    ----------
    with_waste, bought : mapping of str to float
        By item, in its own unit.

    Returns
    -------
    left : dict of str to float
        Never below nothing.

    References
    ----------
    Definition.
    """
    return {item: max(0.0, amount - with_waste.get(item, 0.0)) for item, amount in bought.items()}
