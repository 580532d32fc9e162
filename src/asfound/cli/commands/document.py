"""`asfound document`: keep a manual page, receipt, voice note or text, and tie it to what it is about."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from asfound.actions import documents, resolve
from asfound.actions.archive import Archive
from asfound.actions.documents import DocumentTies, read_ties
from asfound.actions.viewing import open_in_viewer
from asfound.cli.document_lists import document_document, document_line
from asfound.cli.parts import console, errors, example, json_option, opened, print_json
from asfound.errors import Misused
from asfound.model.documents import Document

Command = TypeVar("Command", bound=Callable[..., Any])


def _tie_options(command: Command) -> Command:
    for option, shown, told in (
        ("--snag", "SNAG", "The snag that it belongs to."),
        ("--bag", "BAG", "The bag that it belongs to."),
        ("--tags", "NUMBERS", "The tags that it belongs to: 17,18 or 17-19."),
    ):
        command = click.option(option, metavar=shown, default="", help=told)(command)
    return command


@click.group(epilog=example('asfound document add manual.pdf --tags 17,18 --what "manual p. 112"'))
def COMMAND() -> None:
    """Keep documents beside the photos: they are checked, backed up and found by their words, and never as found."""


@COMMAND.command("add", epilog=example('asfound document add manual.pdf --tags 17,18 --what "manual p. 112"'))
@click.argument("files", nargs=-1, required=True)
@click.option("--what", default="", help='What it is: "manual p. 112", "receipt for the pump".')
@_tie_options
@json_option
def add(files: tuple[str, ...], what: str, tags: str, bag: str, snag: str, as_json: bool) -> None:
    """Keep FILES as documents of this job; a photo that is in already is named and becomes one.

    The file is only read. A photo that is a document is no picture of the machine any more: it is not sorted, matched
    or shown as found, and its pins are put aside until it is dropped from the documents.
    """
    with opened() as archive:
        ties = read_ties(archive, tags, bag, snag)
        done = [_add(archive, file, what, ties) for file in files]
        if as_json:
            print_json([document_document(archive, document) for document, _new in done])
            return
        for document, is_new in done:
            console().print(f"{'kept' if is_new else 'known'}: {document_line(archive, document)}")


@COMMAND.command("change", epilog=example("asfound document change 3 --tags 19"))
@click.argument("document")
@click.option("--what", help="What it is.")
@_tie_options
@click.option("--untie", is_flag=True, help="Take these ties away.")
@json_option
def change(document: str, what: str | None, tags: str, bag: str, snag: str, untie: bool, as_json: bool) -> None:
    """Say what DOCUMENT is, by its number or file name, or what more it belongs to."""
    with opened() as archive:
        found, ties = documents.get_document(archive, document), read_ties(archive, tags, bag, snag)
        if what is None and not (tags or bag or snag):
            raise Misused("Say what it is with --what, or what it belongs to with --tags, --bag or --snag.")
        changed = documents.untie_document(archive, found, ties) if untie else found
        if not untie or what is not None:
            changed = documents.change_document(archive, found, what, DocumentTies() if untie else ties)
        if as_json:
            print_json(document_document(archive, changed))
            return
        console().print(document_line(archive, changed))


@COMMAND.command("show", epilog=example("asfound document show 3"))
@click.argument("document")
@click.option("--no-viewer", is_flag=True, help="Only print where it lies.")
@json_option
def show(document: str, no_viewer: bool, as_json: bool) -> None:
    """Open DOCUMENT in the system's viewer, and print where its original lies."""
    with opened() as archive:
        found = documents.get_document(archive, document)
        path = documents.path_of_document(archive, found)
        if as_json:
            print_json(document_document(archive, found))
            return
        console().print(document_line(archive, found))
        console().print(str(path), soft_wrap=True)
        if not no_viewer and console().is_terminal and not open_in_viewer(path, os.environ):
            errors().print("No viewer here; open that file yourself.")


@COMMAND.command("drop", epilog=example("asfound document drop 3"))
@click.argument("document")
def drop(document: str) -> None:
    """Take DOCUMENT off the list. A photo is one of the machine again; a file's bytes stay in the archive."""
    with opened() as archive:
        found = documents.get_document(archive, document)
        documents.drop_document(archive, found)
        now = "a photo again" if found.picture_id else "off the list; its bytes stay in the archive"
        console().print(f"{found.file} is {now}. Take that back with: asfound undo")


def _add(archive: Archive, file: str, what: str, ties: DocumentTies) -> tuple[Document, bool]:
    """A file of that name, else a photo of this job."""
    path = Path(file).expanduser()
    if path.is_file():
        return documents.keep_file(archive, path.resolve(), what, ties)
    return documents.call_document(archive, resolve.get_picture(archive, file), what, ties)
