"""One crew on one task at a time."""

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from app.schedule.critical_path import Activity
from app.schedule.serial_rule import order_crew


@st.composite
def networks(draw: st.DrawFn) -> tuple[list[Activity], frozenset[str]]:
    count = draw(st.integers(1, 10))
    made = []
    for number in range(count):
        earlier = draw(st.lists(st.integers(0, number - 1), max_size=3, unique=True)) if number else []
        after = tuple((f"t{before}", draw(st.integers(0, 2))) for before in earlier)
        made.append(Activity(f"t{number}", draw(st.integers(1, 5)), after))
    crew = frozenset(activity.code for activity in made if draw(st.booleans()))
    return made, crew


@settings(max_examples=50, deadline=None)
@given(networks())
def test_the_crew_is_never_in_two_places(made: tuple[list[Activity], frozenset[str]]) -> None:
    activities, crew = made
    order = order_crew(activities, crew)
    spans = sorted((t.early_start, t.early_finish) for t in order.times if t.code in crew)
    assert all(end <= start for (_, end), (start, _) in pairwise(spans))


@settings(max_examples=50, deadline=None)
@given(networks())
def test_links_are_kept_and_only_the_crews_are_added(
    made: tuple[list[Activity], frozenset[str]],
) -> None:
    activities, crew = made
    order = order_crew(activities, crew)
    times = {each.code: each for each in order.times}
    for activity, linked in zip(activities, order.activities, strict=True):
        assert set(activity.after) <= set(linked.after)
        assert {code for code, _ in linked.after} - {code for code, _ in activity.after} <= crew
        assert all(
            times[code].early_finish + lag <= times[activity.code].early_start for code, lag in activity.after
        )


def test_the_more_urgent_task_goes_first() -> None:
    activities = [Activity("short", 1), Activity("long", 1), Activity("cure", 9, (("long", 0),))]
    order = order_crew(activities, frozenset({"short", "long"}))
    starts = {each.code: each.early_start for each in order.times}
    assert (starts["long"], starts["short"]) == (0, 1)


def test_a_gap_is_used_when_it_is_long_enough() -> None:
    activities = [
        Activity("a", 1),
        Activity("b", 5, (("a", 4),)),
        Activity("fits", 3),
        Activity("does not", 2, (("fits", 0),)),
        Activity("outsider", 9, (("b", 0),)),
    ]
    order = order_crew(activities, frozenset({"a", "b", "fits", "does not"}))
    starts = {each.code: each.early_start for each in order.times}
    assert starts == {"a": 0, "b": 5, "fits": 1, "does not": 10, "outsider": 10}


def test_an_order_that_the_rule_missed_is_found_by_moving_one_task() -> None:
    # By urgency b is held for day 5 and "more" waits until 10: 12 days. Done before b it is 11.
    activities = [
        Activity("a", 1),
        Activity("b", 5, (("a", 4),)),
        Activity("fits", 3),
        Activity("more", 2, (("fits", 0),)),
    ]
    order = order_crew(activities, frozenset({"a", "b", "fits", "more"}))
    assert max(each.early_finish for each in order.times) == 11
