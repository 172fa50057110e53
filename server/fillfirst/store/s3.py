"""A shelf of photos on any store that speaks the S3 protocol.

Three requests are all it takes (PUT, GET, HEAD), so they are signed here by hand rather than with a library
larger than the rest of fillfirst. A photo's name is the SHA-256 of its bytes, and that is also what the
signature covers: the store refuses bytes that were changed on their way.

Source: AWS General Reference, "Signature Version 4 signing process", which such stores implement.
"""

from __future__ import annotations

import asyncio
import hashlib
import hmac
from collections.abc import AsyncIterator, Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import quote, urlsplit

import httpx

from fillfirst.errors import SettingsError, StoreError
from fillfirst.store.shelf import CHUNK_BYTES

SCHEMES = {"s3+https": "https", "s3+http": "http"}
ALGORITHM = "AWS4-HMAC-SHA256"
EMPTY_SHA256 = hashlib.sha256(b"").hexdigest()
TIMEOUT_S = 30


@dataclass(frozen=True, slots=True)
class Keys:
    """Who signs, and for which region."""

    id: str
    secret: str
    region: str


def read_keys(environ: Mapping[str, str]) -> Keys:
    """The keys, by the names under which every S3 client looks for them. Raises SettingsError."""
    id, secret = environ.get("AWS_ACCESS_KEY_ID"), environ.get("AWS_SECRET_ACCESS_KEY")
    if not id or not secret:
        raise SettingsError(
            "AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY",
            "no keys for the store of photos",
            "both, in the environment",
            "Keep them out of flags, which every user of the machine can read.",
        )
    return Keys(id, secret, environ.get("AWS_REGION") or "us-east-1")


def sign(
    method: str, host: str, path: str, *, payload_sha256: str, keys: Keys, now: datetime
) -> dict[str, str]:
    """The headers that make this request ours. `path` is quoted already, and there is no query."""
    moment = now.strftime("%Y%m%dT%H%M%SZ")
    scope = f"{moment[:8]}/{keys.region}/s3/aws4_request"
    signed = {"host": host, "x-amz-content-sha256": payload_sha256, "x-amz-date": moment}
    names = ";".join(signed)
    canonical = "\n".join(
        [method, path, "", *(f"{name}:{value}" for name, value in signed.items()), "", names, payload_sha256]
    )
    text = "\n".join([ALGORITHM, moment, scope, hashlib.sha256(canonical.encode()).hexdigest()])
    key = f"AWS4{keys.secret}".encode()
    for part in scope.split("/"):
        key = hmac.digest(key, part.encode(), "sha256")
    signature = hmac.digest(key, text.encode(), "sha256").hex()
    credential = f"{ALGORITHM} Credential={keys.id}/{scope}, SignedHeaders={names}, Signature={signature}"
    return {**signed, "authorization": credential}


class S3Shelf:
    """See `shelf.Shelf`. `url` is s3+https://HOST/BUCKET/FOLDER: the bucket stands in the path."""

    def __init__(self, url: str, keys: Keys, *, now: Callable[[], datetime] | None = None) -> None:
        parts = urlsplit(url)
        if parts.scheme not in SCHEMES or not parts.netloc or parts.username or not parts.path.strip("/"):
            raise SettingsError("--photos", f'"{url}"', "a folder, or s3+https://HOST/BUCKET/FOLDER")
        self._host = parts.netloc
        self._folder = quote(parts.path.rstrip("/"))
        self._keys = keys
        self._now = now or (lambda: datetime.now(UTC))
        self._client = httpx.AsyncClient(
            base_url=f"{SCHEMES[parts.scheme]}://{parts.netloc}", timeout=TIMEOUT_S, trust_env=False
        )

    async def put(self, part: Path, sha256: str) -> None:
        size = (await asyncio.to_thread(part.stat)).st_size
        answer = await self._ask(
            "PUT", sha256, payload_sha256=sha256, headers={"content-length": str(size)}, content=_read(part)
        )
        _check(answer, {200, 201, 204})

    async def has(self, sha256: str) -> bool:
        answer = await self._ask("HEAD", sha256)
        _check(answer, {200, 404})
        return answer.status_code == 200

    async def read(self, sha256: str) -> AsyncIterator[bytes]:
        path = self._find(sha256)
        try:
            async with self._client.stream("GET", path, headers=self._sign("GET", path)) as answer:
                _check(answer, {200})
                async for chunk in answer.aiter_raw(CHUNK_BYTES):
                    yield chunk
        except httpx.HTTPError as error:
            raise _explain(type(error).__name__) from error

    def find_path(self, sha256: str) -> None:
        return None

    async def close(self) -> None:
        await self._client.aclose()

    def _find(self, sha256: str) -> str:
        return f"{self._folder}/{sha256[:2]}/{sha256}"

    def _sign(self, method: str, path: str, payload_sha256: str = EMPTY_SHA256) -> dict[str, str]:
        return sign(method, self._host, path, payload_sha256=payload_sha256, keys=self._keys, now=self._now())

    async def _ask(
        self,
        method: str,
        sha256: str,
        *,
        payload_sha256: str = EMPTY_SHA256,
        headers: dict[str, str] | None = None,
        content: AsyncIterator[bytes] | None = None,
    ) -> httpx.Response:
        path = self._find(sha256)
        signed = self._sign(method, path, payload_sha256) | (headers or {})
        try:
            return await self._client.request(method, path, headers=signed, content=content)
        except httpx.HTTPError as error:
            raise _explain(type(error).__name__) from error


async def _read(path: Path) -> AsyncIterator[bytes]:
    with await asyncio.to_thread(path.open, "rb") as file:
        while chunk := await asyncio.to_thread(file.read, CHUNK_BYTES):
            yield chunk


def _check(answer: httpx.Response, wanted: set[int]) -> None:
    if answer.status_code not in wanted:
        raise _explain(f"status {answer.status_code}")


def _explain(found: str) -> StoreError:
    return StoreError(
        f"The store of photos did not do what it was asked ({found}).",
        "Look at that store, its keys and the way to it. The photo stays on the phone until then.",
    )
