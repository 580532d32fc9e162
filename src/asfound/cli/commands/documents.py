"""`asfound documents`: manual pages, receipts, voice notes and texts, with what they belong to."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.documents import documents_of, list_documents
from asfound.cli.document_lists import document_document, document_line
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.command(epilog=example("asfound documents 17"))
@click.argument("tag", default="")
@json_option
def COMMAND(tag: str, as_json: bool) -> None:
    """List the documents of this job, or those of TAG."""
    with opened() as archive:
        found = documents_of(archive, resolve.get_tag(archive, tag).tag) if tag else list(list_documents(archive))
        if as_json:
            print_json([document_document(archive, one) for one in found])
            return
        for one in found:
            console().print(document_line(archive, one))
        if not found:
            console().print('No document is kept here. Keep one with: asfound document add FILE --what "manual p. 112"')
