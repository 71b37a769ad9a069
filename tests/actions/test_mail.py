"""A real conversation with a mail server: letters, refusals, the code before a signature."""

import email
import re
import socket
from collections.abc import Iterator
from datetime import timedelta
from email import policy
from typing import Any

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult, LoginPassword

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.mail import Letter, MailServer, list_letters, mail_server, save_mail_server, send
from app.actions.offer import make_link, offer
from app.actions.offer_page import send_link
from app.actions.records import StaffMember
from app.actions.sign import exchange, offer_for, sign
from app.actions.sign_code import give_code, needs_code, send_code
from tests.actions.conftest import NOW, Printer


class Box:
    """Keeps what the server took; refuses one address."""

    def __init__(self) -> None:
        self.letters: list[Any] = []

    async def handle_RCPT(self, _server: Any, _session: Any, envelope: Any, address: str, _opts: Any) -> str:  # noqa: N802
        if address.startswith("nobody@"):
            return "550 no such mailbox here"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, _server: Any, _session: Any, envelope: Any) -> str:  # noqa: N802
        self.letters.append(email.message_from_bytes(envelope.content, policy=policy.default))
        return "250 taken"


def _knows(_server: Any, _session: Any, _envelope: Any, _mechanism: str, given: Any) -> AuthResult:
    is_right = isinstance(given, LoginPassword) and given.password == b"sea and salt"
    return AuthResult(success=is_right, handled=is_right)


@pytest.fixture
def box() -> Iterator[tuple[Box, int]]:
    found = Box()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
    controller = Controller(
        found,
        hostname="127.0.0.1",
        port=port,
        authenticator=_knows,
        auth_require_tls=False,
        auth_required=False,
    )
    controller.start()
    yield found, port
    controller.stop()


@pytest.fixture
def mailing(db: Database, owner: StaffMember, box: tuple[Box, int]) -> Box:
    server = MailServer("127.0.0.1", box[1], "none", "", "office@skerrow.example")
    save_mail_server(db, owner, server, NOW)
    return box[0]


def test_a_letter_goes_by_the_firms_own_server_and_is_noted(db: Database, mailing: Box) -> None:
    letter = Letter(
        "ines@example.org", "Ærlig\r\nBcc: x@y.z", "Grüße\n", attachments=(("a.pdf", b"%PDF-1.7"),)
    )
    send(db, letter, NOW)
    got = mailing.letters[0]
    assert got["To"] == "ines@example.org"
    assert "office@skerrow.example" in got["From"]
    assert got["Subject"] == "Ærlig Bcc: x@y.z"
    assert got["Bcc"] is None
    assert got.get_body(("plain",)).get_content().strip() == "Grüße"
    assert [part.get_filename() for part in got.iter_attachments()] == ["a.pdf"]
    assert [(card.sent_to, card.fault) for card in list_letters(db)] == [("ines@example.org", "")]


def test_what_the_server_refuses_is_told_and_noted(db: Database, mailing: Box) -> None:
    with pytest.raises(Refused, match="no such mailbox"):
        send(db, Letter("nobody@example.org", "Hello", "Hello"), NOW)
    assert "550" in list_letters(db)[0].fault
    assert mailing.letters == []


@pytest.mark.parametrize("to", ["", "ines", "a@b", "a@b.c\r\nRCPT TO:<x@y.z>", "a@b.c, d@e.f"])
def test_what_is_no_address_is_refused_before_it_is_sent(db: Database, mailing: Box, to: str) -> None:
    with pytest.raises(Refused, match="no e-mail address"):
        send(db, Letter(to, "Hello", "Hello"), NOW)
    assert list_letters(db) == ()


def test_a_server_that_does_not_answer_is_told_in_words(db: Database, owner: StaffMember) -> None:
    save_mail_server(db, owner, MailServer("127.0.0.1", 9, "none", "", "o@skerrow.example"), NOW)
    with pytest.raises(Refused, match="did not take the letter"):
        send(db, Letter("ines@example.org", "Hello", "Hello"), NOW)


