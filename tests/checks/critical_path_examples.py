"""Networks with known answers.

Hendrickson, Project Management for Construction, the nine-activity project: activities, durations and
forerunners as printed; the late days computed from them (a solved copy in circulation leaves out that G comes
before I; its late days for D, E and G are wrong).
Second example: a course sheet, every value as printed (weak authority).
Made networks: the longest path by networkx, an independent program for graphs.
"""

import random

import networkx
import pytest

from app.schedule.critical_path import Activity, critical_path, longest_chain

HENDRICKSON = {
    "A": (4, "", 0, 4, 0, 4, 0),
    "B": (3, "", 0, 3, 9, 12, 9),
    "C": (8, "A", 4, 12, 4, 12, 0),
    "D": (7, "A", 4, 11, 15, 22, 11),
    "E": (9, "BC", 12, 21, 13, 22, 1),
    "F": (12, "BC", 12, 24, 12, 24, 0),
    "G": (2, "DE", 21, 23, 22, 24, 1),
    "H": (5, "DE", 21, 26, 25, 30, 4),
    "I": (6, "FG", 24, 30, 24, 30, 0),
}
COURSE_SHEET = {
    "A": (3, ""),
    "B": (5, "A"),
    "C": (8, "A"),
    "D": (10, "B"),
    "E": (5, "B"),
    "F": (7, "C"),
    "G": (12, "D"),
    "H": (8, "EF"),
    "I": (3, "GH"),
}


def network(rows: dict[str, tuple[int, str]]) -> list[Activity]:
    return [Activity(code, days, tuple((b, 0) for b in before)) for code, (days, before) in rows.items()]


NINE = network({code: (row[0], row[1]) for code, row in HENDRICKSON.items()})


@pytest.mark.parametrize("code", HENDRICKSON, ids=lambda code: f"hendrickson-{code}")
def test_early_late_and_float_of_hendricksons_project(code: str) -> None:
    times = next(times for times in critical_path(NINE) if times.code == code)
    found = (times.early_start, times.early_finish, times.late_start, times.late_finish, times.float_days)
    assert found == HENDRICKSON[code][2:]


def test_the_critical_path_of_hendricksons_project() -> None:
    assert longest_chain(NINE) == ("A", "C", "F", "I")


def test_the_course_sheet_takes_33_days() -> None:
    times = {each.code: each for each in critical_path(network(COURSE_SHEET))}
    assert times["I"].early_finish == 33
    assert longest_chain(network(COURSE_SHEET)) == ("A", "B", "D", "G", "I")
    floats = {code: each.float_days for code, each in times.items() if each.float_days}
    assert floats == {"C": 4, "E": 9, "F": 4, "H": 4}


def made_network(seed: int) -> list[Activity]:
    """Thirty activities, each after up to four earlier ones, with lags."""
    chance = random.Random(seed)
    made = []
    for number in range(30):
        earlier = chance.sample(range(number), min(number, chance.randint(0, 4)))
        after = tuple((f"t{before}", chance.randint(0, 3)) for before in earlier)
        made.append(Activity(f"t{number}", chance.randint(0, 9), after))
    return made


@pytest.mark.parametrize("seed", range(10), ids=lambda seed: f"networkx-made-{seed}")
def test_dates_equal_the_longest_path_of_networkx(seed: int) -> None:
    activities = made_network(seed)
    days = {activity.code: activity.days for activity in activities}
    graph = networkx.DiGraph()
    for activity in activities:
        graph.add_edge("start", activity.code, weight=0)
        graph.add_edge(activity.code, "end", weight=activity.days)
        for before, lag in activity.after:
            graph.add_edge(before, activity.code, weight=days[before] + lag)
    length = networkx.dag_longest_path_length(graph)
    times = critical_path(activities)
    assert max(each.early_finish for each in times) == length
    for each in times:
        to_here = graph.subgraph(networkx.ancestors(graph, each.code) | {each.code})
        from_here = graph.subgraph(networkx.descendants(graph, each.code) | {each.code})
        assert each.early_start == networkx.dag_longest_path_length(to_here)
        assert each.late_start == length - networkx.dag_longest_path_length(from_here)
