"""What holds for all tests: none may reach the network, none is judged by seconds, the longest files come first."""

from __future__ import annotations

import sys
from typing import Any

import hypothesis
import pytest

LONGEST_FIRST = (
    "test_whole_story.py",
    "test_two_jobs.py",
    "test_privacy.py",
    "test_json_keys.py",
    "test_query.py",
    "test_compare.py",
    "test_published_pairs.py",
    "test_crash_matrix.py",
    "test_failing_disk.py",
    "test_other_systems.py",
    "test_sort_script.py",
    "test_demo.py",
)
"""Files of a minute and more: the last one to be begun would keep one core busy while the others have nothing left."""

REACHING_OUT = frozenset({"socket.connect", "socket.sendto", "socket.sendmsg", "socket.bind", "socket.getaddrinfo"})
"""Events that Python reports before it reaches out, whoever asks for it (PEP 578)."""


class NetworkUsed(BaseException):
    """Nothing catches it: a library that goes on without the network must not hide that it asked."""


def refuse_network(event: str, told: tuple[Any, ...]) -> None:
    """Let only sockets within this machine's own files pass, such as those between processes."""
    if event not in REACHING_OUT:
        return
    address = told[1] if event != "socket.getaddrinfo" and len(told) > 1 else told
    if not isinstance(address, str | bytes):  # the address of a file is a path
        raise NetworkUsed(f"{event} {address}")


sys.addaudithook(refuse_network)


hypothesis.settings.register_profile("asfound", deadline=None)
hypothesis.settings.load_profile("asfound")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files as a whole, the longest first; inside a file the order stays."""
    place = {name: at for at, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: place.get(item.path.name, len(place)))
