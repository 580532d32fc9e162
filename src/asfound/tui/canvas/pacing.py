"""Draw only as fast as the terminal shows: after each frame it is asked a question, and its answer allows the next.

Without this, a slow line fills with frames that nobody wants any more, and the screen lags by seconds.
"""

from __future__ import annotations

from dataclasses import dataclass

QUESTION = "\x1b[6n"
PATIENCE_S = 2.0
SLOW_S = 0.15
REFINE_AFTER_S = 0.2


@dataclass
class Pacer:
    """Whether the next frame may be drawn. All times are seconds of one monotonic clock.

    Attributes
    ----------
    on : bool
        Off, every frame may be drawn at once; for tests and for drivers without a terminal.
    round_trip_s : float
        Smoothed time from a frame to its answer; 0 until the first answer.
    moved_at : float
        When another part of the picture was last asked for.
    """

    on: bool = True
    round_trip_s: float = 0.0
    moved_at: float = 0.0
    _asked_at: float | None = None

    def may_draw(self, now: float) -> bool:
        """Whether the terminal has shown the last frame, or has not answered for so long that it never may."""
        return not self.on or self._asked_at is None or now - self._asked_at >= PATIENCE_S

    def asked(self, now: float) -> None:
        """A frame went out, and behind it the question."""
        self._asked_at = now

    def answered(self, now: float) -> None:
        """The terminal answered the question."""
        if self._asked_at is None:
            return
        took = now - self._asked_at
        self.round_trip_s = took if not self.round_trip_s else 0.6 * self.round_trip_s + 0.4 * took
        self._asked_at = None

    @property
    def is_slow(self) -> bool:
        """Whether frames take so long that moving should be drawn coarsely and refined when it stops."""
        return self.on and self.round_trip_s > SLOW_S

    def is_coarse(self, now: float) -> bool:
        """Whether to draw quickly now and well a moment later."""
        return self.is_slow and now - self.moved_at < REFINE_AFTER_S
