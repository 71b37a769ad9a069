"""Money on the way: which payments fall due, invoices with numbers without gaps, what came in."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from app.actions.change_orders import ChangesView, changes_view
from app.actions.clock import day_of
from app.actions.costs import CostView, cost_view
from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.frozen import FrozenResults, read_results
from app.actions.log import hours, punch_list
from app.actions.plans import dated, progress_of
from app.actions.records import StaffMember
from app.actions.sheet import found, subject
from app.actions.takeoff import firm_of, work_out
from app.agreement.records import Party, PaymentStage
from app.build.progress import (
    PhaseOutlook,
    StageState,
    done_by_phase,
    outlook_by_phase,
    stage_states,
)
from app.documents.invoice import InvoiceInputs, invoice_pdf
from app.pricing.records import Estimate
from app.pricing.taxes import tax_within
from app.store import audit, invoices, jobs, offers, site
from app.store.day_records import Invoice, Receipt

DAYS_TO_PAY = 14
_TRIES = 5
_TAX_ON_CONTRACT = "Tax on the contract is in the amount, in proportion to the contract. Check local law."
_TAX_ON_MATERIALS = "Tax was paid on materials when they were bought; no tax is added. Check local law."
_NO_TAX = "No tax is added. Check local law."


@dataclass(frozen=True, slots=True)
class MoneyView:
    """What falls due, what was invoiced and what came in, and cost against plan."""

    stages: tuple[StageState, ...]
    invoices: tuple[Invoice, ...]
    currency: str
    contract_total: Decimal
    invoiced: Decimal
    received: Decimal
    outlook: tuple[PhaseOutlook, ...]
    costs: CostView

    @property
    def by_stage(self) -> dict[str, Invoice]:
        """Invoices by the stage they are for."""
        return {one.stage: one for one in self.invoices}


def money_view(db: Database, job_id: int, today: date) -> MoneyView:
    """Money on the way of a job; Refused when nothing is signed."""
    view = changes_view(db, job_id, today)
    worked = dated(db, work_out(db, job_id, today))
    with db.read() as session:
        made = invoices.invoices(session, job_id)
        log = site.entries(session, job_id)
        released = frozenset(site.releases(session, job_id))
    tasks = [planned.task for planned in worked.answer.days.tasks]
    done = done_by_phase(tasks, progress_of(log))
    punch = punch_list(db, job_id)
    states = stage_states(
        _stages(db, view),
        done,
        released,
        frozenset(task.code for task in tasks if task.is_hold_point),
        is_punch_clear=all(item.closed_on for item in punch),
    )
    outlook = outlook_by_phase(hours(db, job_id, today), done)
    return MoneyView(
        stages=states,
        invoices=made,
        currency=view.currency,
        contract_total=view.whole.total,
        invoiced=sum((one.amount for one in made), Decimal(0)),
        received=sum((one.received for one in made), Decimal(0)),
        outlook=outlook,
        costs=cost_view(db, worked, outlook, done),
    )


def make_invoice(db: Database, staff: StaffMember, job_id: int, stage: str, now: datetime) -> int:
    """Make the invoice of a stage that is due and give its number; Refused when it is not, or made before."""
    today = day_of(now)
    view = money_view(db, job_id, today)
    state = next((one for one in view.stages if one.stage.code == stage), None)
    if state is None:
        raise NotFound("payment stage", stage)
    if not state.is_due:
        raise Refused(f"“{state.stage.text}” is not due: {state.why}.")
    if stage in view.by_stage:
        raise Refused(f"Invoice {view.by_stage[stage].number} was made for it.")
    firm = firm_of(db)
    signed = _signed(db, changes_view(db, job_id, today)).estimate
    with db.read() as session:
        job = found(jobs.find_job(session, job_id), job_id)
        number = invoices.next_number(session)
    for _ in range(_TRIES):
        due_on = today + timedelta(days=DAYS_TO_PAY)
        made = invoice_pdf(
            InvoiceInputs(
                firm=firm.firm,
                client=Party(job.client.name, job.client.address, job.client.phone, job.client.email),
                job_number=job.number,
                job_title=job.title,
                number=number,
                title=state.stage.text,
                amount=state.stage.amount,
                contract_total=view.contract_total,
                invoiced_before=view.invoiced,
                currency=view.currency,
                tax_words=_tax_words(signed),
                taxes=tax_within(signed.taxes, signed.total, view.invoiced, state.stage.amount)
                if signed.contract_tax
                else (),
                made_on=today,
                due_on=due_on,
            )
        )
        with db.write() as session:
            found(jobs.find_job(session, job_id, for_change=True), job_id)
            if any(one.stage == stage for one in invoices.invoices(session, job_id)):
                raise Refused("Somebody made this invoice meanwhile.")
            # Printed under one number and kept under that number, or printed again: no gap, no number twice.
            next_number = invoices.next_number(session)
            if next_number == number:
                new = Invoice(
                    number,
                    job_id,
                    stage,
                    state.stage.text,
                    state.stage.amount,
                    view.currency,
                    today,
                    due_on,
                    now,
                    staff.name,
                )
                invoices.add_invoice(session, new, made)
                what = f"made invoice {number}: {state.stage.amount} {view.currency}, {state.stage.text}"
                audit.note(session, now, staff.name, what, subject(job_id))
                return number
        number = next_number
    raise Refused("Others are making invoices at this moment; try again.")


def note_receipt(
    db: Database,
    staff: StaffMember,
    job_id: int,
    number: int,
    on: date,
    amount: Decimal,
    note: str,
    now: datetime,
) -> None:
    """Note money that came in for an invoice of a job; a wrong one is put right by another with a minus."""
    if amount == 0 or amount != amount.quantize(Decimal("0.01")):
        raise Refused(f"{amount} is no sum of money; give it to the cent.")
    with db.write() as session:
        invoice = invoices.find(session, number)
        if invoice is None or invoice.job_id != job_id:
            raise NotFound("invoice", number)
        if invoice.received + amount < 0:
            raise Refused("That would be less than nothing received.")
        invoices.add_receipt(
            session, number, Receipt(0, number, on, amount, note.strip()[:400], now, staff.name)
        )
        what = f"received {amount} {invoice.currency} for invoice {number}"
        audit.note(session, now, staff.name, what, subject(job_id))


def invoice_paper(db: Database, job_id: int, number: int) -> tuple[str, bytes]:
    """One invoice of a job, exactly as it was made; NotFound."""
    with db.read() as session:
        made = invoices.pdf_of(session, job_id, number)
    if made is None:
        raise NotFound("invoice", number)
    return f"invoice-{number}.pdf", made


def _signed(db: Database, view: ChangesView) -> FrozenResults:
    """What came out of the signed revision, as frozen."""
    with db.read() as session:
        frozen = offers.frozen_with(session, view.difference.revision.id)
    assert frozen is not None
    return read_results(frozen.results)


def _tax_words(signed: Estimate) -> str:
    """Say how tax is in the signed price, whatever the shop's rules are today."""
    if signed.contract_tax:
        return _TAX_ON_CONTRACT
    return _TAX_ON_MATERIALS if signed.purchase_tax else _NO_TAX


def _stages(db: Database, view: ChangesView) -> tuple[PaymentStage, ...]:
    """The payments of the signed revision, and one for each signed change."""
    stages = _signed(db, view).stages
    base = view.difference.revision.number
    changed = [
        PaymentStage(f"change {one.number}", f"Change order {one.number}: {one.title}", one.price_change)
        for one in view.orders
        if one.state == "signed" and one.document.get("base_revision") == base and one.price_change
    ]
    last = next((place for place, one in enumerate(stages) if one.code == "holdback"), len(stages))
    return (*stages[:last], *changed, *stages[last:])
