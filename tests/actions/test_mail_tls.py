"""A closed line to the mail server: STARTTLS and TLS from the start, with a certificate made for the test."""

import ipaddress
import socket
import ssl
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult, LoginPassword
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.mail import Letter, MailServer, Security, list_letters, save_mail_server, send
from app.actions.records import StaffMember
from tests.actions.conftest import NOW

LETTER = Letter("ines@example.org", "Hello", "Hello")
PASSWORD = "sea and salt"


class Box:
    """Keeps what came, whether the line was closed, and every password that was offered."""

    def __init__(self) -> None:
        self.closed: list[bool] = []
        self.offered: list[bytes] = []

    async def handle_DATA(self, server: Any, _session: Any, _envelope: Any) -> str:  # noqa: N802
        self.closed.append(server.transport.get_extra_info("cipher") is not None)
        return "250 taken"

    def knows(self, _server: Any, _session: Any, _envelope: Any, _how: str, given: Any) -> AuthResult:
        assert isinstance(given, LoginPassword)
        self.offered.append(given.password)
        return AuthResult(success=given.password == PASSWORD.encode())


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Give a certificate for 127.0.0.1 that signs itself, and its key."""
    folder = tmp_path_factory.mktemp("certificate")
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "mail of the test")])
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(
            x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))]), critical=False
        )
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    shown, hidden = folder / "shown.pem", folder / "hidden.pem"
    shown.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    hidden.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )
    return shown, hidden


@contextmanager
def a_server(certificate: tuple[Path, Path], offers: Security) -> Iterator[tuple[Box, int]]:
    """Run a mail server that offers STARTTLS, speaks TLS from the start, or neither."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(*map(str, certificate))
    box = Box()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
    more: dict[str, Any] = {"tls_context": context, "require_starttls": True} if offers == "starttls" else {}
    if offers == "tls":
        more = {"ssl_context": context}
    controller = Controller(
        box,
        hostname="127.0.0.1",
        port=port,
        authenticator=box.knows,
        auth_require_tls=offers == "starttls",
        **more,
    )
    controller.start()
    try:
        yield box, port
    finally:
        controller.stop()


@pytest.fixture
def asked(
    db: Database, owner: StaffMember, monkeypatch: pytest.MonkeyPatch, certificate: tuple[Path, Path]
) -> Any:
    """Give what sets the firm's server, with its certificate trusted or not."""
    monkeypatch.setenv("UPSTAND_MAIL_PASSWORD", PASSWORD)

    def ask(port: int, security: Security, *, is_trusted: bool = True) -> None:
        if is_trusted:
            monkeypatch.setenv("SSL_CERT_FILE", str(certificate[0]))
        server = MailServer("127.0.0.1", port, security, "office", "office@skerrow.example")
        save_mail_server(db, owner, server, NOW)

    return ask


@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_letter_and_password_go_over_a_closed_line(
    db: Database, asked: Any, certificate: tuple[Path, Path], security: Security
) -> None:
    with a_server(certificate, security) as (box, port):
        asked(port, security)
        send(db, LETTER, NOW)
    assert box.closed == [True]
    assert box.offered == [PASSWORD.encode()]
    assert list_letters(db)[0].fault == ""


@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_a_certificate_that_nobody_vouches_for_is_refused_before_the_password(
    db: Database, asked: Any, certificate: tuple[Path, Path], security: Security
) -> None:
    with a_server(certificate, security) as (box, port):
        asked(port, security, is_trusted=False)
        with pytest.raises(Refused, match="certificate verify failed"):
            send(db, LETTER, NOW)
    assert (box.closed, box.offered) == ([], [])
    assert "certificate" in list_letters(db)[0].fault


def test_a_server_without_tls_is_refused_when_the_shop_asks_for_it(
    db: Database, asked: Any, certificate: tuple[Path, Path]
) -> None:
    with a_server(certificate, "none") as (box, port):
        asked(port, "starttls")
        with pytest.raises(Refused, match="does not offer STARTTLS"):
            send(db, LETTER, NOW)
        asked(port, "tls")
        with pytest.raises(Refused, match="did not take the letter"):
            send(db, LETTER, NOW)
    assert (box.closed, box.offered) == ([], [])
    assert all(card.fault for card in list_letters(db))
