"""The certificate on the disk: made once, renewed in time, and never spoilt by half a file."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from fillfirst.access.certificate import (
    AUTHORITY_KEY,
    DAY_MS,
    ServedCertificate,
    found_authority,
    read_authority,
)
from fillfirst.errors import SettingsError

NOW_MS = time.time_ns() // 1_000_000
NAMES = ["garage.home.arpa", "192.168.1.5"]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return found_authority(tmp_path, NAMES, anew=False, now_ms=NOW_MS)


def open_certificate(file: Path, names: list[str] = NAMES) -> ServedCertificate:
    return ServedCertificate(file, None, data=file.parent.parent, names=names)


def test_days_are_counted_whole(file: Path) -> None:
    certificate = open_certificate(file)

    assert certificate.count_days(NOW_MS) == 396
    assert certificate.count_days(NOW_MS + 400 * DAY_MS) < 0


@pytest.mark.parametrize(("days", "is_renewed"), [(264, False), (265, True), (500, True)])
def test_it_is_renewed_at_one_third_of_its_life(file: Path, days: int, is_renewed: bool) -> None:
    certificate = open_certificate(file)
    now_ms = NOW_MS + days * DAY_MS

    assert certificate.refresh(now_ms) == is_renewed
    assert (certificate.count_days(now_ms) == 396) == is_renewed


def test_it_is_renewed_for_a_name_that_was_added(file: Path) -> None:
    certificate = open_certificate(file, [*NAMES, "garage.local"])

    assert certificate.refresh(NOW_MS)
    assert not certificate.refresh(NOW_MS)


def test_setting_up_again_keeps_the_authority_that_phones_trust(file: Path) -> None:
    data = file.parent.parent
    before = read_authority(data)
    found_authority(data, [*NAMES, "box.local"], anew=False, now_ms=NOW_MS)

    assert read_authority(data) == before


def test_a_name_the_authority_may_not_speak_for_is_told(file: Path) -> None:
    data = file.parent.parent
    before = read_authority(data)
    with pytest.raises(SettingsError, match=r"other\.home\.arpa, for which .* With --new-authority another"):
        found_authority(data, ["other.home.arpa"], anew=False, now_ms=NOW_MS)
    found_authority(data, ["other.home.arpa"], anew=True, now_ms=NOW_MS)

    assert read_authority(data) != before


def test_keys_are_for_the_server_alone(file: Path) -> None:
    assert [path.stat().st_mode & 0o777 for path in (file, file.parent / AUTHORITY_KEY, file.parent)] == [
        0o600,
        0o600,
        0o700,
    ]


def test_a_keepers_own_certificate_is_read_again_but_never_written(file: Path, tmp_path: Path) -> None:
    own = tmp_path / "own.pem"
    own.write_bytes(file.read_bytes())
    certificate = ServedCertificate(own, None, data=tmp_path, names=NAMES)
    later = found_authority(tmp_path, NAMES, anew=False, now_ms=NOW_MS + DAY_MS)
    unchanged = certificate.refresh(NOW_MS + 390 * DAY_MS)
    own.write_bytes(later.read_bytes())

    assert (certificate.is_own, unchanged) == (False, False)
    assert certificate.refresh(NOW_MS)
    assert certificate.count_days(NOW_MS) == 397


def test_half_a_file_leaves_the_old_certificate_in_use(file: Path) -> None:
    certificate = open_certificate(file)
    whole = file.read_bytes()
    file.write_bytes(whole[: len(whole) // 2])

    with pytest.raises(SettingsError, match="which cannot be used together"):
        certificate.refresh(NOW_MS)
    assert certificate.count_days(NOW_MS) == 396


def test_a_certificate_without_its_key_is_told(file: Path, tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="--tls-cert and --tls-key"):
        ServedCertificate(tmp_path / "none.pem", None, data=tmp_path, names=NAMES)


def test_an_authority_that_lost_its_key_is_told(file: Path) -> None:
    (file.parent / AUTHORITY_KEY).unlink()

    with pytest.raises(SettingsError, match=r"Put them back from a backup\."):
        open_certificate(file).refresh(NOW_MS + 300 * DAY_MS)
