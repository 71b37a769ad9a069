"""A key on a ring in a few lines: makes and uses passkeys as WebAuthn level 2 writes, honestly or not."""

import hashlib
import json
from dataclasses import dataclass, field
from secrets import token_bytes
from typing import Any

import cbor2
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from webauthn.helpers import bytes_to_base64url


@dataclass
class Key:
    """One passkey; what it lies about is named by the caller."""

    origin: str
    host: str
    counter: int = 0
    key: ec.EllipticCurvePrivateKey = field(default_factory=lambda: ec.generate_private_key(ec.SECP256R1()))
    id: bytes = field(default_factory=lambda: token_bytes(32))

    def make(self, question: str) -> str:
        """Answer the question that makes a passkey."""
        spot = self.key.public_key().public_numbers()
        # RFC 9053, 7.1.1: kty EC2, alg ES256, curve P-256, x, y.
        cose = {1: 2, 3: -7, -1: 1, -2: spot.x.to_bytes(32, "big"), -3: spot.y.to_bytes(32, "big")}
        attested = bytes(16) + len(self.id).to_bytes(2, "big") + self.id + cbor2.dumps(cose)
        made = {"fmt": "none", "attStmt": {}, "authData": self._data(0x41) + attested}
        response = {"attestationObject": bytes_to_base64url(cbor2.dumps(made))}
        return self._answer("webauthn.create", question, response)

    def use(self, question: str) -> str:
        """Answer the question for a passkey; the counter rises."""
        self.counter += 1
        data, said = self._data(0x01), self._said("webauthn.get", question)
        signature = self.key.sign(data + hashlib.sha256(said).digest(), ec.ECDSA(SHA256()))
        response = {
            "authenticatorData": bytes_to_base64url(data),
            "signature": bytes_to_base64url(signature),
            "userHandle": None,
        }
        return self._answer("webauthn.get", question, response)

    def _data(self, flags: int) -> bytes:
        return hashlib.sha256(self.host.encode()).digest() + bytes([flags]) + self.counter.to_bytes(4, "big")

    def _said(self, kind: str, question: str) -> bytes:
        said = {"type": kind, "challenge": json.loads(question)["challenge"], "origin": self.origin}
        return json.dumps({**said, "crossOrigin": False}).encode()

    def _answer(self, kind: str, question: str, response: dict[str, Any]) -> str:
        named = bytes_to_base64url(self.id)
        return json.dumps(
            {
                "id": named,
                "rawId": named,
                "type": "public-key",
                "clientExtensionResults": {},
                "response": {
                    **response,
                    "clientDataJSON": bytes_to_base64url(self._said(kind, question)),
                },
            }
        )
