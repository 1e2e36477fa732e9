"""Certificates (X.509 as RFC 5280 has it): an authority for the workshop's own addresses, and what it signs for one.

Keys are on the curve P-256, which every phone knows. An authority signs for servers alone, and is bound by name
constraints: whoever stole its key could pass for no other address, and a phone that accepted it trusts it for these
alone. A host name stands for the names below it too (`x.bench.example`): RFC 5280, 4.2.1.10, knows no narrower one.
`cryptography` is imported by whoever makes or reads a certificate, and by nobody else.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from hashlib import sha256
from ipaddress import ip_address, ip_network
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from cryptography import x509 as forms
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.x509 import CertificateBuilder, ExtendedKeyUsage, GeneralName, KeyUsage, Name

AUTHORITY_FOR, SERVER_FOR = timedelta(days=3652), timedelta(days=365)
EARLIER = timedelta(days=1)  # that a certificate begins before it was made, as the clocks of phones differ
# What no machine is called (RFC 6761) and none has (RFC 1122, 3.2.1.3): names of a kind that is not mentioned are free.
NO_NAME, NO_ADDRESS = "invalid", "0.0.0.0"  # noqa: S104  # nothing listens on it
_LONGEST_NAME = 64  # characters


class Certificate(NamedTuple):
    """One certificate: the names it is for, from when to when it holds, its DER form, and the file it is kept in.

    `kept` is PEM with the private key; what is not the reader's own business is never in `der`.
    """

    names: frozenset[str]
    begins: datetime
    ends: datetime
    der: bytes
    kept: bytes

    @property
    def hosts(self) -> list[str]:
        """The names that are no addresses; an authority speaks for those below them too."""
        return sorted(each for each in self.names if not _is_address(each))

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate as phones show it, in pairs of hexadecimal digits."""
        return sha256(self.der).digest().hex(":").upper()

    @property
    def pem(self) -> bytes:
        """The certificate alone, without its key."""
        return self.kept[self.kept.index(b"-----BEGIN CERTIFICATE") :]

    @property
    def third_left(self) -> datetime:
        """When a third of its time is left."""
        return self.ends - (self.ends - self.begins) / 3


class NoCertificate(Exception):
    """No certificate can be made or read; the sentence says why."""


class NoLibrary(NoCertificate):
    """The library that makes and reads certificates cannot be loaded, so nothing is known of what is kept."""


def new_authority(names: frozenset[str], now: datetime) -> Certificate:
    """Make an authority for these host names and IP addresses. Raises NoCertificate."""
    with _library():
        from cryptography import x509

        key, name = _new_key(), _named(f"torqueaudit for {min(names)}")
        builder = _builder(name, name, now, now + AUTHORITY_FOR, key)
        builder = builder.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        builder = builder.add_extension(_usage(signs=True), critical=True)
        builder = builder.add_extension(_for_servers(), critical=False)
        permitted = x509.NameConstraints([*_permitted(names)], None)
        builder = builder.add_extension(permitted, critical=True)
        return _signed(builder, names, key, key)


def new_server(authority: Certificate, names: frozenset[str], now: datetime) -> Certificate:
    """Make a server's certificate that an authority signs; it ends with it at the latest. Raises NoCertificate."""
    with _library():
        from cryptography import x509

        above, signing = _opened(authority.kept)
        key = _new_key()
        ends = min(now + SERVER_FOR - EARLIER, authority.ends)
        builder = _builder(_named(min(names)), above.subject, now, ends, key)
        shown = x509.SubjectAlternativeName([_general(each) for each in sorted(names)])
        builder = builder.add_extension(shown, critical=False)
        builder = builder.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        builder = builder.add_extension(_usage(signs=False), critical=True)
        builder = builder.add_extension(_for_servers(), critical=False)
        of_key = x509.AuthorityKeyIdentifier.from_issuer_public_key(signing.public_key())
        return _signed(builder.add_extension(of_key, critical=False), names, key, signing)


def read_with_key(kept: bytes) -> Certificate:
    """Read a certificate as it is kept, with the key that belongs to it. Raises NoCertificate."""
    with _library():
        from cryptography.exceptions import UnsupportedAlgorithm

        try:
            _opened(kept)
        except (ValueError, TypeError, UnsupportedAlgorithm) as error:  # one of a type: a key that a password locks
            raise NoCertificate(f"what is kept is no certificate with its key ({error})") from None
        return read_certificate(kept)


