"""Stand-ins for decoders that go wrong, for processes that must be able to import them."""

from __future__ import annotations

import os
import signal
import time

from asfound.errors import NotMedia
from asfound.media.inspect import Inspected, Inspection
from asfound.media.limits import Limits


def inspect_badly(wanted: Inspection, limits: Limits) -> Inspected:
    """Do what the name says; be well-behaved for any other name."""
    match wanted.name:
        case "crash":
            os.kill(os.getpid(), signal.SIGSEGV)
        case "hang":
            time.sleep(600)
        case "spin":
            while True:
                pass
        case "swell":
            filled = bytearray(8 << 30)
            filled[-1] = 1
        case "refuse":
            raise NotMedia("no")
        case "surprise":
            raise ZeroDivisionError("unforeseen")
        case "exit":
            os._exit(3)
    return Inspected(None, trouble=f"{wanted.name} {os.getpid() == int(wanted.zone or 0)}")
