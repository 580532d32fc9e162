"""`asfound tag`: write down what a number hangs on, field by field or as one line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

import click

from asfound.actions import fitting, quick_line, resolve
from asfound.actions import tag as actions
from asfound.actions.archive import Archive
from asfound.actions.overwriting import ask_before_overwriting
from asfound.actions.tag import EndWords, TagWords
from asfound.actions.tag_card import read_card
from asfound.actions.tag_form import read_form
from asfound.cli.cards import card_document, print_card
from asfound.cli.parts import asked, console, errors, example, json_option, opened, print_json
from asfound.core.log.tag_fields import LETTERS, OF_END, OF_TAG
from asfound.core.log.tag_readers import colour_question
from asfound.errors import Misused
from asfound.model.tags import EndLetter, Tag

F = TypeVar("F", bound=Callable[..., Any])
_TYPES: dict[str, dict[str, Any]] = {"count": {"type": click.IntRange(1, 2)}, "kind": {"metavar": "KIND"}}


def _field_options(command: F) -> F:
    """An option for each field of the whole thing, then for each of its ends, A before B."""
    options = [(f"--{row.option}", name, row, "") for name, row in OF_TAG.items() if row.option]
    options += [
        (f"--{row.option}-{letter.lower()}", end_key(name, letter), row, f"End {letter}: ")
        for name, row in OF_END.items()
        if row.option
        for letter in LETTERS
    ]
    for option, key, row, start in reversed(options):
        hint = row.hint.rstrip(" .,")
        if row.choices and row.words != "count":
            hint = f"{hint.partition(';')[0]}: {', '.join(row.choices)}"
        told = f"{start}{hint}." if start else f"{hint[:1].upper()}{hint[1:]}."
        command = click.option(option, key, help=told, **_TYPES.get(row.words, {"metavar": "TEXT"}))(command)
    return command


def end_key(name: str, letter: EndLetter) -> str:
    """The name under which click hands over a field of an end."""
    return f"{name}_{letter.lower()}"


@click.command(
    epilog=example(
        'asfound tag --line "17 hose upper radiator A thermostat housing B radiator top clamp 2 oclock RD/BK"'
    )
)
@click.argument("number", required=False)
@click.option("--line", help="All of it as one line: number, kind, name, A and what was seen there, B likewise.")
@_field_options
@click.option("--capped", "capped", multiple=True, type=click.Choice(["a", "b"]), help="This end is capped.")
@click.option("--open", "uncapped", multiple=True, type=click.Choice(["a", "b"]), help="This end is not capped.")
@click.option("--tape-lost", multiple=True, type=click.Choice(["a", "b"]), help="The tape of this end came off.")
@click.option("--tape-back", multiple=True, type=click.Choice(["a", "b"]), help="This end has its tape again.")
@click.option("--fit-after", multiple=True, metavar="TAG", help="It is fitted after this one.")
@click.option("--fit-before", multiple=True, metavar="TAG", help="It is fitted before this one.")
@click.option("--no-rule", multiple=True, metavar="TAG", help="Remove the rule on which of the two is fitted first.")
@click.option("--bag", multiple=True, help='Its fasteners are in this bag, or "back in place" (their own holes).')
@click.option("--change", is_flag=True, help="Change what is written already; without this, it asks first.")
@click.option("--another", is_flag=True, help="A second thing with a number that is in use already.")
@click.option("--also", metavar="NUMBER", help="It goes by this number too, such as 12x for the second 12.")
@click.option("--renumber", metavar="NUMBER", help="Give the tag another number.")
@click.option("--remove", is_flag=True, help="Remove the tag with its pins and log; undo brings it back.")
@json_option
def COMMAND(
    number: str | None, line: str | None, another: bool, change: bool, remove: bool, as_json: bool, **said: Any
) -> int:
    """Add a tag or say more about it. With the NUMBER alone, show all that is known of it.

    Numbers are text as written on the tape; they may repeat and skip. Only the number is needed.
    """
    if (number is None) == (line is None):
        raise click.UsageError('Say the number, or all in one line: --line "17 hose upper radiator A pump B head"')
    if both := set(said["capped"]) & set(said["uncapped"]):
        raise click.UsageError(f"End {both.pop()} cannot be capped and open at once")
    with opened() as archive:
        known = None if line is not None or another else _known(archive, str(number), said, remove=remove)
        if remove:
            tag = (known or resolve.get_tag(archive, number or "")).tag
            actions.remove_tag(archive, tag)
            if as_json:
                print_json({"tag": tag.number, "order": tag.order, "became": "removed"})
            else:
                console().print(f"{tag.number} is removed. Take that back with: asfound undo")
            return 0
        tag, became, questions = asked(
            lambda is_sure: _write(archive, known, number or "", line, said, another=another, is_sure=is_sure),
            is_sure=change,
        )
        card = read_card(archive, tag)
        if as_json:
            print_json({**card_document(card), "became": became or "same", "questions": questions})
        else:
            print_card(card, became)
        for told in (*_warnings(archive, known, tag, str(number or ""), became), *questions):
            errors().print(told)
        return 1 if questions else 0


def _write(
    archive: Archive,
    known: resolve.TagRef | None,
    number: str,
    line: str | None,
    said: dict[str, Any],
    *,
    another: bool,
    is_sure: bool,
) -> tuple[Tag, str, list[str]]:
    """Write all of it down in one step: the tag as it is then, what became of it, and what must be asked back."""
    typed = number or (line or "").partition(" ")[0].rstrip(":,;")
    if known is not None and line is None and all(value in (None, ()) for value in said.values()):
        return known.tag, "", []  # Only to be shown.
    met = known or (None if another else next(iter(resolve.find_tags(archive, typed)), None))
    before = {} if met is None else read_form(archive, met.tag)
    questions: list[str] = []
    with archive.step(_words_of_step(archive, known, typed, another=another)):
        if line is not None:
            entered = quick_line.enter_line(archive, line, is_another=another)
            tag, became = entered.tag, "added" if entered.is_new else "changed"
            questions += entered.questions
        else:
            tag = known.tag if known else actions.add_tag(archive, number, _tag_words(said))
            became = "" if known else "added"
        tag, changed, asked_back = _say_more(archive, tag, said, is_new=line is not None or became == "added")
        if not is_sure and met is not None and tag.tag_id == met.tag.tag_id:
            ask_before_overwriting(typed, before, read_form(archive, tag))
    became = became if became == "added" or line is not None else "changed" if changed else ""
    return tag, became, questions + asked_back


def _known(archive: Archive, number: str, said: dict[str, Any], *, remove: bool) -> resolve.TagRef | None:
    """The thing that the number names, None for a new one; of an end nothing may be said that is of the whole thing."""
    ref = resolve.get_tag(archive, number) if resolve.find_tags(archive, number) else None
    if ref is None or ref.end is None:
        return ref
    letter = ref.end.lower()
    for option in click.get_current_context().command.params:
        value = said.get(str(option.name))
        if value in (None, ()) or str(option.name).endswith(f"_{letter}") or value == (letter,):
            continue
        of_end = f"{option.opts[0]}-{letter}"
        hint = f", or {of_end} for that end" if of_end[2:-2] in {row.option for row in OF_END.values()} else ""
        raise Misused(f"{ref.as_read(number)}. {option.opts[0]} is not of end {ref.end}: name {ref.tag.number}{hint}.")
    if remove:
        raise Misused(f"{ref.as_read(number)}. Only a whole thing can be removed: name {ref.tag.number}.")
    return ref


def _words_of_step(archive: Archive, known: resolve.TagRef | None, typed: str, *, another: bool) -> str:
    """What undo will say; of a line its first word is what was typed."""
    if known is None and typed and not another:
        known = next(iter(resolve.find_tags(archive, typed)), None)
    return f"tag {known.tag.number} changed" if known else f"tag {typed} added"


def _say_more(archive: Archive, tag: Tag, said: dict[str, Any], *, is_new: bool) -> tuple[Tag, bool, list[str]]:
    """Everything the options say; the tag as it is then, whether anything was said, and what must be asked back."""
    words = _tag_words(said)
    changed = bool(words)
    if words:
        tag = actions.change_tag(archive, tag, words)
    for letter in LETTERS:
        end_words = _end_words(said, letter)
        actions.change_end(archive, tag, letter, end_words)
        changed = changed or bool(end_words)
    for rule, named in ((fitting.fit_after, said["fit_after"]), (fitting.fit_before, said["fit_before"])):
        if named:
            rule(archive, tag, _tags(archive, named))
    for other in _tags(archive, said["no_rule"]):
        fitting.drop_rule(archive, tag, other)
    for label in said["bag"]:
        quick_line.put_in_bag(archive, tag, label)
    if said["also"] is not None:
        actions.also_number(archive, tag, said["also"])
    if said["renumber"] is not None:
        tag = actions.renumber_tag(archive, tag, said["renumber"])
    changed = changed or any(said[name] for name in ("fit_after", "fit_before", "no_rule", "bag", "also", "renumber"))
    colours = (said[f"colour_{letter.lower()}"] for letter in LETTERS)
    asked = [question for colour in colours if colour and (question := colour_question(colour))]
    return tag, changed, list(dict.fromkeys(asked))


def _tags(archive: Archive, named: Sequence[str]) -> list[Tag]:
    return [resolve.get_tag(archive, words).tag for words in named]


def _tag_words(said: dict[str, Any]) -> TagWords:
    return TagWords(**{name: said[name] for name, row in OF_TAG.items() if row.option})


def _end_words(said: dict[str, Any], letter: EndLetter) -> EndWords:
    side = letter.lower()
    cap = True if side in said["capped"] else False if side in said["uncapped"] else None
    tape = True if side in said["tape_lost"] else False if side in said["tape_back"] else None
    words = {name: said[end_key(name, letter)] for name, row in OF_END.items() if row.option}
    return EndWords(**words, capped=cap, tape_lost=tape)


def _warnings(archive: Archive, known: resolve.TagRef | None, tag: Tag, typed: str, became: str) -> list[str]:
    """What a tired person may not have meant."""
    told = []
    if known is not None and known.end is not None:
        told.append(f"{known.as_read(typed)}.")
    if became == "added" and (shadow := actions.shadowed_end(archive, tag)):
        told.append(shadow)
    near = actions.near_number(archive, tag) if became == "added" else ""
    if near:
        told.append(f"{tag.number} is a new thing beside {near}. If that was a slip: asfound undo")
    if became == "added" and tag.order > 1:
        told.append(f"Number {tag.number} is on several things now; this one answers to {tag.number}.{tag.order}.")
    return told
