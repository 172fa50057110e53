"""Where the passphrase of backups comes from: a file, because every user of a machine can read flags."""

from __future__ import annotations

from fillfirst.errors import SettingsError
from fillfirst.settings import Settings


def read_passphrase(settings: Settings) -> str | None:
    """The first line of the file that is named; None where none is. Raises SettingsError."""
    path = settings.backup_passphrase_file
    if path is None:
        return None
    try:
        passphrase = path.read_text().partition("\n")[0].strip()
    except (OSError, ValueError) as error:
        raise SettingsError("--backup-passphrase-file", f"{path}, which cannot be read", "a file") from error
    if not passphrase:
        raise SettingsError("--backup-passphrase-file", f"{path}, which is empty", "a passphrase in it")
    return passphrase
