"""What is said of a tag end that was looked for."""

from __future__ import annotations

from asfound.actions.ends import FindEntry


def not_found_words(words: str) -> str:
    """What to say, and to do, when nothing answers."""
    if words[:1].isdigit():
        return f"No tag begins with {words}. To make that tag, open a picture of it, type the number and press space."
    return f'Nothing matches "{words}". Try fewer words, or t for the list of all tags.'


def end_words(entry: FindEntry) -> str:
    """A tag end with its name: ``112 A fuel return hose``."""
    end = "" if entry.tag.ends == 1 else f" {entry.end.end}"
    return f"{entry.tag.number}{end} {entry.tag.name}".strip()


def no_picture_words(entry: FindEntry, other: FindEntry | None) -> str:
    """What can be done now for an end that no picture shows; `other` is the end that is shown in its place."""
    place = f" Its place: {entry.end.place}." if entry.end.place else ""
    if entry.state == "off":
        now = "It is off: if a picture of its spot shows it, pin it there."
    elif entry.state == "refitted":
        now = "It is back on: a new picture shows only how it was refitted."
    else:
        now = "Still in place: photograph it now, or pin it on a picture that shows it."
    has_none = "has no picture" if other is None else f"has no picture; this is its end {other.end.end}"
    return f"{end_words(entry)} {has_none}.{place} {now}"
