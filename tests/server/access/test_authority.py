"""The authority speaks for the house alone, and what it makes is what phones accept."""

from __future__ import annotations

import datetime
import subprocess
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.x509.oid import NameOID

from fillfirst.access.authority import (
    KeyPair,
    is_permitted,
    list_names,
    make_authority,
    make_leaf,
    read_name,
    write_certificate,
    write_fingerprint,
)
from fillfirst.errors import SettingsError

NOW = datetime.datetime.now(datetime.UTC).replace(microsecond=0)
NAMES = ["garage.home.arpa", "garage.local", "192.168.1.5"]


@pytest.fixture(scope="module")
def authority() -> KeyPair:
    return make_authority(NAMES, now=NOW)


def verify(authority: KeyPair, leaf: KeyPair, folder: Path) -> str:
    """What openssl, as strict as it can be, says of a certificate."""
    (folder / "authority.pem").write_bytes(write_certificate(authority.certificate))
    (folder / "leaf.pem").write_bytes(write_certificate(leaf.certificate))
    command = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver", "-CAfile", "authority.pem"]
    done = subprocess.run([*command, "leaf.pem"], cwd=folder, capture_output=True, text=True, check=False)
    return done.stdout + done.stderr


@pytest.mark.parametrize(
    "names", [NAMES, ["deep.garage.home.arpa"], ["10.0.0.7"], ["fd00::5"], ["box.local"]]
)
def test_a_certificate_for_the_house_is_valid(authority: KeyPair, tmp_path: Path, names: list[str]) -> None:
    leaf = make_leaf(authority, names, now=NOW)

    assert verify(authority, leaf, tmp_path) == "leaf.pem: OK\n"
    assert all(is_permitted(authority.certificate, name) for name in names)


@pytest.mark.parametrize(
    "name", ["bank.example", "home.arpa", "notgarage.home.arpa", "8.8.8.8", "2001:db8::1"]
)
def test_a_certificate_for_a_foreign_name_is_refused(authority: KeyPair, tmp_path: Path, name: str) -> None:
    leaf = make_leaf(authority, ["garage.home.arpa", name], now=NOW)

    assert "permitted subtree violation" in verify(authority, leaf, tmp_path)
    assert not is_permitted(authority.certificate, name)


def test_an_address_outside_private_networks_is_permitted_where_it_is_the_servers_own(tmp_path: Path) -> None:
    authority = make_authority(["203.0.113.9"], now=NOW)

    assert verify(authority, make_leaf(authority, ["203.0.113.9"], now=NOW), tmp_path) == "leaf.pem: OK\n"
    assert "violation" in verify(authority, make_leaf(authority, ["203.0.113.8"], now=NOW), tmp_path)


def test_a_certificate_lives_no_longer_than_phones_allow(authority: KeyPair) -> None:
    leaf = make_leaf(authority, NAMES, now=NOW).certificate

    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc == datetime.timedelta(days=397)
    assert leaf.not_valid_before_utc == NOW - datetime.timedelta(hours=1)


def test_a_certificate_never_outlives_its_authority(authority: KeyPair) -> None:
    late = authority.certificate.not_valid_after_utc - datetime.timedelta(days=9)

    assert make_leaf(authority, NAMES, now=late).certificate.not_valid_after_utc == (
        authority.certificate.not_valid_after_utc
    )


def test_a_certificate_names_all_that_the_server_goes_by(authority: KeyPair) -> None:
    assert list_names(make_leaf(authority, NAMES, now=NOW).certificate) == NAMES


def test_the_authority_has_the_name_by_which_phones_list_it() -> None:
    subject = make_authority(["x" * 63 + ".home.arpa"], now=NOW).certificate.subject

    assert [len(one.value) for one in subject.get_attributes_for_oid(NameOID.COMMON_NAME)] == [64]
    assert [one.value for one in subject.get_attributes_for_oid(NameOID.ORGANIZATION_NAME)] == ["fillfirst"]


def test_the_authority_makes_no_other_authorities(authority: KeyPair) -> None:
    constraints = authority.certificate.extensions.get_extension_for_class(x509.BasicConstraints)

    assert (constraints.critical, constraints.value.path_length) == (True, 0)


def test_the_fingerprint_is_written_as_phones_write_it(authority: KeyPair) -> None:
    assert [len(pair) for pair in write_fingerprint(authority.certificate).split(":")] == [2] * 32


@pytest.mark.parametrize(
    ("typed", "name"),
    [(" Garage.Home.Arpa. ", "garage.home.arpa"), ("[FD00::5]", "fd00::5"), ("192.168.1.5", "192.168.1.5")],
)
def test_a_name_is_read_as_people_type_it(typed: str, name: str) -> None:
    assert read_name(typed) == name


@pytest.mark.parametrize(
    "typed", ["", "https://garage", "garage:8765", "a..b", "-a.b", "gärage", "a b", "*.local"]
)
def test_what_is_no_name_is_told(typed: str) -> None:
    with pytest.raises(SettingsError, match="expected a name such as garage"):
        read_name(typed)