def test_the_password_comes_from_the_environment(
    db: Database, owner: StaffMember, box: tuple[Box, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    save_mail_server(db, owner, MailServer("127.0.0.1", box[1], "none", "office", "o@skerrow.example"), NOW)
    monkeypatch.setenv("UPSTAND_MAIL_PASSWORD", "wrong")
    with pytest.raises(Refused, match="535"):
        send(db, Letter("ines@example.org", "Hello", "Hello"), NOW)
    monkeypatch.setenv("UPSTAND_MAIL_PASSWORD", "sea and salt")
    send(db, Letter("ines@example.org", "Hello", "Hello"), NOW)
    assert len(box[0].letters) == 1


def test_a_password_never_goes_over_an_open_line_to_another_machine(db: Database, owner: StaffMember) -> None:
    from app.actions import mail

    server = MailServer("mail.example.invalid", 25, "none", "office", "o@skerrow.example")
    opened: list[str] = []

    class Open:
        def __init__(self, host: str, _port: int, timeout: int) -> None:
            opened.append(f"{host} {timeout}")

        def close(self) -> None:
            opened.append("closed")

    original, mail.smtplib.SMTP = mail.smtplib.SMTP, Open  # type: ignore[misc, assignment]
    try:
        save_mail_server(db, owner, server, NOW)
        with pytest.raises(Refused, match="closed line only"):
            send(db, Letter("ines@example.org", "Hello", "Hello"), NOW)
    finally:
        mail.smtplib.SMTP = original  # type: ignore[misc]
    assert opened[-1] == "closed"


@pytest.mark.parametrize(
    "server",
    [
        MailServer("mail.example.org", 0, "tls", "", "o@skerrow.example"),
        MailServer("mail.example.org", 587, "tls", "", "office"),
        MailServer("mail example", 587, "tls", "", "o@skerrow.example"),
    ],
)
def test_faulty_settings_are_refused(db: Database, owner: StaffMember, server: MailServer) -> None:
    with pytest.raises(Refused):
        save_mail_server(db, owner, server, NOW)
    assert mail_server(db) is None


def test_only_the_owner_sets_the_server(db: Database, other: StaffMember) -> None:
    with pytest.raises(Refused, match="Only the owner"):
        save_mail_server(db, other, MailServer("", 587, "tls", "", ""), NOW)


def test_without_mail_the_link_is_copied_and_no_code_is_asked(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    assert not needs_code(db)
    with pytest.raises(Refused, match="copy the link"):
        send_link(db, owner, job_id, "http://localhost/s/x", NOW)


def test_a_code_by_mail_comes_before_the_signature(
    db: Database, owner: StaffMember, job_id: int, printer: Printer, mailing: Box
) -> None:
    card = offer(db, owner, job_id, NOW, printer)
    token = make_link(db, owner, card.id, 14, NOW)
    send_link(db, owner, job_id, f"http://localhost/s/{token}", NOW)
    assert token in mailing.letters[0].get_body(("plain",)).get_content()
    cookie = exchange(db, token, NOW)
    seen = offer_for(db, cookie, NOW).fingerprint
    given = {"name": "Ines", "consent": True, "fingerprint_seen": seen, "address": "x", "browser": "y"}
    with pytest.raises(Refused, match="First enter the code"):
        sign(db, cookie, now=NOW, needs_code=needs_code(db), **given)
    send_code(db, cookie, NOW)
    code = re.search(r"\b\d{6}\b", mailing.letters[1].get_body(("plain",)).get_content())
    assert code
    with pytest.raises(Refused, match="just now"):
        send_code(db, cookie, NOW + timedelta(seconds=5))
    with pytest.raises(Refused, match="not the code"):
        give_code(db, cookie, "000000" if code[0] != "000000" else "111111", NOW)
    with pytest.raises(Refused, match="run out"):
        give_code(db, cookie, code[0], NOW + timedelta(minutes=16))
    give_code(db, cookie, f"{code[0][:3]} {code[0][3:]}", NOW)
    assert offer_for(db, cookie, NOW).has_code
    done = sign(db, cookie, now=NOW, needs_code=True, **given)
    assert done.sign_off is not None
    assert "ines@example.org" in done.sign_off.evidence
    assert code[0] not in done.sign_off.evidence


def test_a_code_cannot_be_guessed_by_trying(
    db: Database, owner: StaffMember, job_id: int, printer: Printer, mailing: Box
) -> None:
    card = offer(db, owner, job_id, NOW, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    send_code(db, cookie, NOW)
    code = re.search(r"\b\d{6}\b", mailing.letters[0].get_body(("plain",)).get_content())
    assert code
    wrong = "999999" if code[0] != "999999" else "888888"
    for _ in range(5):
        with pytest.raises(Refused):
            give_code(db, cookie, wrong, NOW)
    with pytest.raises(Refused):
        give_code(db, cookie, code[0], NOW)
