"""After the client has signed: copies to both, the firm's own signature, and what the client looked at."""

from datetime import datetime, timedelta

from app.actions.clock import day_at
from app.actions.database import Database
from app.actions.door import open_link
from app.actions.errors import NotFound, Refused
from app.actions.frozen import FrozenInputs, read_inputs
from app.actions.mail import Letter, mail_server, send
from app.actions.records import RevisionCard, StaffMember
from app.actions.sheet import subject
from app.agreement.records import CounterSign
from app.documents.certificate import CertificateInputs, certificate_pdf
from app.documents.words import day_of, instant_of, money_of, words_of
from app.store import audit, links, offers, signed
from app.store.links import Opening
from app.store.sessions import Session

# What of the page can be noted as looked at; anything else that is sent is dropped.
PARTS = (
    "plan",
    "places",
    "walls",
    "night",
    "options",
    "price",
    "stages",
    "cautions",
    "days",
    "terms",
    "copy",
    "questions",
    "cancellation",
    "sign",
)
_AGAIN = timedelta(hours=1)


def saw(db: Database, cookie: str, part: str, now: datetime) -> None:
    """Note that a part of the page was looked at, once an hour at most; LinkClosed."""
    if part not in PARTS:
        return
    with db.write() as session:
        opening = open_link(session, cookie, now)
        links.saw(session, opening.link.id, f"looked at: {part}", now, now - _AGAIN)


def events_of(db: Database, job_id: int, now: datetime) -> dict[int, tuple[tuple[datetime, str], ...]]:
    """What was done through each link of a job, in order."""
    with db.read() as session:
        cards = links.list_links(session, job_id, now)
        return {card.id: links.events(session, card.id) for card in cards}


def counter_sign(
    db: Database, staff: StaffMember, revision_id: int, name: str, now: datetime
) -> RevisionCard:
    """Put the firm's name below the client's; doing so again changes nothing. Refused, NotFound."""
    name = name.strip()
    if not any(letter.isalpha() for letter in name):
        raise Refused("Type the name of whoever signs for the firm.")
    with db.write() as session:
        offers.lock_revision(session, revision_id)
        card, _ = _card(session, revision_id, now)
        if card.cancelled is not None:
            raise Refused("The client has cancelled; there is nothing to sign any more.")
        if card.sign_off is None:
            raise Refused("The client signs first.")
        if card.counter_sign is None:
            given = CounterSign(name[:200], staff.name, card.sign_off.fingerprint, now)
            signed.add_counter_sign(session, revision_id, given)
            what = (
                f"signed revision {card.number} for the firm as {given.name}, "
                f"fingerprint {given.fingerprint[:12]}"
            )
            audit.note(session, now, staff.name, what, subject(card.job_id))
            card, _ = _card(session, revision_id, now)
    return card


def send_copies(db: Database, revision_id: int, now: datetime) -> tuple[str, ...]:
    """Send the signed copy and its certificate to both by mail; gives what went wrong, one sentence each.

    Without mail nothing is sent: the client fetches its copy on the page, the office on its sheet.
    """
    if mail_server(db) is None:
        return ()
    with db.read() as session:
        card, inputs = _card(session, revision_id, now)
        pdf = offers.pdf_of(session, revision_id)
        link_id = offers.link_of_signature(session, revision_id)
    if card.was_signed is None or pdf is None:
        return ()
    text = _copy_letter(card, inputs)
    stem = f"{inputs.job_number}-revision-{card.number}"
    papers = ((f"{stem}.pdf", pdf), (f"{stem}-certificate.pdf", certificate(card, inputs)))
    say = words_of(inputs.terms.language)
    title = f"{say('Signed')}: {inputs.job_number}, {say('revision')} {card.number}"
    faults = []
    for to, is_client in ((inputs.client.email, True), (inputs.firm.email, False)):
        if not to:
            faults.append("The client has no e-mail address." if is_client else "The firm has none.")
            continue
        try:
            send(db, Letter(to, title, text, card.job_id, papers), now)
        except Refused as refusal:
            faults.append(f"{to}: {refusal.reason}")
            continue
        if is_client and link_id is not None:
            with db.write() as session:
                links.add_event(session, link_id, signed.COPY_SENT, now)
    if faults:
        with db.write() as session:
            what = f"could not send every signed copy: {' '.join(faults)[:400]}"
            audit.note(session, now, "mail", what, subject(card.job_id))
    return tuple(faults)


