"""A revision: the offer frozen under a number, with its fingerprint, its payments and its last day."""

from collections.abc import Sequence
from datetime import date, timedelta

from app.agreement.fingerprint import fingerprint
from app.agreement.records import Revision
from app.agreement.stages import DepositCap, payment_stages
from app.pricing.records import Estimate, PriceRules


def valid_until(offered_on: date, validity_days: int) -> date:
    """Give the last day an offer holds.

    Parameters
    ----------
    offered_on : date
        The day it was made; it does not count.
    validity_days : int
        Calendar days. [days]

    Returns
    -------
    last_on : date
        The offer holds to the end of this day.

    Examples
    --------
    >>> valid_until(date(2026, 5, 4), 30)
    datetime.date(2026, 6, 3)

    References
    ----------
    Definition.
    """
    return offered_on + timedelta(days=validity_days)


def make_revision(
    number: int,
    offered_on: date,
    estimate: Estimate,
    rules: PriceRules,
    frozen: object,
    cap: DepositCap | None = None,
) -> Revision:
    """Freeze an offer.

    Parameters
    ----------
    number : int
        One more than the revision before.
    offered_on : date
        The day it is made.
    estimate : Estimate
        Its price.
    rules : PriceRules
        Validity, deposit and holdback.
    frozen : object
        All inputs and results that the offer binds; the fingerprint is theirs.
    cap : DepositCap or None
        The most that may be asked for as a deposit.

    Returns
    -------
    revision : Revision
        The same for the same inputs.

    Raises
    ------
    ValueError
        If a stop stands in the estimate, or the total is zero.

    References
    ----------
    Definition.
    """
    stops = [finding.text for finding in estimate.findings if finding.grade == "stop"]
    if stops:
        raise ValueError(f"An estimate with stops is not offered: {' '.join(stops)}")
    if estimate.total <= 0:
        raise ValueError(f"A total of {estimate.total} is not offered.")
    return Revision(
        number=number,
        offered_on=offered_on,
        valid_until_on=valid_until(offered_on, rules.validity_days),
        fingerprint=fingerprint(frozen),
        total=estimate.total,
        currency=estimate.currency,
        stages=payment_stages(estimate.total, estimate.phases, rules.deposit_pct, rules.holdback_pct, cap),
    )


def has_run_out(revision: Revision, today: date) -> bool:
    """Tell whether an offer no longer holds.

    Parameters
    ----------
    revision : Revision
        The offer.
    today : date
        In the site's time zone.

    Returns
    -------
    has_run_out : bool
        False on its last day, true from the day after.

    References
    ----------
    Definition.
    """
    return today > revision.valid_until_on


def is_superseded(revision: Revision, numbers: Sequence[int]) -> bool:
    """Tell whether a newer revision of the same job exists.

    Parameters
    ----------
    revision : Revision
        The offer.
    numbers : sequence of int
        Numbers of all the job's revisions.

    Returns
    -------
    is_superseded : bool
        Whatever became of the newer one.

    References
    ----------
    Definition.
    """
    return any(number > revision.number for number in numbers)
