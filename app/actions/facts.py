"""What is known of a job when it is to be moved to another state."""

from datetime import date

from app.actions.cancel import clock_of, rule_of
from app.actions.database import Database
from app.actions.frozen import read_inputs
from app.actions.log import hold_points_of
from app.actions.records import JobSheet, RevisionCard, WorkedOut
from app.actions.starting import NOT_MEASURED
from app.actions.takeoff import work_out
from app.agreement.states import JobFacts, JobState
from app.agreement.withdrawal import WithdrawalClock
from app.store import offers, shop
from app.whole_job import WholeJob


def facts_for(db: Database, sheet: JobSheet, state: JobState, today: date, reason: str = "") -> JobFacts:
    """Gather what the move to `state` depends on; the job is worked out only when the move asks for it."""
    with db.read() as session:
        cards = offers.list_revisions(session, sheet.id, today)
    newest = cards[0] if cards else None
    # A change that is offered after signing does not take the signature away.
    signed = newest.sign_off if newest and state == "signed" else any(card.sign_off for card in cards)
    worked = work_out(db, sheet.id, today) if state in {"priced", "offered", "handed over"} else None
    return JobFacts(
        has_survey=is_measured(sheet),
        has_price=bool(worked and worked.answer.estimate.lines),
        open_stops=stops_of(worked) if worked else (),
        has_live_offer=newest is not None and newest.state in {"live", "signed"},
        is_signed=bool(signed),
        is_withdrawal_running=state == "on the roof" and _may_still_cancel(db, cards, today),
        open_hold_points=tuple(point.name for point in hold_points_of(db, worked) if point.signed_at is None)
        if worked and state == "handed over"
        else (),
        reason=reason,
    )


def _may_still_cancel(db: Database, cards: tuple[RevisionCard, ...], today: date) -> bool:
    """Tell whether the clock runs on the first signature; without a rule of law there is none."""
    found = _clock(db, cards, today)
    return found is not None and found.is_running


def cancel_clock(db: Database, job_id: int, today: date) -> WithdrawalClock | None:
    """Give the running clock of the right to cancel what was signed; None when none runs."""
    with db.read() as session:
        cards = offers.list_revisions(session, job_id, today)
    found = _clock(db, cards, today)
    return found if found is not None and found.is_running else None


def _clock(db: Database, cards: tuple[RevisionCard, ...], today: date) -> WithdrawalClock | None:
    """The clock of the first signature that holds: by the law frozen with it, else the shop's of today."""
    holding = [card for card in cards if card.sign_off]
    if not holding:
        return None
    with db.read() as session:
        frozen = offers.frozen_with(session, holding[-1].id)
        assert frozen is not None
        rule = rule_of(shop.read_shop(session))
        return clock_of(session, holding[-1], read_inputs(frozen.inputs), today, rule)


def is_measured(sheet: JobSheet) -> bool:
    """Tell whether somebody put their name to the survey."""
    return sheet.job.survey.surveyed_by not in {"", NOT_MEASURED}


def stops_of(worked: WorkedOut) -> tuple[str, ...]:
    """Give the sentence of every stop that stands in a job that is worked out."""
    return stops_in(worked.answer)


def stops_in(answer: WholeJob) -> tuple[str, ...]:
    """Give the sentence of every stop that stands in an answer, with its place."""
    findings = answer.takeoff.findings + answer.estimate.findings + answer.days.findings
    return tuple(f"{found.place}: {found.text}" for found in findings if found.grade == "stop")
