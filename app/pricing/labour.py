"""What an hour of work costs, and how many hours there are: wage, burden, mix, efficiency, way up."""

from dataclasses import replace
from decimal import Decimal

from app.job.survey import WayUp
from app.pricing.records import PriceRules

# The average score for which the published rates of the source are meant.
USUAL_SCORE = Decimal(67)
SCORED: tuple[str, ...] = (
    "workload",
    "site area",
    "labour",
    "supervision",
    "job conditions",
    "weather",
    "equipment",
    "logistics",
)
LEAST_SCORE, BEST_SCORE = 25, 100
# Up in the morning, down and up for two breaks, down at night: common practice, no source.
WALKS_A_DAY = Decimal(3)
MINUTES = Decimal(60)
RATE_GRAIN = Decimal("0.0001")


def to_rate(people: Decimal, output: Decimal) -> Decimal:
    """Give hours per unit from what a crew makes in an hour.

    Parameters
    ----------
    people : Decimal
        How many work at it together.
    output : Decimal
        Units that they make in an hour.

    Returns
    -------
    rate : Decimal
        Hours of one person for a unit, to the ten-thousandth; 0 where nothing is made.

    Examples
    --------
    >>> to_rate(Decimal(2), Decimal("3.5"))
    Decimal('0.5714')

    References
    ----------
    Definition of a rate of production.
    """
    return (people / output).quantize(RATE_GRAIN) if output else Decimal(0)


def labour_rate(rules: PriceRules) -> Decimal:
    """Give what one hour of labour costs the firm.

    Parameters
    ----------
    rules : PriceRules
        Wage and burden, or the crew's mix.

    Returns
    -------
    rate : Decimal
        Wage with its burden, per hour, not rounded.

    Notes
    -----
    With a mix: the sum of share × wage × (1 + burden) over the sum of the shares.

    References
    ----------
    Definition of labour burden as a share of the bare wage.
    """
    if not rules.mix:
        return rules.wage * (1 + rules.burden_pct / 100)
    shares = sum((worker.share for worker in rules.mix), Decimal(0))
    paid = sum(
        (worker.share * worker.wage * (1 + worker.burden_pct / 100) for worker in rules.mix), Decimal(0)
    )
    return paid / shares


def delay_factor(scores: tuple[int, ...]) -> Decimal:
    """Give what hours are multiplied by where work goes better or worse than usual.

    Parameters
    ----------
    scores : tuple of int
        Eight scores of 25 to 100, in the order of `SCORED`; none: 1. [%]

    Returns
    -------
    factor : Decimal
        67 over the average score.

    Raises
    ------
    ValueError
        If there are not eight, or one is out of range.

    Examples
    --------
    >>> delay_factor((50,) * 8), delay_factor((80,) * 8)
    (Decimal('1.34'), Decimal('0.8375'))

    References
    ----------
    NAVEDTRA 14045 and 14233 after NAVFAC P-405: eight elements, 25 to 100, average 67. The names of the
    elements and the form of the ratio are from memory.
    """
    if not scores:
        return Decimal(1)
    if len(scores) != len(SCORED) or not all(LEAST_SCORE <= score <= BEST_SCORE for score in scores):
        raise ValueError(f"{scores} are not {len(SCORED)} scores of {LEAST_SCORE} to {BEST_SCORE}.")
    return USUAL_SCORE * len(scores) / sum(scores)


def access_factor_of(way_up: WayUp, day_h: float, set_up_h: Decimal) -> Decimal:
    """Give what hours are multiplied by for getting up and down, setting up and clearing.

    Parameters
    ----------
    way_up : WayUp
        With the minutes of one trip there and back.
    day_h : float
        Paid hours of one person in a day. [h]
    set_up_h : Decimal
        Of these, for setting up and clearing. [h]

    Returns
    -------
    factor : Decimal
        Paid hours over hours at work, to the thousandth, never below 1.

    Raises
    ------
    ValueError
        If the walking and the setting up leave less than a quarter of the day.

    Notes
    -----
    factor = day / (day − set-up − 3 × minutes of a trip / 60): three trips for a person and day. Carrying
    is apart; the engine counts it.

    References
    ----------
    Common practice, no source.
    """
    day = Decimal(repr(day_h))
    left = day - set_up_h - WALKS_A_DAY * Decimal(repr(way_up.minutes_per_trip_min)) / MINUTES
    if left * 4 < day:
        raise ValueError(f"Of {day_h} h a day only {left:.2f} h are left to work.")
    return max(Decimal(1), (day / left).quantize(Decimal("0.001")))


def rules_on_site(rules: PriceRules, way_up: WayUp, day_h: float) -> PriceRules:
    """Give the rules with the access factor of one site.

    Parameters
    ----------
    rules : PriceRules
        The shop's.
    way_up : WayUp
        Of the survey.
    day_h : float
        Paid hours of one person in a day. [h]

    Returns
    -------
    rules : PriceRules
        The same, unless the shop takes the factor from the way up.

    References
    ----------
    Definition; see `access_factor_of`.
    """
    if rules.access_by == "shop":
        return rules
    return replace(rules, access_factor=access_factor_of(way_up, day_h, rules.set_up_h))