def read_certificate(kept: bytes) -> Certificate:
    """Read a certificate as it is kept, and leave its key alone. Raises NoCertificate."""
    with _library():
        from cryptography import x509
        from cryptography.hazmat.primitives.serialization import Encoding

        try:
            one = x509.load_pem_x509_certificate(kept)
            found = one.extensions.get_extension_for_class
            if _is_authority(one):
                told = found(x509.NameConstraints).value.permitted_subtrees or []
            else:
                told = [*found(x509.SubjectAlternativeName).value]
        except (ValueError, x509.ExtensionNotFound) as error:
            raise NoCertificate(f"what is kept is no certificate ({error})") from None
        names = frozenset(_shown(each) for each in told) - {NO_NAME, NO_ADDRESS}
        begins, ends = one.not_valid_before_utc, one.not_valid_after_utc
        return Certificate(names, begins, ends, der=one.public_bytes(Encoding.DER), kept=kept)


def _is_authority(one: "forms.Certificate") -> bool:
    from cryptography import x509

    return one.extensions.get_extension_for_class(x509.BasicConstraints).value.ca


def _new_key() -> "EllipticCurvePrivateKey":
    from cryptography.hazmat.primitives.asymmetric import ec

    return ec.generate_private_key(ec.SECP256R1())


def _named(text: str) -> "Name":
    from cryptography import x509

    return x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, text[:_LONGEST_NAME])])


def _builder(
    subject: "Name", issuer: "Name", now: datetime, ends: datetime, key: "EllipticCurvePrivateKey"
) -> "CertificateBuilder":
    from cryptography import x509

    builder = x509.CertificateBuilder(issuer, subject, key.public_key(), x509.random_serial_number())
    builder = builder.not_valid_before(now - EARLIER).not_valid_after(ends)
    return builder.add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)


def _usage(*, signs: bool) -> "KeyUsage":
    from cryptography import x509

    rest = dict.fromkeys(
        (
            "content_commitment",
            "key_encipherment",
            "data_encipherment",
            "key_agreement",
            "encipher_only",
            "decipher_only",
        ),
        False,
    )
    return x509.KeyUsage(digital_signature=not signs, key_cert_sign=signs, crl_sign=signs, **rest)


def _for_servers() -> "ExtendedKeyUsage":
    from cryptography import x509
    from cryptography.x509.oid import ExtendedKeyUsageOID

    return x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH])


def _permitted(names: frozenset[str]) -> "Iterator[GeneralName]":
    """The names as constraints; of a kind of which there are none, one that nobody has."""
    from cryptography import x509

    told = [_general(each) for each in sorted(names)]
    hosts = [each for each in told if isinstance(each, x509.DNSName)]
    addresses = [ip_network(each.value) for each in told if isinstance(each, x509.IPAddress)]
    yield from hosts or [x509.DNSName(NO_NAME)]
    yield from map(x509.IPAddress, addresses or [ip_network(NO_ADDRESS)])


def _general(name: str) -> "GeneralName":
    from cryptography import x509

    return x509.IPAddress(ip_address(name)) if _is_address(name) else x509.DNSName(name)


def _is_address(name: str) -> bool:
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


def _shown(name: "GeneralName") -> str:
    """A host name, or an address without the mask of a constraint."""
    return str(name.value).partition("/")[0]


def _signed(
    builder: "CertificateBuilder",
    names: frozenset[str],
    key: "EllipticCurvePrivateKey",
    by: "EllipticCurvePrivateKey",
) -> Certificate:
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    one = builder.sign(by, SHA256())
    private = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    kept = private + one.public_bytes(Encoding.PEM)
    begins, ends = one.not_valid_before_utc, one.not_valid_after_utc
    return Certificate(names, begins, ends, der=one.public_bytes(Encoding.DER), kept=kept)


def _opened(kept: bytes) -> "tuple[forms.Certificate, EllipticCurvePrivateKey]":
    """A certificate and its key. Raises ValueError."""
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    key = load_pem_private_key(kept, None)
    if not isinstance(key, EllipticCurvePrivateKey):
        raise ValueError("its key is on no curve")  # noqa: TRY004  # what is kept is wrong, not what was called
    one = x509.load_pem_x509_certificate(kept)
    if one.public_key() != key.public_key():
        raise ValueError("its key is another one's")
    return one, key


@contextmanager
def _library() -> Iterator[None]:
    try:
        import cryptography.x509  # noqa: F401
    except ImportError as error:
        raise NoLibrary(f"cryptography cannot be loaded: {error}") from None
    yield
