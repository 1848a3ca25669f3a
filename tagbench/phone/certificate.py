"""Encryption, an optional extra: an authority of this bench's own, and certificates signed by it.

A browser lets a page use the camera only where the connection is encrypted. The person installs
the authority's certificate on the phone once. Its name constraints (RFC 5280, 4.2.1.10) let it
vouch for names that end in `.local` and for addresses of private networks, and for nothing else,
so that even somebody who steals its key cannot pretend to be a site of the internet.
"""

from __future__ import annotations

import ipaddress
import ssl
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from labels.atomic_write import atomic_write
from tagbench.errors import BadInput

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey

AUTHORITY_DAYS = 3650
SERVER_DAYS = 397
"""Browsers take server certificates for at most 398 days (CA/Browser Forum, from memory)."""
PRIVATE = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8")
"""Private, link-local and loopback networks (RFC 1918, RFC 3927, RFC 1122)."""


def can_encrypt() -> bool:
    """Whether the extra for it is installed."""
    try:
        import cryptography  # noqa: F401 - only asked whether it is there
    except ImportError:
        return False
    return True


class Certificates:
    """The authority and its key, in a folder that only this user can read; not in the book."""

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or platformdirs.user_data_path("tagbench") / "certificate"

    @property
    def exist(self) -> bool:
        """Whether an authority was made before, so that encryption was asked for once."""
        return self._path("authority.pem").exists()

    def for_server(self, names: Iterable[str]) -> ssl.SSLContext:
        """A server context with a fresh certificate for these names and addresses.

        Raises BadInput without the extra.
        """
        if not can_encrypt():
            raise BadInput(
                "Encrypted pages need .venv/bin/pip install -e '.[https]' in the folder of this "
                "program; without it the pages work as before, and tags are photographed instead "
                "of scanned."
            )
        self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        authority, key = self._authority()
        server, server_key = _signed(authority, key, names)
        chain = self._path("server.pem")
        self._write(chain, _pem(server) + _pem(authority) + _key_pem(server_key))
        context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        context.load_cert_chain(chain)
        return context

    def authority(self) -> bytes:
        """The authority's certificate as a phone installs it (DER, without the key)."""
        from cryptography import x509
        from cryptography.hazmat.primitives.serialization import Encoding

        pem = self._path("authority.pem").read_bytes()
        return x509.load_pem_x509_certificate(pem).public_bytes(Encoding.DER)

    def _authority(self) -> tuple[x509.Certificate, EllipticCurvePrivateKey]:
        from cryptography import x509
        from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
        from cryptography.hazmat.primitives.serialization import load_pem_private_key

        path, key_path = self._path("authority.pem"), self._path("authority.key")
        if path.exists() and key_path.exists():
            kept = x509.load_pem_x509_certificate(path.read_bytes())
            kept_key = load_pem_private_key(key_path.read_bytes(), None)
            if kept.not_valid_after_utc > datetime.now(UTC) + timedelta(days=SERVER_DAYS):
                assert isinstance(kept_key, EllipticCurvePrivateKey)
                return kept, kept_key
        made, key = _new_authority()
        self._write(key_path, _key_pem(key))
        self._write(path, _pem(made))
        return made, key

    def _path(self, name: str) -> Path:
        return self._folder / name

    @staticmethod
    def _write(path: Path, data: bytes) -> None:
        """Writes it whole or not at all; only this user can read it from the first byte on."""
        with atomic_write(path, mode=0o600) as file:
            file.write(data)


def _new_authority() -> tuple[x509.Certificate, EllipticCurvePrivateKey]:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec

    key = ec.generate_private_key(ec.SECP256R1())
    allowed: list[x509.GeneralName] = [x509.DNSName("local"), x509.DNSName("localhost")]
    allowed += [x509.IPAddress(ipaddress.ip_network(network)) for network in PRIVATE]
    signs = x509.KeyUsage(
        digital_signature=False,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=True,
        crl_sign=True,
        encipher_only=False,
        decipher_only=False,
    )
    made = (
        _begun("Tagbench on this bench", AUTHORITY_DAYS)
        .issuer_name(_named("Tagbench on this bench"))
        .public_key(key.public_key())
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(signs, critical=True)
        .add_extension(x509.NameConstraints(allowed, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return made, key


def _signed(
    authority: x509.Certificate, authority_key: EllipticCurvePrivateKey, names: Iterable[str]
) -> tuple[x509.Certificate, EllipticCurvePrivateKey]:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID

    key = ec.generate_private_key(ec.SECP256R1())
    own = [_general(name) for name in sorted(set(names)) if _may_be_named(name)]
    signer = authority_key.public_key()
    made = (
        _begun("tagbench", SERVER_DAYS)
        .issuer_name(authority.subject)
        .public_key(key.public_key())
        .add_extension(x509.SubjectAlternativeName(own), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signer), critical=False)
        .sign(authority_key, hashes.SHA256())
    )
    return made, key


def _begun(name: str, days: int) -> x509.CertificateBuilder:
    from cryptography import x509

    now = datetime.now(UTC)
    return (
        x509.CertificateBuilder()
        .subject_name(_named(name))
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=days))
    )


def _named(name: str) -> x509.Name:
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])


def _general(name: str) -> x509.GeneralName:
    from cryptography import x509

    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _may_be_named(name: str) -> bool:
    """Whether the authority may vouch for a name or address."""
    try:
        address = ipaddress.ip_address(name)
    except ValueError:
        return name == "localhost" or name.endswith(".local")
    return any(address in ipaddress.ip_network(network) for network in PRIVATE)


def _pem(certificate: x509.Certificate) -> bytes:
    from cryptography.hazmat.primitives.serialization import Encoding

    return certificate.public_bytes(Encoding.PEM)


def _key_pem(key: EllipticCurvePrivateKey) -> bytes:
    from cryptography.hazmat.primitives.serialization import (
        Encoding,
        NoEncryption,
        PrivateFormat,
    )

    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