def signed_copies(db: Database, cookie: str, now: datetime) -> tuple[str, ...]:
    """Send the copies of what was signed through a link; LinkClosed."""
    with db.read() as session:
        opening: Opening = open_link(session, cookie, now)
    return send_copies(db, opening.link.revision_id, now)


def was_copy_sent(db: Database, cookie: str, now: datetime) -> bool:
    """Tell whether the signed copy went to the client by mail; LinkClosed."""
    with db.read() as session:
        opening = open_link(session, cookie, now)
        return any(what == signed.COPY_SENT for _, what in links.events(session, opening.link.id))


def receipt_of_cancelling(db: Database, cookie: str, now: datetime) -> tuple[str, ...]:
    """Send both the receipt of a notice of cancellation; gives what went wrong."""
    if mail_server(db) is None:
        return ()
    with db.read() as session:
        opening = open_link(session, cookie, now)
        card, inputs = _card(session, opening.link.revision_id, now)
    if card.cancelled is None:
        return ()
    say, at = words_of(inputs.terms.language), instant_of(inputs.terms.language)
    text = (
        f"{say('Your notice of cancellation was received')}: {at(card.cancelled.cancelled_at)}.\n"
        f"{inputs.job_number} {inputs.job['title']}, {say('revision')} {card.number}.\n"
        f"{card.cancelled.name}\n{card.cancelled.words}\n\n{inputs.firm.name}\n"
    )
    faults = []
    for to in filter(None, (inputs.client.email, inputs.firm.email)):
        try:
            title = f"{say('Cancelled')}: {inputs.job_number}"
            send(db, Letter(to, title, text, card.job_id), now)
        except Refused as refusal:
            faults.append(refusal.reason)
    return tuple(faults)


def certificate(card: RevisionCard, inputs: FrozenInputs) -> bytes:
    """Print the certificate of a signature; NotFound when there is none."""
    if card.was_signed is None:
        raise NotFound("signature under revision", card.number)
    return certificate_pdf(
        CertificateInputs(
            firm=inputs.firm,
            client=inputs.client,
            job_number=inputs.job_number,
            job_title=str(inputs.job["title"]),
            number=card.number,
            offered_on=card.offered_on,
            total=card.total,
            currency=card.currency,
            sign_off=card.was_signed,
            counter_sign=card.counter_sign,
            cancelled=card.cancelled,
            language=inputs.terms.language,
            options=tuple(
                option.name for option in inputs.pricing.options if option.code in card.was_signed.options
            ),
        )
    )


def certificate_of(db: Database, revision_id: int, now: datetime) -> bytes:
    """Print the certificate of the signature under a revision; NotFound."""
    with db.read() as session:
        card, inputs = _card(session, revision_id, now)
    return certificate(card, inputs)


def certificate_through(db: Database, cookie: str, now: datetime) -> bytes:
    """Print the certificate of the signature given through a link; NotFound, LinkClosed."""
    with db.write() as session:
        opening = open_link(session, cookie, now)
        card, inputs = _card(session, opening.link.revision_id, now)
        links.add_event(session, opening.link.id, "certificate fetched", now)
    return certificate(card, inputs)


def _copy_letter(card: RevisionCard, inputs: FrozenInputs) -> str:
    language = inputs.terms.language
    say, money, on = words_of(language), money_of(language), day_of(language)
    assert card.was_signed is not None
    signed_on = on(day_at(card.was_signed.signed_at, inputs.time_zone))
    return (
        f"{say('Here is your copy of what was signed, with its certificate; keep both.')}\n\n"
        f"{inputs.job_number} {inputs.job['title']}, {say('revision')} {card.number}\n"
        f"{say('Total')}: {money(card.total, card.currency)}\n"
        f"{say('Signed by')} {card.was_signed.name}, {signed_on}\n"
        f"{say('Fingerprint')}: {card.was_signed.fingerprint}\n"
        f"{say('SHA-256 of the PDF')}: {card.was_signed.document_sha256}\n\n"
        f"{inputs.firm.name}\n{inputs.firm.phone}\n"
    )


def _card(session: Session, revision_id: int, now: datetime) -> tuple[RevisionCard, FrozenInputs]:
    frozen = offers.frozen_with(session, revision_id)
    if frozen is None:
        raise NotFound("revision", revision_id)
    inputs = read_inputs(frozen.inputs)
    card = offers.find_revision(session, revision_id, day_at(now, inputs.time_zone))
    assert card is not None
    return card, inputs
