"""The proposal: drawing first, signature last, and after it an appendix with every figure behind it."""

import re
from datetime import date
from decimal import Decimal
from typing import Any

from app.agreement.cautions import client_cautions
from app.agreement.records import Wording
from app.agreement.terms import OfferTerms
from app.agreement.withdrawal import BLOCKED
from app.documents.parts import parts_of
from app.documents.records import ProposalInputs
from app.documents.render import pdf
from app.documents.scale import scale_that_fits
from app.documents.words import (
    day_of,
    drawing_in,
    figures_in,
    filled,
    instant_of,
    is_said,
    money_of,
    rate_of,
    words_of,
)
from app.drawings.ground import MARGIN_MM
from app.drawings.night import night_svg
from app.drawings.plan import plan_svg
from app.drawings.walls import wall_svgs
from app.job.job import Job
from app.pricing.records import PHASES
from app.pricing.shown import has_tax_inside, shown_lines, shown_phases, shown_total
from app.schedule.records import DayPlan

# Room for a drawing inside the frame that A4 and US Letter share, less head and title block.
_PLAN_WIDE_MM, _PLAN_HIGH_MM = 176.0, 172.0
_WALL_WIDE_MM = 150.0
_ID = re.compile(r'(\bid="|url\(#|href="#|\baria-(?:labelledby|describedby)=")')
_PARTICULARS = (
    ("salesperson", "Salesperson"),
    ("change_rule", "Changes"),
    ("permits", "Permits"),
    ("conditions", "Before work starts"),
    ("payment_methods", "Payment"),
    ("subcontractors", "Subcontractors"),
    ("insurance", "Insurance"),
    ("warranty", "Warranty"),
    ("escrow", "Escrow or bond"),
    ("lien_notice", "Liens"),
    ("complaints", "Complaints"),
)


def proposal_pdf(inputs: ProposalInputs) -> bytes:
    """Print a proposal; the same inputs give the same bytes."""
    job, answer, system = inputs.job, inputs.answer, inputs.job.units
    scale = scale_that_fits(job, _PLAN_WIDE_MM, _PLAN_HIGH_MM, MARGIN_MM)
    longest_wall = max((wall.length_mm for wall in answer.takeoff.layout.walls), default=0.0)
    wall_scale = 50.0 if longest_wall / 50 <= _WALL_WIDE_MM - 32 else 100.0
    wording = {text.code: text for text in inputs.wording}
    language = inputs.terms.language

    def draw(svg: str) -> str:
        return drawing_in(svg, language)

    context = {
        **vars(inputs),
        "plan": draw(plan_svg(job, answer.takeoff, system, scale)),
        "scale": scale,
        "walls": tuple((name, draw(svg)) for name, svg in wall_svgs(job, answer.takeoff, system, wall_scale)),
        "typed": _typed(job),
        "blocked": BLOCKED,
        "parts": parts_of(job, answer.takeoff.layout),
        "night": draw(night_svg(job, answer.takeoff, system, scale)) if job.plan.fixtures else "",
        # What the estimate found (prices grown old, figures set by hand) stays in the office.
        "findings": answer.takeoff.findings,
        "cautions": client_cautions(answer.takeoff.findings, names_of(job)),
        # The estimate's own assumptions tell wage, burden and margin: they stay in the office.
        "assumptions": answer.takeoff.assumptions + answer.days.assumptions,
        "text": wording.get,
        "other_wording": _rest(inputs.wording),
        "outline": outline_of(answer.days),
        "system": system,
        **_spoken(inputs),
        "priced": priced_parts(inputs),
        "tax_inside": has_tax_inside(answer.estimate),
        "particulars": particulars_of(inputs.terms),
        **_moved(inputs),
    }
    return pdf("proposal.html", context)


def _typed(job: Job) -> frozenset[str]:
    """Give the names that things of the plan were given; they are nobody's words but the office's."""
    return frozenset(names_of(job).values())


def names_of(job: Job) -> dict[str, str]:
    """Give the names of things of the plan that were given one, by their ids."""
    plan = job.plan
    flat = (*plan.deck_fields, *plan.feature_walls, *plan.stone_beds)
    things: tuple[Any, ...] = (*flat, *plan.planters, *plan.benches, *plan.counters, *plan.furniture)
    return {thing.id: thing.name for thing in things if thing.name}


def outline_of(days: DayPlan) -> tuple[tuple[str, date, date], ...]:
    """Give the first and the last day of each phase, in the order in which they begin."""
    spans: dict[str, tuple[date, date]] = {}
    for planned in days.tasks:
        phase = planned.task.phase
        if phase:
            first, last = spans.get(phase, (planned.start_on, planned.end_on))
            spans[phase] = (min(first, planned.start_on), max(last, planned.end_on))
    rows = ((phase.capitalize(), first, last) for phase, (first, last) in spans.items())
    return tuple(sorted(rows, key=lambda row: row[1:]))


def priced_parts(inputs: ProposalInputs) -> tuple[tuple[str, Decimal], ...]:
    """List the price at the detail the owner chose: one sum, phases, or lines; never cost."""
    estimate = inputs.answer.estimate
    if inputs.detail == "total":
        return (("Everything in this proposal", shown_total(estimate)),)
    if inputs.detail == "phase":
        return tuple((phase.capitalize(), price) for phase, price in shown_phases(estimate))
    return shown_lines(estimate)


def particulars_of(terms: OfferTerms) -> tuple[tuple[str, str], ...]:
    """List what the firm says on every offer, with its label; what is blank is left out."""
    said = ((label, str(getattr(terms, name))) for name, label in _PARTICULARS)
    return tuple((label, words) for label, words in said if words)


def _spoken(inputs: ProposalInputs) -> dict[str, object]:
    """Give what writes words, days and money in the language of the proposal."""
    language, currency = inputs.terms.language, inputs.revision.currency
    write = money_of(language)
    return {
        "_": words_of(language),
        "on": day_of(language),
        "at": instant_of(language),
        "fill": filled(language),
        "figures": lambda text: figures_in(text, language),
        "rate": rate_of(language),
        "is_said": lambda text: is_said(language, text),
        "money": lambda amount: write(amount, currency),
        "lang": language,
    }


def _moved(inputs: ProposalInputs) -> dict[str, object]:
    """Give what differs from the revision before: phases in money, and the plan as it was."""
    earlier = inputs.earlier
    if earlier is None:
        return {"moved": (), "earlier_plan": "", "is_redrawn": False}
    then = dict(earlier.phases)
    now = dict(shown_phases(inputs.answer.estimate))
    names = [phase for phase in PHASES if then.get(phase) != now.get(phase)]
    nothing = Decimal("0.00")
    plain = plan_svg(inputs.job, inputs.answer.takeoff, inputs.job.units)
    return {
        "moved": tuple(
            (name.capitalize(), then.get(name, nothing), now.get(name, nothing)) for name in names
        ),
        "earlier_plan": drawing_in(_with_own_ids(earlier.plan_svg), inputs.terms.language),
        "is_redrawn": plain != earlier.plan_svg,
    }


def _with_own_ids(svg: str) -> str:
    """Give a drawing whose ids are those of no other drawing in the document."""
    return _ID.sub(r"\g<1>then-", svg)


_PLACED = {"inclusions", "exclusions", "cautions", "care", "terms", "consent", "cancellation"}


def _rest(wording: tuple[Wording, ...]) -> tuple[Wording, ...]:
    return tuple(text for text in wording if text.code not in _PLACED)
