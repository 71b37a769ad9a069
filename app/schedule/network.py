"""The work of many jobs as one network: what waits for what, who is needed, which days each can use."""

from collections.abc import Sequence
from dataclasses import dataclass

FIRM = "firm"


@dataclass(frozen=True, slots=True)
class Wait:
    """One thing that a piece of work waits for.

    Attributes
    ----------
    on : str
        Code of the work that goes before.
    lag_days : int
        Full working days of the firm that pass in between. [days]
    overlap_days : int
        By so many days it may start before the other is finished; it starts and ends at least one day later
        than the other all the same. [days]
    """

    on: str
    lag_days: int = 0
    overlap_days: int = 0


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work that is not broken off, though days off may lie within.

    Attributes
    ----------
    code : str
    job : str
        Work of one job ends together.
    need : int
        How much of its calendar's supply it uses up: crew minutes, or days.
    calendar : str
    uses : tuple of (str, int)
        Crews and hoists held from the first day to the last, each with how many of it.
    after : tuple of Wait
    not_before : int
        First day it may start. [days from the network's first]
    """

    code: str
    job: str
    need: int
    calendar: str
    uses: tuple[tuple[str, int], ...] = ()
    after: tuple[Wait, ...] = ()
    not_before: int = 0


@dataclass(frozen=True, slots=True)
class Network:
    """Everything that is planned together; days are counted from 0.

    Attributes
    ----------
    works : tuple of Work
    capacities : tuple of (str, int)
        How many there are of each crew or hoist.
    calendars : tuple of (str, tuple of int)
        Supply of each day, all equally long; ``firm`` must be there when a wait has a lag.
    due : tuple of (str, int)
        Last day promised, by job.
    sites : tuple of (str, str)
        Site by job, for counting moves; a job without one is its own site.
    start_by : tuple of (str, int)
        Day promised for the start, by code of the work.
    crews : frozenset of str
        Those of the capacities whose idle days and moves count.
    end_by : tuple of (str, int)
        Last day promised, by code of the work.
    """

    works: tuple[Work, ...]
    capacities: tuple[tuple[str, int], ...]
    calendars: tuple[tuple[str, tuple[int, ...]], ...]
    due: tuple[tuple[str, int], ...] = ()
    sites: tuple[tuple[str, str], ...] = ()
    crews: frozenset[str] = frozenset()
    start_by: tuple[tuple[str, int], ...] = ()
    end_by: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """First and last day of every piece of work, in the order of the network.

    Attributes
    ----------
    starts, ends : tuple of int
        Work that needs nothing ends the day before it starts.
    """

    starts: tuple[int, ...]
    ends: tuple[int, ...]


class HorizonTooShort(ValueError):
    """The calendars end before the work does."""


class Supply:
    """One calendar made ready: sums of supply, and the next day that has some."""

    __slots__ = ("next_on", "sums")

    def __init__(self, days: Sequence[int]) -> None:
        sums = [0]
        for amount in days:
            sums.append(sums[-1] + amount)
        next_on = [len(days)] * (len(days) + 1)
        for day in range(len(days) - 1, -1, -1):
            next_on[day] = day if days[day] > 0 else next_on[day + 1]
        self.sums = sums
        self.next_on = next_on


class Fields:
    """How many of each crew and hoist are held, packed into one whole number: some bits for each day.

    The highest bit of a field is kept free: adding what is wanted and ``spare`` sets it exactly when more
    would be held than there are.
    """

    __slots__ = ("full", "high", "ones", "shifts", "spare", "width")

    def __init__(self, caps: Sequence[int]) -> None:
        self.shifts, self.spare, self.high, at = [], 0, 0, 0
        for cap in caps:
            bits = cap.bit_length() + 1
            self.shifts.append(at)
            self.spare |= ((1 << (bits - 1)) - 1 - cap) << at
            self.high |= 1 << (at + bits - 1)
            at += bits
        self.width = at
        self.ones = [0]
        self.full = (1 << at) - 1

    def claim(self, uses: Sequence[tuple[int, int]]) -> int:
        """Give what one piece of work holds on each of its days."""
        return sum(many << self.shifts[resource] for resource, many in uses)

    def days(self, count: int) -> int:
        """Give a 1 in the lowest bit of so many days in a row."""
        while len(self.ones) <= count:
            self.ones.append(self.ones[-1] << self.width | 1)
        return self.ones[count]


class Ready:
    """A network made ready for many passes: numbers for names, both directions of every wait."""

    __slots__ = (
        "before",
        "behind",
        "caps",
        "claims",
        "fields",
        "firm_days",
        "firm_seen",
        "horizon",
        "jobs",
        "need",
        "not_before",
        "supply",
        "uses",
    )

    def __init__(self, network: Network) -> None:
        place = {work.code: number for number, work in enumerate(network.works)}
        if len(place) != len(network.works):
            raise ValueError("Two pieces of work share a code.")
        resources = {name: number for number, (name, _) in enumerate(network.capacities)}
        made = {name: Supply(days) for name, days in network.calendars}
        self.caps = [count for _, count in network.capacities]
        self.fields = Fields(self.caps)
        self.horizon = len(network.calendars[0][1]) if network.calendars else 0
        self.need = [work.need for work in network.works]
        self.supply = [made[work.calendar] for work in network.works]
        self.uses = [[(resources[name], many) for name, many in work.uses if many] for work in network.works]
        self.claims = [self.fields.claim(uses) for uses in self.uses]
        self.not_before = [work.not_before for work in network.works]
        names = {job: number for number, job in enumerate(dict.fromkeys(w.job for w in network.works))}
        self.jobs = [names[work.job] for work in network.works]
        self.before: list[list[tuple[int, int, int]]] = [
            [(place[wait.on], wait.lag_days, wait.overlap_days) for wait in work.after]
            for work in network.works
        ]
        self.behind = _turned(self.before)
        firm = dict(network.calendars).get(FIRM, ())
        self.firm_days = [day for day, amount in enumerate(firm) if amount > 0]
        self.firm_seen = [0]
        for amount in firm:
            self.firm_seen.append(self.firm_seen[-1] + (amount > 0))

    def after_lag(self, end: int, lag: int) -> int:
        """Give the first day after so many full working days that follow an end."""
        place = self.firm_seen[end + 1] + lag - 1
        if place >= len(self.firm_days):
            raise HorizonTooShort(f"The calendar ends before {lag} working days after day {end}.")
        return self.firm_days[place] + 1

    def turned(self) -> "Ready":
        """Give the same network with time running the other way."""
        other = object.__new__(Ready)
        other.caps, other.need, other.uses, other.jobs = self.caps, self.need, self.uses, self.jobs
        other.fields, other.claims = self.fields, self.claims
        other.horizon = self.horizon
        other.before, other.behind = self.behind, self.before
        other.not_before = [0] * len(self.need)
        different = {id(supply): supply for supply in self.supply}
        backwards = {key: Supply(_supplied(supply)[::-1]) for key, supply in different.items()}
        other.supply = [backwards[id(supply)] for supply in self.supply]
        other.firm_days = [self.horizon - 1 - day for day in reversed(self.firm_days)]
        other.firm_seen = [0]
        worked = set(other.firm_days)
        for day in range(self.horizon):
            other.firm_seen.append(other.firm_seen[-1] + (day in worked))
        return other


def _supplied(supply: Supply) -> list[int]:
    """Give the supply of each day back from its sums."""
    return [high - low for low, high in zip(supply.sums, supply.sums[1:], strict=False)]


def _turned(before: list[list[tuple[int, int, int]]]) -> list[list[tuple[int, int, int]]]:
    """Give for each the ones that wait for it."""
    behind: list[list[tuple[int, int, int]]] = [[] for _ in before]
    for number, waits in enumerate(before):
        for on, lag, overlap in waits:
            behind[on].append((number, lag, overlap))
    return behind
