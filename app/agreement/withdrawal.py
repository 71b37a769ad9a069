"""The clock of the right to cancel: how many days of which kind, and the last of them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

DayKind = Literal["calendar", "business with Saturday", "business Monday to Friday"]
StartEvent = Literal["signed", "copy delivered", "goods delivered", "information given"]
SUNDAY = 6
SATURDAY = 5
ONE_DAY = timedelta(days=1)
# When the sources of the presets were last gathered; they are to be read again, see `presets`.
READ_ON = date(2026, 11, 25)
MONTHS = 12
OWN = "own"  # code of a clock that the firm set itself

# While the clock runs, whatever the preset. Common practice, after the laws named in the presets.
BLOCKED: tuple[str, ...] = (
    "order anything that cannot be returned",
    "start work",
    "bank the deposit in the operating account",
)


@dataclass(frozen=True, slots=True)
class WithdrawalRule:
    """One law's clock. Every preset must be checked against local law before it is relied on.

    Attributes
    ----------
    code, name : str
    count : int
        Days after the day of the event.
    day_kind : str
        Which days count; holidays never count as business days.
    starts_when : str
        Event whose day is day 0.
    more_months : int
        Added when the information on the right was not given; 0 where the law read says nothing. The
        law's own words may set another end: ask counsel.
    source : str
        Law, how it was read, and the year; ends with "check local law".
    holidays : str
        Country or part by ISO 3166 whose public holidays are no business days; empty where none count.
    read_on : date or None
        When the source was last read; None for a rule that the firm set itself without a day.
    """

    code: str
    name: str
    count: int
    day_kind: DayKind
    starts_when: StartEvent
    more_months: int
    source: str
    holidays: str = ""
    read_on: date | None = None


@dataclass(frozen=True, slots=True)
class WithdrawalClock:
    """The clock of one agreement on one day.

    Attributes
    ----------
    last_day_on : date
        The right ends at local midnight at the end of this day.
    is_running : bool
    days_left : int
        Calendar days, today included; 0 when it has ended. [days]
    blocked : tuple of str
        What must not be done while it runs.
    has_begun : bool
        False while the event it starts from has not come; the last day is then the earliest there can be.
    """

    last_day_on: date
    is_running: bool
    days_left: int
    blocked: tuple[str, ...]
    has_begun: bool = True


PRESETS: tuple[WithdrawalRule, ...] = (
    WithdrawalRule(
        "us-federal",
        "United States, sale at the buyer's home",
        3,
        "business with Saturday",
        "signed",
        0,
        "16 CFR 429.0 and 429.1: business days are all but Sunday and federal holidays; rule text read 2026; "
        "check local law",
        "US",
        READ_ON,
    ),
    WithdrawalRule(
        "us-ca",
        "California home improvement",
        3,
        "business with Saturday",
        "signed",
        0,
        "California Business and Professions Code §7159, from a copy, 2026; day kind from memory; "
        "check local law",
        "US",
        READ_ON,
    ),
    WithdrawalRule(
        "us-ca-senior",
        "California home improvement, client of 65 or over",
        5,
        "business with Saturday",
        "signed",
        0,
        "California Business and Professions Code §7159, from a copy, 2026; day kind from memory; "
        "check local law",
        "US",
        READ_ON,
    ),
    WithdrawalRule(
        "us-ny",
        "New York home improvement",
        3,
        "business with Saturday",
        "signed",
        0,
        "New York General Business Law §771, from a copy, 2026; day kind from memory; check local law",
        "US",
        READ_ON,
    ),
    WithdrawalRule(
        "us-ma",
        "Massachusetts home improvement",
        3,
        "business with Saturday",
        "signed",
        0,
        "Massachusetts General Laws c. 93 §48, from memory, 2026; check local law",
        "US",
        READ_ON,
    ),
    WithdrawalRule(
        "ca-on",
        "Ontario direct agreement",
        10,
        "calendar",
        "copy delivered",
        12,
        "Ontario Consumer Protection Act 2002 by the ministry's guide, read 2026; a new act awaits its "
        "regulations; check local law",
        "",
        READ_ON,
    ),
    WithdrawalRule(
        "gb",
        "United Kingdom, off-premises or distance contract for services",
        14,
        "calendar",
        "signed",
        12,
        "Consumer Contracts Regulations 2013 (SI 2013/3134), from copies, 2026; check local law",
        "",
        READ_ON,
    ),
    WithdrawalRule(
        "eu",
        "European Union, off-premises or distance contract for services",
        14,
        "calendar",
        "signed",
        12,
        "Directive 2011/83/EU, Articles 9 and 10, from memory, 2026; check local law",
        "",
        READ_ON,
    ),
    WithdrawalRule(
        "sg",
        "Singapore direct sale",
        5,
        "business Monday to Friday",
        "signed",
        0,
        "Singapore cancellation regulations: five days without Saturday, Sunday and holidays; read 2026; "
        "check local law",
        "SG",
        READ_ON,
    ),
)


def preset(code: str) -> WithdrawalRule:
    """Give the rule of one place.

    Parameters
    ----------
    code : str
        Of the presets.

    Returns
    -------
    rule : WithdrawalRule
        Check local law.

    Raises
    ------
    KeyError
        If there is none by that code.

    References
    ----------
    Each rule names its own.
    """
    for rule in PRESETS:
        if rule.code == code:
            return rule
    raise KeyError(f"There is no preset {code}; known are {', '.join(rule.code for rule in PRESETS)}.")


def last_day(
    rule: WithdrawalRule, started_on: date, holidays: Iterable[date], is_informed: bool = True
) -> date:
    """Give the last day on which the client may cancel.

    Parameters
    ----------
    rule : WithdrawalRule
        Which days count, and how many.
    started_on : date
        Day of the event, in the site's time zone; it does not count itself.
    holidays : iterable of date
        Days that are no business days; give both the holiday and its observed day to be on the safe side.
    is_informed : bool
        Whether the client was told of the right as the law asks.

    Returns
    -------
    last_on : date
        The right ends at local midnight at the end of it.

    Examples
    --------
    Signed on Friday 3 July 2026, with Saturday the 4th a holiday: Monday, Tuesday, Wednesday.

    >>> last_day(preset("us-federal"), date(2026, 7, 3), [date(2026, 7, 4)])
    datetime.date(2026, 7, 8)

    References
    ----------
    The rule's source.
    """
    off = frozenset(holidays)
    day, counted = started_on, 0
    while counted < rule.count:
        day += ONE_DAY
        counted += _counts(day, rule.day_kind, off)
    return day if is_informed else add_months(day, rule.more_months)


def clock(
    rule: WithdrawalRule,
    started_on: date,
    holidays: Iterable[date],
    today: date,
    is_informed: bool = True,
) -> WithdrawalClock:
    """Give the clock of an agreement as it stands on a day.

    Parameters
    ----------
    rule : WithdrawalRule
        Which days count, and how many.
    started_on : date
        Day of the event, in the site's time zone.
    holidays : iterable of date
        Days that are no business days.
    today : date
        In the site's time zone.
    is_informed : bool
        Whether the client was told of the right as the law asks.

    Returns
    -------
    clock : WithdrawalClock
        Running to the end of its last day.

    References
    ----------
    The rule's source; what is blocked is common practice, no source.
    """
    last_on = last_day(rule, started_on, holidays, is_informed)
    is_running = today <= last_on
    return WithdrawalClock(
        last_day_on=last_on,
        is_running=is_running,
        days_left=(last_on - today).days + 1 if is_running else 0,
        blocked=BLOCKED if is_running else (),
    )


def add_months(on: date, months: int) -> date:
    """Give the same day some months later, or the last day of that month if it is shorter.

    Parameters
    ----------
    on : date
        The day.
    months : int
        Not negative.

    Returns
    -------
    day : date
        Never in the month after.

    Examples
    --------
    >>> add_months(date(2026, 1, 31), 1)
    datetime.date(2026, 2, 28)

    References
    ----------
    Definition.
    """
    years, month = divmod(on.month - 1 + months, MONTHS)
    first = date(on.year + years, month + 1, 1)
    next_month = date(first.year + first.month // MONTHS, first.month % MONTHS + 1, 1)
    return min(first + timedelta(days=on.day - 1), next_month - ONE_DAY)


def _counts(day: date, kind: DayKind, holidays: frozenset[date]) -> bool:
    """Tell whether a day counts."""
    if kind == "calendar":
        return True
    free = (SUNDAY,) if kind == "business with Saturday" else (SATURDAY, SUNDAY)
    return day.weekday() not in free and day not in holidays
