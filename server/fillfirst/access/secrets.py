"""One-time codes and device tokens: how they are made, written, and hashed.

Only hashes are ever stored. A plain sha256 is enough: a token is random enough that nobody guesses it, and a
code lives for ten minutes and five tries.
"""

from __future__ import annotations

import hashlib
import secrets

# RFC 8628, section 6.1: letters that are hard to confuse and spell no words. Eight of them are 34 bits.
ALPHABET = "BCDFGHJKLMNPQRSTVWXZ"
CODE_LENGTH = 8
TOKEN_BYTES = 32


def make_code() -> str:
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))


def write_code(code: str) -> str:
    """As a person reads it out: BCDF-GHJK."""
    return f"{code[:4]}-{code[4:]}"


def read_code(typed: str) -> str | None:
    """The code a person typed, whatever the case, spaces and hyphens; None if it cannot be one."""
    code = "".join(sign for sign in typed.upper() if sign not in " -")
    return code if len(code) == CODE_LENGTH and set(code) <= set(ALPHABET) else None


def make_token() -> str:
    return secrets.token_urlsafe(TOKEN_BYTES)


def hash_secret(secret: str) -> bytes:
    return hashlib.sha256(secret.encode(errors="replace")).digest()
