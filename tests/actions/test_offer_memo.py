"""What a client sees is kept in memory, and never an old thing: every change shows at once."""

from collections.abc import Callable
from datetime import timedelta

import pytest

from app.actions import offer_memo
from app.actions.database import Database
from app.actions.errors import LinkClosed
from app.actions.mail import MailServer, save_mail_server
from app.actions.offer import links, make_link, offer, revoke_link
from app.actions.questions import answer, ask
from app.actions.records import StaffMember
from app.actions.shop import save_law, shop
from app.actions.sign import decline, exchange, offer_for, sign
from app.actions.sign_code import needs_code
from tests.actions.conftest import NOW, Printer


@pytest.fixture
def cookie(db: Database, owner: StaffMember, job_id: int, printer: Printer) -> str:
    card = offer(db, owner, job_id, NOW, printer)
    opened = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    first = offer_for(db, opened, NOW)
    assert offer_for(db, opened, NOW) is first, "the second look is the first one, kept"
    assert offer_for(db, opened, NOW, ()) == first
    return opened


def test_a_signature_shows_at_once(db: Database, cookie: str) -> None:
    mark = offer_for(db, cookie, NOW).revision.fingerprint
    sign(db, cookie, "Ines Haugan", True, mark, NOW, "", "")
    view = offer_for(db, cookie, NOW)
    assert view.sign_off is not None
    assert not view.can_sign


def test_a_refusal_shows_at_once(db: Database, cookie: str) -> None:
    decline(db, cookie, "too dear", NOW)
    assert offer_for(db, cookie, NOW).declined_at == NOW


def test_what_is_asked_and_answered_shows_at_once(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    ask(db, cookie, "Ines", "Which stone is it?", NOW)
    assert [one.text for one in offer_for(db, cookie, NOW).said] == ["Which stone is it?"]
    answer(db, owner, job_id, "The grey one.", NOW)
    assert [one.text for one in offer_for(db, cookie, NOW).said] == ["Which stone is it?", "The grey one."]


def test_a_code_is_wanted_as_soon_as_mail_is_set_up_and_no_longer(
    db: Database, owner: StaffMember, cookie: str
) -> None:
    for host in ("mail.example.org", "", "post.example.org"):
        save_mail_server(db, owner, MailServer(host, 587, "starttls", "", "office@example.org"), NOW)
        assert offer_for(db, cookie, NOW).needs_code == needs_code(db) == bool(host)


def test_the_last_day_to_cancel_follows_the_day_of_looking(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    save_law(db, owner, shop(db).version, "us-federal", "", NOW)
    card = offer(db, owner, job_id, NOW, printer)
    opened = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    seen = [offer_for(db, opened, NOW + timedelta(days=days)).cancel_by for days in (0, 0, 1)]
    assert seen[0] == seen[1] != seen[2]
    assert seen[2][0][0] - seen[0][0][0] == timedelta(days=1)


def _revoke(db: Database, owner: StaffMember, job_id: int, _printer: Printer) -> None:
    revoke_link(db, owner, links(db, job_id, NOW)[0].id, NOW)


def _offer_again(db: Database, owner: StaffMember, job_id: int, printer: Printer) -> None:
    offer(db, owner, job_id, NOW, printer)


@pytest.mark.parametrize("close", [_revoke, _offer_again])
def test_a_link_that_is_withdrawn_or_replaced_shuts_at_once(
    db: Database,
    owner: StaffMember,
    job_id: int,
    printer: Printer,
    cookie: str,
    close: Callable[[Database, StaffMember, int, Printer], None],
) -> None:
    close(db, owner, job_id, printer)
    with pytest.raises(LinkClosed):
        offer_for(db, cookie, NOW)


def test_a_link_runs_out_on_the_second_and_an_offer_on_its_day(db: Database, cookie: str) -> None:
    ends = offer_for(db, cookie, NOW).expires_at
    offer_for(db, cookie, ends - timedelta(seconds=2))
    offer_for(db, cookie, ends - timedelta(seconds=1))
    with pytest.raises(LinkClosed):
        offer_for(db, cookie, ends)


def test_what_is_kept_does_not_grow_without_end(db: Database, cookie: str) -> None:
    for minutes in range(0, 15 * 100, 15):
        offer_for(db, cookie, NOW + timedelta(minutes=minutes))
    assert len(offer_memo._views) <= 64
