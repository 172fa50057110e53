"""The cookie that carries a device's token.

A cookie rather than storage: no script can read it, it is sent with pictures too, and browsers do not throw
it away with the rest of a page's data.
"""

from __future__ import annotations

from collections.abc import Mapping

# Browsers keep a cookie for 400 days at most (RFC 6265bis); every sync sends it anew.
LIFE_S = 34_560_000


def name_cookie(scheme: str) -> str:
    """`__Host-` binds the cookie to this host and to https; browsers refuse such a name on plain http."""
    return "__Host-device" if scheme == "https" else "device"


def read_token(cookies: Mapping[str, str], scheme: str) -> str | None:
    return cookies.get(name_cookie(scheme))


def write_cookie(token: str, scheme: str, *, life_s: int = LIFE_S) -> str:
    """The value of a Set-Cookie header; with no life the browser drops it."""
    secure = "; Secure" if scheme == "https" else ""
    return f"{name_cookie(scheme)}={token}; HttpOnly; SameSite=Strict; Path=/; Max-Age={life_s}{secure}"
