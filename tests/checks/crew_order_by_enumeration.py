"""The serial rule against every order that the crew could work in.

Source: enumeration. All orders of the crew's tasks that keep the links are tried, each with the critical path
of the network in that order; the shortest is the optimum for one crew on one task at a time.
"""

import random
from collections.abc import Iterator

import pytest

from app.schedule.critical_path import Activity, critical_path
from app.schedule.links import STEPS, present_links
from app.schedule.serial_rule import order_crew

OUTSIDE = {step.code for step in STEPS if step.hold_by}
LINKS = present_links(frozenset(step.code for step in STEPS))


def a_roof(seed: int) -> tuple[list[Activity], frozenset[str]]:
    """Our own network with made days, some phases missing."""
    chance = random.Random(seed)
    present = frozenset(
        step.code for step in STEPS if step.code in ("frame", "walk-through") or chance.random() < 0.85
    )
    links = present_links(present)
    made = [Activity(code, 1 if code in OUTSIDE else chance.randint(1, 6), links[code]) for code in links]
    return made, frozenset(present - OUTSIDE)


def orders(activities: list[Activity], crew: frozenset[str]) -> Iterator[tuple[str, ...]]:
    """Every order of the crew's tasks in which none stands before one it waits for."""
    before: dict[str, set[str]] = {}
    for activity in activities:  # given in the order of the work
        before[activity.code] = {c for code, _ in activity.after for c in ({code} | before[code])}

    def grow(done: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
        left = [code for code in crew if code not in done]
        if not left:
            yield done
        for code in sorted(left):
            if before[code] & crew <= set(done):
                yield from grow((*done, code))

    yield from grow(())


def length_of(activities: list[Activity], order: tuple[str, ...]) -> int:
    previous = dict(zip(order[1:], order, strict=False))
    linked = [
        Activity(a.code, a.days, (*a.after, (previous[a.code], 0)) if a.code in previous else a.after)
        for a in activities
    ]
    return max(times.early_finish for times in critical_path(linked))


@pytest.mark.parametrize("seed", range(25), ids=lambda seed: f"enumeration-roof-{seed}")
def test_the_serial_rule_finds_the_shortest_plan_of_a_roof(seed: int) -> None:
    activities, crew = a_roof(seed)
    shortest = min(length_of(activities, order) for order in orders(activities, crew))
    found = max(times.early_finish for times in order_crew(activities, crew).times)
    assert found == shortest
