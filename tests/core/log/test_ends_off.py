"""One end off and on again."""

from __future__ import annotations

from dataclasses import replace

import pytest

from asfound.core.log.ends_off import of_the_whole
from tests.core.log.makers import event


@pytest.mark.parametrize(
    ("happened", "counts"),
    [
        ("off refitted", "off refitted"),
        ("offA refittedA", "off refitted"),
        ("offA offB refittedA", "off off"),
        ("offA offB refittedA refittedB", "off off refitted"),
        ("off refittedA", "off"),
        ("off refittedA refittedB", "off refitted"),
        ("offA refitted", "off refitted"),
        ("refittedA", ""),
        ("refittedA refittedB", "refitted"),
        ("off refitted offB refittedB", "off refitted off refitted"),
    ],
)
def test_a_thing_is_refitted_once_each_end_that_came_off_is_back(happened: str, counts: str):
    events = [
        replace(
            event(1, "off" if word.startswith("off") else "refitted", at), end=word[-1] if word[-1].isupper() else ""
        )
        for at, word in enumerate(happened.split())
    ]

    assert [one.kind for one in of_the_whole(events)] == counts.split()


def test_things_are_kept_apart():
    events = [
        event(1, "off", 0),
        event(2, "off", 1),
        replace(event(1, "refitted", 2), end="A"),
        event(2, "refitted", 3),
    ]

    assert [(one.tag_id, one.kind) for one in of_the_whole(events)] == [(1, "off"), (2, "off"), (2, "refitted")]
