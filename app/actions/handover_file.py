"""The handover file as one PDF, and its secret address for the client."""

from datetime import date, datetime

from app.actions.built_ways import deviations_of, drawn_ways, ways_of
from app.actions.database import Database
from app.actions.handover import completeness
from app.actions.log import hold_points_of, punch_list
from app.actions.plans import dated
from app.actions.records import StaffMember, WorkedOut
from app.actions.rough_in import run_checks_of
from app.actions.sheet import found, subject
from app.actions.takeoff import firm_of, work_out
from app.actions.tokens import new_token, token_hash
from app.agreement.records import Party
from app.build.by_tape import BuiltWay
from app.build.care import care_calendar
from app.build.deviations import Deviation
from app.build.handover import PAPERS
from app.build.warranty import warranty_rows
from app.documents.contact_sheet import small_photos
from app.documents.handover_file import HandoverInputs, RunRow, handover_pdf
from app.documents.scale import scale_that_fits
from app.drawings.frame import frame_svg
from app.drawings.ground import MARGIN_MM
from app.drawings.plan import plan_svg
from app.drawings.rough_in import rough_in_svg
from app.measure.show import format_length
from app.store import audit, handover, jobs, photos, secret_addresses
from app.store.day_records import SecretAddress

KIND = "handover"
_WIDE_MM, _HIGH_MM = 170.0, 150.0


def handover_paper(db: Database, job_id: int, today: date) -> tuple[str, bytes]:
    """The handover file as it stands, with its name; what it lacks stands on its first page."""
    inputs = handover_inputs(db, job_id, today)
    return f"{inputs.job_number}-handover.pdf", handover_pdf(inputs)


