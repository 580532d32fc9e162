"""What stands in the fields of a form, which of them is in hand, and the words offered for it; without a screen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from asfound.core.log.tag_fields import TagField, offer_words, take_choice

LIST_FIELD = "bag"
"""Name of the field that holds a list with commas between; words are offered for the last of it."""


class FormTexts:
    """The texts of a form.

    Parameters
    ----------
    fields : sequence of TagField
        In the order in which one goes through them.

    Attributes
    ----------
    texts : dict of str to str
        What stands in the fields, by their keys; a field that was never filled may be missing.
    used : mapping of str to sequence of str
        Words that stand in fields of this name elsewhere in the job, the likeliest first.
    index : int
        Place of the field in hand.
    chosen : int
        Which of the offered words is chosen by the arrows; -1 for none.
    is_replaced_next : bool
        Whether the next letter takes the place of the text in hand, so that words are offered as for an empty field.
    """

    def __init__(self, fields: Sequence[TagField]) -> None:
        self.fields = tuple(fields)
        self.texts: dict[str, str] = {}
        self.used: Mapping[str, Sequence[str]] = {}
        self.index = 0
        self.chosen = -1
        self.is_replaced_next = False

    @property
    def field(self) -> TagField:
        """The field in hand."""
        return self.fields[self.index]

    @property
    def text(self) -> str:
        """What stands in the field in hand."""
        return self.texts.get(self.field.key, "")

    @property
    def begun(self) -> str:
        """The word that is being typed; in a list only the last of it."""
        text = "" if self.is_replaced_next else self.text
        return text.rpartition(",")[2].lstrip() if self.field.name == LIST_FIELD else text

    @property
    def offered(self) -> tuple[str, ...]:
        """Words that could stand in the field in hand, the likeliest first."""
        return offer_words(self.field, self.begun, self.used.get(self.field.name, ()))

    @property
    def taken(self) -> str:
        """The offered word that → takes: the one chosen, else the first for what was typed; empty for none."""
        offered = self.offered
        if 0 <= self.chosen < len(offered):
            return offered[self.chosen]
        return offered[0] if offered and self.begun else ""

    @property
    def rest(self) -> str:
        """How the word that is being typed goes on, where the word that → takes begins so."""
        begun, taken = self.begun, self.taken
        return taken[len(begun) :] if taken.casefold().startswith(begun.casefold()) else ""

    def hold(self, index: int) -> None:
        """Take another field in hand; after the last comes the first."""
        self.index = index % len(self.fields)
        self.chosen = -1

    def place_of(self, key: str) -> int:
        """Where the field with this key stands."""
        return [field.key for field in self.fields].index(key)

    def write(self, text: str) -> None:
        """Let a text stand in the field in hand."""
        if text != self.text:
            self.texts[self.field.key] = text
            self.chosen = -1

    def choose(self, by: int) -> None:
        """Go on among the offered words; before the first none is chosen."""
        self.chosen = max(-1, min(self.chosen + by, len(self.offered) - 1))

    def take(self) -> None:
        """Let the offered word stand in the field in hand; of a list it is the last."""
        kept = self.text.rpartition(",")[0] if self.field.name == LIST_FIELD else ""
        self.write(f"{kept}, {self.taken}" if kept else self.taken)

    def settle(self) -> None:
        """What was chosen stands; where only some words can stand, the beginning of one is enough."""
        if self.chosen >= 0:
            self.take()
        elif self.field.choices and self.text.strip():
            self.write(take_choice(self.field, self.text))
