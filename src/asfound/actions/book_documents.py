"""Documents in the words of the book, and the pictures among them."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.book_pictures import BookPictures
from asfound.actions.documents import belongs_to, list_documents
from asfound.core.sheets.book.content import DocumentEntry
from asfound.model.documents import Document
from asfound.model.pictures import Picture
from asfound.store.pictures import get_picture


def read_documents(archive: Archive, pictures: BookPictures) -> list[DocumentEntry]:
    """Every document in the order in which they came."""
    return [
        DocumentEntry(
            str(one.document_id),
            one.called,
            belongs_to(archive, one),
            None if (picture := _picture(archive, one)) is None else pictures.shown(picture),
        )
        for one in list_documents(archive)
    ]


def pictures_of_documents(archive: Archive) -> dict[int, Picture]:
    """Documents that are pictures, by picture; those that cannot be shown are left out."""
    found = (_picture(archive, one) for one in list_documents(archive))
    return {picture.picture_id: picture for picture in found if picture is not None}


def _picture(archive: Archive, document: Document) -> Picture | None:
    picture = None if document.picture_id is None else get_picture(archive.store, document.picture_id)
    return picture if picture is not None and picture.phash is not None else None
