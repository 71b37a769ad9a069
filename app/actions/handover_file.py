"""The handover file as one PDF, and its secret address for the client."""

from datetime import date, datetime

from app.actions.brake import count_guess, refuse_guessers
from app.actions.database import Database
from app.actions.errors import NotFound
from app.actions.handover import completeness
from app.actions.log import hold_points_of, punch_list
from app.actions.plans import dated
from app.actions.records import StaffMember, WorkedOut
from app.actions.sheet import found, subject
from app.actions.takeoff import shop_of, work_out
from app.actions.tokens import new_token, token_hash
from app.agreement.records import Party
from app.build.handover import PAPERS
from app.documents.handover_file import HandoverInputs, handover_pdf
from app.documents.scale import scale_that_fits
from app.drawings.frame import frame_svg
from app.drawings.ground import MARGIN_MM
from app.drawings.plan import plan_svg
from app.drawings.rough_in import rough_in_svg
from app.measure.show import format_length
from app.store import audit, jobs, photos, secret_addresses
from app.store.day_records import SecretAddress

KIND = "handover"
_WIDE_MM, _HIGH_MM = 170.0, 150.0
_MOST_PHOTOS = 24
_GUESSES = 30


def handover_paper(db: Database, job_id: int, today: date) -> tuple[str, bytes]:
    """The handover file as it stands, with its name; what it lacks stands on its first page."""
    inputs = handover_inputs(db, job_id, today)
    return f"{inputs.job_number}-handover.pdf", handover_pdf(inputs)


def handover_inputs(db: Database, job_id: int, today: date) -> HandoverInputs:
    """All that the handover file holds."""
    worked = dated(db, work_out(db, job_id, today))
    file = completeness(db, job_id, today)
    _, firm = shop_of(db, today, worked.sheet.job)
    with db.read() as session:
        cards = [card for card in photos.photos(session, job_id) if card.is_before_cover]
        pictures = tuple(
            (f"{card.on.isoformat()}: {card.caption}", picture)
            for card in cards[:_MOST_PHOTOS]
            if (picture := photos.picture(session, job_id, card.id)) is not None
        )
    job, takeoff, system = worked.sheet.job, worked.answer.takeoff, worked.sheet.job.units
    scale = scale_that_fits(job, _WIDE_MM, _HIGH_MM, MARGIN_MM)
    holds = hold_points_of(db, worked)
    walked = next((hold.signed_at for hold in holds if hold.code == "walk-through"), None)
    names = {code: text for code, text, _ in PAPERS}
    client = worked.sheet.client
    return HandoverInputs(
        firm=firm.firm,
        client=Party(client.name, client.address, client.phone, client.email),
        job_number=worked.sheet.number,
        job_title=worked.sheet.title,
        site_address=client.address,
        plan_svg=plan_svg(job, takeoff, system, scale),
        rough_in_svg=rough_in_svg(job, takeoff, system, scale),
        frame_svg=frame_svg(job, takeoff, system, scale),
        pads=_pads(worked),
        products=tuple((line.name, line.supplier) for line in worked.answer.days.orders),
        holds=tuple(
            (
                hold.name,
                f"signed by {hold.signed_name}, {hold.signed_at:%Y-%m-%d}"
                if hold.signed_at
                else "not signed",
            )
            for hold in holds
        ),
        papers=tuple((names.get(paper.code, paper.code), paper.note) for paper in file.papers),
        missing=file.missing,
        photos=pictures,
        punch=tuple(
            (item.text, f"put right on {item.closed_on}" if item.closed_on else "open")
            for item in punch_list(db, job_id)
        ),
        warranty_from_on=walked.astimezone().date() if walked else None,
        wording=tuple(text for text in firm.wording if text.code == "care"),
        made_on=today,
    )


def make_handover_link(db: Database, staff: StaffMember, job_id: int, now: datetime) -> str:
    """Make the secret address of the handover file and give its token; an earlier one is withdrawn."""
    token = new_token()
    with db.write() as session:
        found(jobs.find_job(session, job_id), job_id)
        key = str(job_id)
        secret_addresses.add_address(session, KIND, key, token_hash(token), staff.name, now)
        audit.note(session, now, staff.name, "made the address of the handover file", subject(job_id))
    return token


def handover_link(db: Database, job_id: int) -> SecretAddress | None:
    """The open address of a handover file, or None."""
    with db.read() as session:
        return secret_addresses.live_addresses(session, KIND).get(str(job_id))


def handover_for(db: Database, token: str, now: datetime, address: str = "") -> tuple[str, bytes]:
    """The handover file behind a secret address; NotFound, TooOften."""
    limits = ((f"from {address}", _GUESSES),) if address else ()
    refuse_guessers(db, KIND, limits, now)
    with db.read() as session:
        opened = secret_addresses.opened(session, KIND, token_hash(token))
    if opened is None:
        count_guess(db, KIND, limits, now)
        raise NotFound("handover file", "at this address")
    return handover_paper(db, int(opened.key), now.astimezone().date())


def _pads(worked: WorkedOut) -> tuple[tuple[str, str, str], ...]:
    """The pads by kind and make-up: how many, and between which heights."""
    system = worked.sheet.job.units
    heights: dict[tuple[str, int, tuple[str, ...]], list[float]] = {}
    for pad in worked.answer.takeoff.framing.pads:
        heights.setdefault((pad.pad, pad.shims, pad.packers), []).append(pad.height_mm)
    rows = []
    for (pad_id, shims, packers), found_mm in sorted(heights.items()):
        on_top = [f"{shims} shims"] if shims else []
        made = ", ".join([pad_id, *packers, *on_top])
        span = f"{format_length(min(found_mm), system)} to {format_length(max(found_mm), system)}"
        rows.append((made, str(len(found_mm)), span))
    return tuple(rows)
