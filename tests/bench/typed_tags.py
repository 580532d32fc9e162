"""How many tags typed in one line have the size, bag and number that are meant, and nothing lifted out of a phrase.

Run: python tests/bench/typed_tags.py tests/data/typed_lines/tags.txt
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

from asfound.core.log.entry import parse_entry

FIELDS = ("number", "size", "bag")


def meant_fields(words: str) -> dict[str, str]:
    """The fields that a line is to have; those not named are empty."""
    said = dict(re.findall(r"(\w+)=(.*?)(?= \w+=|$)", words))
    return {name: said.get(name, "") for name in FIELDS}


def read_fields(line: str) -> dict[str, str]:
    """The fields that it has."""
    entry = parse_entry(line)
    return {name: getattr(entry, name) for name in FIELDS}


def main(path: Path) -> None:
    lines = [one.split(" => ") for one in path.read_text().splitlines() if not one.startswith("#")]
    wrong = [line for line, meant in lines if read_fields(line) != meant_fields(meant)]
    lifted = [line for line in wrong if read_fields(line)["size"] not in ("", meant_fields(dict(lines)[line])["size"])]
    print(f"{len(lines) - len(wrong)} of {len(lines)} as meant; {len(lifted)} with a size that is none")
    print("".join(f"  {line}: {read_fields(line)}\n" for line in wrong), end="")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
