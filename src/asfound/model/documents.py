"""Documents: what belongs to a job and shows or tells nothing of how this machine was found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

DocumentKind = Literal["pdf", "image", "audio", "text", "other"]


@dataclass(frozen=True, slots=True)
class Document:
    """A manual page, a receipt, a voice note, a text.

    Attributes
    ----------
    file : str
        Its name where it came from.
    digest : str
        Of its original.
    picture_id : int or None
        The picture that it is, where it is one that can be shown; such a picture is never sorted, matched or as found.
    what : str
        What it is, in the person's words: "manual p. 112".
    tag_ids, bag_ids, snag_ids : tuple of int
        What it belongs to; all empty when it is of the job.
    """

    document_id: int
    job_id: int
    file: str
    kind: DocumentKind
    digest: str
    picture_id: int | None
    what: str
    tag_ids: tuple[int, ...] = ()
    bag_ids: tuple[int, ...] = ()
    snag_ids: tuple[int, ...] = ()

    @property
    def called(self) -> str:
        """What it is, with its file: "manual p. 112 (manual.pdf)"."""
        return f"{self.what} ({self.file})" if self.what else self.file
