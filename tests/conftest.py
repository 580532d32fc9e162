"""No test may reach the network: the program never does, and what it uses must not either."""

from __future__ import annotations

import sys
from typing import Any

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
