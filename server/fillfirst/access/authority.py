"""A certificate authority of the house's own, and the certificate it makes for this server.

Phones are asked to trust the authority once. It is constrained: it can speak for the names of this house and
for private addresses alone, so that whoever steals the box cannot pose as anyone else.

Sources: RFC 5280 (4.2.1.3 key usage, 4.2.1.6 alternative names, 4.2.1.10 name constraints). Phones refuse
certificates without an alternative name or the purpose serverAuth, and long-lived ones; 397 days pass.
"""

from __future__ import annotations

import datetime
import ipaddress
import re
from collections.abc import Sequence
from typing import NamedTuple

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from fillfirst.errors import SettingsError

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Network = ipaddress.IPv4Network | ipaddress.IPv6Network

AUTHORITY_LIFE = datetime.timedelta(days=3650)
LEAF_LIFE = datetime.timedelta(days=397)
# A phone's clock may be behind the server's.
HEAD_START = datetime.timedelta(hours=1)
# Without these subtrees no address at all would be permitted.
PRIVATE: tuple[Network, ...] = tuple(
    ipaddress.ip_network(text)
    for text in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "127.0.0.0/8", "fc00::/7", "::1/128")
)
LABEL = r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?"
NAME = re.compile(rf"{LABEL}(\.{LABEL})*")
# X.520 bounds a common name.
COMMON_NAME_LENGTH = 64


class KeyPair(NamedTuple):
    """A certificate and its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def read_name(text: str) -> str:
    """A name or an address as it stands in a certificate. Raises SettingsError."""
    name = text.strip().strip("[]").rstrip(".").lower()
    if read_address(name) is None and (len(name) > 253 or not NAME.fullmatch(name)):
        raise SettingsError(
            "--name", f'"{text}"', "a name such as garage.home.arpa, or an address such as 192.168.1.5"
        )
    return name


def is_inside(address: Address) -> bool:
    """Whether an address is one of those that networks at home give."""
    return any(address in network for network in PRIVATE)


def read_address(name: str) -> Address | None:
    try:
        return ipaddress.ip_address(name)
    except ValueError:
        return None


def make_authority(names: Sequence[str], *, now: datetime.datetime) -> KeyPair:
    """An authority for these names and all below them, for .local, and for private addresses."""
    key = ec.generate_private_key(ec.SECP256R1())
    # Without a common name a phone does not list the authority where it is to be trusted.
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "fillfirst"),
            x509.NameAttribute(NameOID.COMMON_NAME, f"fillfirst at {names[0]}"[:COMMON_NAME_LENGTH]),
        ]
    )
    usage = _usage(signs_certificates=True)
    builder = (
        _begin(subject, subject, key, now=now, end=now + AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.NameConstraints(_permit(names), None), critical=True)
    )
    return KeyPair(builder.sign(key, hashes.SHA256()), key)


def make_leaf(authority: KeyPair, names: Sequence[str], *, now: datetime.datetime) -> KeyPair:
    """A certificate for a server of these names, never outliving the authority."""
    key = ec.generate_private_key(ec.SECP256R1())
    # No name of a host: openssl would hold it against the constraints, even where it is an address.
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "fillfirst server")])
    signer = authority.certificate
    end = min(now - HEAD_START + LEAF_LIFE, signer.not_valid_after_utc)
    builder = (
        _begin(subject, signer.subject, key, now=now, end=end)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([_write_name(name) for name in names]), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(
                signer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
            ),
            critical=False,
        )
    )
    return KeyPair(builder.sign(authority.key, hashes.SHA256()), key)


def _begin(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    *,
    now: datetime.datetime,
    end: datetime.datetime,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - HEAD_START)
        .not_valid_after(end)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        encipher_only=False,
        decipher_only=False,
    )


def _permit(names: Sequence[str]) -> list[x509.GeneralName]:
    hosts = dict.fromkeys([*(name for name in names if read_address(name) is None), "local"])
    networks = list(PRIVATE)
    for name in names:
        address = read_address(name)
        if address is not None and not is_inside(address):
            networks.append(ipaddress.ip_network(address))
    return [*(x509.DNSName(host) for host in hosts), *(x509.IPAddress(network) for network in networks)]


def _write_name(name: str) -> x509.GeneralName:
    address = read_address(name)
    return x509.DNSName(name) if address is None else x509.IPAddress(address)


def is_permitted(authority: x509.Certificate, name: str) -> bool:
    """Whether this authority may speak for this name."""
    found = authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    address = read_address(name)
    if address is not None:
        networks = [one.value for one in found if isinstance(one, x509.IPAddress)]
        return any(isinstance(one, Network) and address in one for one in networks)
    hosts = [one.value for one in found if isinstance(one, x509.DNSName)]
    return any(name == host or name.endswith(f".{host}") for host in hosts)


def list_names(certificate: x509.Certificate) -> list[str]:
    """Every name and address that a certificate is for."""
    names = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return [
        *(str(one) for one in names.get_values_for_type(x509.DNSName)),
        *(str(one) for one in names.get_values_for_type(x509.IPAddress)),
    ]


def write_fingerprint(certificate: x509.Certificate) -> str:
    """As phones show it: pairs of digits."""
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def write_certificate(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def write_key(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