def handover_inputs(db: Database, job_id: int, today: date) -> HandoverInputs:
    """All that the handover file holds."""
    worked = dated(db, work_out(db, job_id, today))
    file = completeness(db, job_id, today)
    firm = firm_of(db)
    with db.read() as session:
        terms = handover.warranty_terms(session)
        cards = [card for card in photos.photos(session, job_id) if card.is_before_cover]
        pictures = small_photos(
            (f"{card.on.isoformat()}: {card.caption}" if card.caption else card.on.isoformat(), picture)
            for card in cards
            if (picture := photos.picture(session, job_id, card.id)) is not None
        )
    job, takeoff, system = worked.sheet.job, worked.answer.takeoff, worked.sheet.job.units
    scale = scale_that_fits(job, _WIDE_MM, _HIGH_MM, MARGIN_MM)
    noted = deviations_of(db, worked)
    ways = ways_of(worked, noted)
    holds = hold_points_of(db, worked)
    walked = next((hold.signed_at for hold in holds if hold.code == "walk-through"), None)
    from_on = walked.astimezone().date() if walked else None
    names = {code: text for code, text, _ in PAPERS}
    client = worked.sheet.client
    return HandoverInputs(
        firm=firm.firm,
        client=Party(client.name, client.address, client.phone, client.email),
        job_number=worked.sheet.number,
        job_title=worked.sheet.title,
        site_address=client.address,
        plan_svg=plan_svg(job, takeoff, system, scale),
        rough_in_svg=rough_in_svg(job, takeoff, system, scale, built=drawn_ways(ways)),
        frame_svg=frame_svg(job, takeoff, system, scale),
        pads=_pads(worked),
        runs=_runs(db, worked, noted, ways),
        has_ways=bool(drawn_ways(ways)),
        places=_places(worked),
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
        warranty_from_on=from_on,
        warranty=warranty_rows(_bought(worked), terms, from_on),
        warranty_words=firm.terms.warranty,
        care=care_calendar(
            (one.basis for one in takeoff.totals.quantities if one.amount),
            job.survey.place.latitude_deg if job.survey.place else None,
        ),
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


def _pads(worked: WorkedOut) -> tuple[tuple[str, str, str, str], ...]:
    """The pads as scheduled: mark on the drawing, how many, made up of what and cut to, and their heights."""
    job, system = worked.sheet.job, worked.sheet.job.units
    kinds = {pad.id: pad for pad in job.choices.pads}
    pedestals = {pedestal.id: pedestal.name or pedestal.id for pedestal in job.choices.pedestals}
    rows = []
    for band in worked.answer.takeoff.framing.pad_schedule:
        pad = kinds[band.pad]
        size = f"{format_length(pad.length_mm, system)} × {format_length(pad.width_mm, system)}"
        stands_on = pedestals.get(band.pedestal) or f"{pad.name or band.pad} cut to {size}"
        on_top = [f"{band.shims} {'shim' if band.shims == 1 else 'shims'}"] if band.shims else []
        heights = {one.item: format_length(one.height_mm, system) for one in pad.packers}
        between = [f"packer {heights[item]}" for item in band.packers]
        made = ", ".join([stands_on, *between, *on_top])
        least, greatest = (format_length(high, system) for high in (band.least_mm, band.greatest_mm))
        rows.append(
            (band.mark, str(band.pads), made, least if least == greatest else f"{least} to {greatest}")
        )
    return tuple(rows)


def _runs(
    db: Database, worked: WorkedOut, noted: dict[str, Deviation], ways: dict[str, BuiltWay]
) -> tuple[RunRow, ...]:
    """The hidden runs as built: tag, ends, size, length, and who saw, photographed and tested each."""
    system = worked.sheet.job.units
    checks = {one.run: one for one in run_checks_of(db, worked)}
    rows = []
    for pull in worked.answer.takeoff.rough_in.pulls:
        ticks = [(what, tick) for what, tick in checks[pull.run].checks if tick is not None]
        done = "; ".join(f"{what} {tick.by} {tick.at:%Y-%m-%d}" for what, tick in ticks)
        open_checks = ", ".join(checks[pull.run].missing)
        lacking = f"not ticked: {open_checks}" if open_checks else ""
        away = noted.get(pull.run)
        moved = _moved(away, ways.get(pull.run), system) if away else ""
        told = "; ".join(part for part in (moved, done, lacking) if part)
        ends = f"{pull.from_id} – {pull.to_id}"
        size = f"{pull.size}, {pull.conduit} conduit" if pull.conduit else pull.size
        rows.append(RunRow(pull.run, ends, size, format_length(pull.length_mm, system), told))
    return tuple(rows)


def _moved(away: Deviation, way: BuiltWay | None, system: str) -> str:
    """Say where a run lies, and what the drawing shows of it."""
    said = f"lies elsewhere than planned: {away.words} ({away.by}, {away.on})"
    if way is None:
        return f"{said}; said in words, so the drawing shows it as planned"
    if way.fault:
        return f"{said}; the drawing shows it as planned, since {way.fault}"
    longer = "longer" if way.more_mm >= 0 else "shorter"
    return f"{said}; drawn as measured, {format_length(abs(way.more_mm), system)} {longer} on plan"


def _places(worked: WorkedOut) -> tuple[tuple[str, str, str, str, str], ...]:
    """Where every device lies by tape from the two corners A and B of the drawing."""
    system = worked.sheet.job.units

    def size(length_mm: float | None) -> str:
        return "" if length_mm is None else format_length(length_mm, system)

    return tuple(
        (row.thing, row.kind, size(row.from_a_mm), size(row.from_b_mm), size(row.height_mm))
        for row in worked.answer.takeoff.rough_in.set_out
    )


def _bought(worked: WorkedOut) -> tuple[tuple[str, str], ...]:
    """The measured basis and the name of everything bought."""
    names = {item.item: item.name for item in worked.prices.items}
    return tuple(
        (line.basis, names.get(line.item, line.text))
        for line in worked.answer.estimate.lines
        if line.kind == "material" and line.packs
    )
