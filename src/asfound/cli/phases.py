"""In what part of the job a command is used, so that the help can be read in the order of the work.

A command that is named nowhere stands under the last heading.
"""

from __future__ import annotations

PHASES: dict[str, tuple[str, ...]] = {
    "Taking in and sorting": (
        "job",
        "add",
        "clock",
        "camera",
        "frame",
        "sort",
        "spots",
        "spot",
        "pairs",
        "pictures",
        "document",
        "documents",
    ),
    "Before it comes off": (
        "walk",
        "labels",
        "tag",
        "tags",
        "flag",
        "belt",
        "pin",
        "pins",
        "confirm",
        "reject",
        "unpin",
        "read",
        "gaps",
    ),
    "Coming off": (
        "off",
        "event",
        "drained",
        "sent",
        "set",
        "out",
        "bag",
        "bags",
        "snag",
        "snags",
        "strike",
        "log",
        "handover",
        "sling",
    ),
    "The way back": (
        "resume",
        "find",
        "show",
        "copy",
        "regions",
        "where",
        "fit",
        "hold",
        "in",
        "filled",
        "bled",
        "leaks",
        "value",
        "reached",
        "back",
        "buy",
        "compare",
        "refitted",
        "looked",
        "book",
    ),
    "At any time": ("screens", "undo", "redo", "check", "repair", "backup", "restore", "demo", "rebuild", "completion"),
}


def in_order(names: list[str]) -> list[tuple[str, list[str]]]:
    """The given command names under their headings, in the order of the job."""
    named = {name for part in PHASES.values() for name in part}
    parts = [(heading, [name for name in part if name in names]) for heading, part in PHASES.items()]
    parts[-1][1].extend(name for name in names if name not in named)
    return [(heading, part) for heading, part in parts if part]
