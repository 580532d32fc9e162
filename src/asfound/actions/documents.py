"""Documents: manual pages, receipts, voice notes and texts, kept like originals and tied to what they are about."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from asfound.actions import bags, resolve, snags
from asfound.actions.archive import Archive, kept
from asfound.actions.known import known_tags
from asfound.archive.put import clean_suffix, path_of, put_original
from asfound.core.sheets.choose import choose_numbers
from asfound.core.words import fold
from asfound.errors import Ambiguous, Misused, NotFound, NotMedia
from asfound.media.documents import document_kind
from asfound.media.format import PREFIX_BYTES
from asfound.media.met import FoundDocument
from asfound.model.documents import Document, DocumentKind
from asfound.model.log import Bag, Snag
from asfound.model.pictures import Picture
from asfound.model.tags import Tag
from asfound.store import documents, pictures
from asfound.store.tags import known_numbers


@dataclass(frozen=True, slots=True)
class DocumentTies:
    """What a document is said to belong to; empty when it is of the job."""

    tags: tuple[Tag, ...] = ()
    bags: tuple[Bag, ...] = ()
    snags: tuple[Snag, ...] = ()


@kept
def list_documents(archive: Archive) -> tuple[Document, ...]:
    """Documents of the job in the order in which they came."""
    return tuple(documents.list_documents(archive.store, archive.job.job_id))


def documents_of(archive: Archive, thing: Tag | Bag | Snag) -> list[Document]:
    """Documents tied to a thing."""
    if isinstance(thing, Tag):
        return [one for one in list_documents(archive) if thing.tag_id in one.tag_ids]
    if isinstance(thing, Bag):
        return [one for one in list_documents(archive) if thing.bag_id in one.bag_ids]
    return [one for one in list_documents(archive) if thing.snag_id in one.snag_ids]


def read_ties(archive: Archive, tags: str = "", bag: str = "", snag: str = "") -> DocumentTies:
    """Ties as they are typed: "17,18" or "17-19", the label of a bag, and of a snag.

    Raises
    ------
    NotFound, Ambiguous
    """
    return DocumentTies(
        tuple(_read_tags(archive, tags)),
        (bags.get_bag(archive, bag),) if bag else (),
        (snags.get_snag(archive, snag),) if snag else (),
    )


def keep_file(archive: Archive, path: Path, what: str, ties: DocumentTies) -> tuple[Document, bool]:
    """Keep a file as a document; with whether it is new. Bytes that the job knows as a photo become a document.

    Raises
    ------
    Unreadable, Misused
        If it cannot be read, is empty, or is a clip.
    """
    from asfound.media.opening import open_regular

    with open_regular(path) as file:
        prefix = file.read(PREFIX_BYTES)
    if not prefix:
        raise Misused(f"{path.name}: the file is empty, there is nothing to keep.")
    kind = document_kind(prefix, path.name)
    media = _format_of(prefix, path.name)
    if media == "clip":
        raise Misused(f"{path.name} is a clip; bring it in with: asfound add {path}")
    if media == "photo":
        return _keep_image(archive, path, what, ties)
    return _keep(archive, path.name, kind or "other", lambda: open_regular(path), what, ties)


def keep_found(archive: Archive, found: FoundDocument) -> tuple[Document, bool]:
    """Keep what a dump met; with whether it is new."""
    return _keep(archive, found.name, found.kind, found.open, "", DocumentTies())


def call_document(archive: Archive, picture: Picture, what: str, ties: DocumentTies) -> tuple[Document, bool]:
    """Say that a photo is a document: from now on it is no picture of the machine. Whether that is new.

    Raises
    ------
    Misused
        If it is a frame of a clip.
    """
    if picture.digest is None:
        raise Misused(f"{picture.file} is a frame of a clip; only a photo can be a document.")
    known = _by_digest(archive, picture.digest)
    with archive.step(f"{picture.file} is a document"):
        document_id = known.document_id if known else _add(archive, picture.file, "image", picture.digest, picture)
        _say(archive, document_id, what, ties)
    return _get(archive, document_id), known is None


def change_document(archive: Archive, document: Document, what: str | None, ties: DocumentTies) -> Document:
    """Say what it is, unless None, and what more it belongs to."""
    with archive.step(f"document {document.document_id} changed"):
        _say(archive, document.document_id, what, ties)
    return _get(archive, document.document_id)


def untie_document(archive: Archive, document: Document, ties: DocumentTies) -> Document:
    """Take ties away.

    Raises
    ------
    NotFound
        If it is not tied so.
    """
    with archive.step(f"document {document.document_id} untied"):
        done = [documents.untie(archive.store, document.document_id, **one) for one in _ids(ties)]
        if not all(done):
            raise NotFound(f"Document {document.document_id} is not tied to all of these; see: asfound documents")
    return _get(archive, document.document_id)


def drop_document(archive: Archive, document: Document) -> None:
    """Take a document off the list: a photo is one of the machine again, a file's bytes stay in the archive."""
    with archive.step(f"{document.file} is no document"):
        documents.remove_document(archive.store, document.document_id)


