"""Start the screens. Textual is loaded here and not before, after its switches are set."""

from __future__ import annotations

import os
from collections.abc import Callable

from asfound.tui.service import Service
from asfound.tui.terminal import prepare_environment, terminal_key


def launch(service_factory: Callable[[], Service]) -> None:
    """Run the screens until the person leaves.

    Parameters
    ----------
    service_factory : callable
        Opens the archive; called once, before the first screen.
    """
    prepare_environment(os.environ)
    from asfound.tui.app import ArchiveApp

    class TerminalApp(ArchiveApp):
        def on_ready(self) -> None:
            _settle_memory()
            if self._driver is not None:
                self._driver.write("\x1b[?2048l")

    TerminalApp(service_factory(), paced=True, terminal=terminal_key(os.environ)).run()


def _settle_memory() -> None:
    """Keep the collector from walking over everything that stays until the end: it halves the slowest frames."""
    import gc

    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
