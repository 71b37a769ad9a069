"""Known optima of public cases: PSPLIB, set J30 (sources at the head of ``psplib_j30.txt``)."""

from functools import cache
from pathlib import Path

import pytest

from app.schedule.network import FIRM, Network, Placed, Wait, Work
from app.schedule.search import solve

HORIZON = 400
CASES = Path(__file__).with_suffix(".txt")


def read_cases() -> dict[str, tuple[int, Network]]:
    lines = [line for line in CASES.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    found = {}
    for at in range(0, len(lines), 8):
        name, optimum = lines[at].split()
        rows = [[int(word) for word in line.split()] for line in lines[at + 1 : at + 7]]
        capacities, days, requests = rows[0], rows[1], rows[2:]
        followers = [[int(word) for word in part.split(",") if word] for part in lines[at + 7].split(";")]
        before: dict[int, list[Wait]] = {}
        for number, behind in enumerate(followers, start=1):
            for other in behind:
                before.setdefault(other, []).append(Wait(str(number)))
        works = tuple(
            Work(
                code=str(number),
                job="one",
                need=days[number - 1],
                calendar=FIRM,
                uses=tuple((f"r{r}", requests[r][number - 1]) for r in range(4) if requests[r][number - 1]),
                after=tuple(before.get(number, ())),
            )
            for number in range(1, len(days) + 1)
        )
        calendars = ((FIRM, (1,) * HORIZON),)
        capacity = tuple((f"r{r}", count) for r, count in enumerate(capacities))
        found[name] = int(optimum), Network(works, capacity, calendars)
    return found


READ = read_cases()


@cache
def solved(name: str) -> Placed:
    return solve(READ[name][1])


def length(placed: Placed) -> int:
    return max(placed.ends) + 1


def assert_kept(network: Network, placed: Placed) -> None:
    place = {work.code: number for number, work in enumerate(network.works)}
    for number, work in enumerate(network.works):
        assert placed.ends[number] - placed.starts[number] + 1 == work.need
        assert all(placed.starts[number] > placed.ends[place[wait.on]] for wait in work.after)
    for name, capacity in network.capacities:
        for day in range(length(placed)):
            used = sum(
                dict(work.uses).get(name, 0)
                for number, work in enumerate(network.works)
                if placed.starts[number] <= day <= placed.ends[number]
            )
            assert used <= capacity


@pytest.mark.parametrize("name", READ)
def test_a_plan_keeps_every_rule_and_is_never_shorter_than_the_known_optimum(name: str) -> None:
    optimum, network = READ[name]
    placed = solved(name)
    assert_kept(network, placed)
    assert optimum <= length(placed) <= optimum * 1.06


def test_plans_are_within_one_per_cent_of_the_optimum_on_average() -> None:
    gaps = [length(solved(name)) / optimum - 1 for name, (optimum, _) in READ.items()]
    assert sum(gaps) / len(gaps) <= 0.01