def get_document(archive: Archive, words: str) -> Document:
    """The document with this number or file name.

    Raises
    ------
    NotFound, Ambiguous
    """
    known = list_documents(archive)
    found = [one for one in known if words.strip() == str(one.document_id)]
    found = found or [one for one in known if fold(one.file) == fold(Path(words).name)]
    if len(found) == 1:
        return found[0]
    if found:
        ids = ", ".join(str(one.document_id) for one in found)
        raise Ambiguous(f'"{words}" is the name of {len(found)} documents; say which by its number: {ids}.')
    raise NotFound(f'There is no document "{words}". List them with: asfound documents')


def path_of_document(archive: Archive, document: Document) -> Path:
    """Where its original lies; `OriginalMissing` if it is not there."""
    suffix = pictures.suffix_of_original(archive.store, document.digest) or ""
    return path_of(archive.layout, document.digest, suffix)


def belongs_to(archive: Archive, document: Document) -> str:
    """What it belongs to, in words: "17, 18, bag B6, snag 3"; "the job" where it is tied to nothing."""
    known = known_tags(archive)
    tags = [known[tag_id] for tag_id in document.tag_ids if tag_id in known]
    named = [tag.number if tag.order == 1 else f"{tag.number}.{tag.order}" for tag in tags]
    named += [f"bag {one.label}" for one in bags.list_bags(archive) if one.bag_id in document.bag_ids]
    named += [f"snag {one.label}" for one in snags.list_snags(archive) if one.snag_id in document.snag_ids]
    return ", ".join(named) or "the job"


def _keep_image(archive: Archive, path: Path, what: str, ties: DocumentTies) -> tuple[Document, bool]:
    """A picture goes through a dump first, so that it can be shown and printed; one that cannot be is kept as bytes."""
    from asfound.actions.add import add_dump

    report = add_dump(archive, [path], workers=0)
    met = [*(one.picture_id for one in report.added), *(one.picture_id for one in report.known)]
    picture_id = next(filter(None, met), None)
    if picture_id is None:
        from asfound.media.opening import open_regular

        return _keep(archive, path.name, "image", lambda: open_regular(path), what, ties)
    return call_document(archive, pictures.get_picture(archive.store, picture_id), what, ties)


def _keep(
    archive: Archive, name: str, kind: DocumentKind, opener: Callable[[], BinaryIO], what: str, ties: DocumentTies
) -> tuple[Document, bool]:
    """Bytes first, then the row: a file without a row is harmless."""
    with opener() as source:
        put = put_original(archive.layout, source, clean_suffix(name))
    known = _by_digest(archive, put.digest_sha256)
    with archive.step(f"document {name}"):
        pictures.save_original(
            archive.store,
            digest=put.digest_sha256,
            suffix=put.path.suffix,
            size_bytes=put.bytes,
            kind="document",
            stored_at=archive.now(),
        )
        document_id = known.document_id if known else _add(archive, name, kind, put.digest_sha256)
        _say(archive, document_id, what, ties)
    return _get(archive, document_id), known is None


def _add(archive: Archive, file: str, kind: DocumentKind, digest: str, picture: Picture | None = None) -> int:
    return documents.add_document(
        archive.store,
        archive.job.job_id,
        archive.now(),
        file=file,
        kind=kind,
        digest=digest,
        picture_id=picture.picture_id if picture else None,
    )


def _say(archive: Archive, document_id: int, what: str | None, ties: DocumentTies) -> None:
    if what:
        documents.change_what(archive.store, document_id, " ".join(what.split()))
    for one in _ids(ties):
        documents.tie(archive.store, document_id, **one)


def _ids(ties: DocumentTies) -> Iterable[dict[str, int]]:
    yield from ({"tag_id": one.tag_id} for one in ties.tags)
    yield from ({"bag_id": one.bag_id} for one in ties.bags)
    yield from ({"snag_id": one.snag_id} for one in ties.snags)


def _get(archive: Archive, document_id: int) -> Document:
    return next(one for one in list_documents(archive) if one.document_id == document_id)


def _by_digest(archive: Archive, digest: str) -> Document | None:
    return next((one for one in list_documents(archive) if one.digest == digest), None)


def _read_tags(archive: Archive, words: str) -> Iterable[Tag]:
    in_use = known_numbers(archive.store, archive.job.job_id)
    for part in filter(None, (one.strip() for one in words.split(","))):
        if resolve.find_tags(archive, part):
            yield resolve.get_tag(archive, part).tag
        else:
            for number in sorted(choose_numbers(part, in_use)):
                yield from (ref.tag for ref in resolve.find_tags(archive, number))


def _format_of(prefix: bytes, name: str) -> str:
    """ "photo" or "clip"; empty for what is neither."""
    from asfound.media.opening import identify_prefix

    try:
        return identify_prefix(prefix, name).kind
    except NotMedia:
        return ""
