"""Colours of wires: main colour and stripes kept apart, the code of IEC 60757 derived from them.

The order in which a wire's colours are named carries meaning: red with a black stripe is another wire than black with
a red one. IEC 60757 sorts its codes and so throws that away, hence the code is only ever made, never stored. What a
person saw is accepted as it is; this module notes and asks, it corrects nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from asfound.core.words import COLOUR_CODES
from asfound.errors import Misused

GREEN_YELLOW = "GNYE"

COLOURS = {**{code.upper(): name for code, name in COLOUR_CODES.items()}, GREEN_YELLOW: "green-and-yellow"}
"""Codes of IEC 60757:2021, table 1, in its order, with their English names.

Read through GOST 28763-90, which has the text of the 1983 edition.
"""

NOT_A_PROOF = "On a vehicle or a boat green-and-yellow is not proof of a protective earth."
"""Common practice, no source."""

OTHER_MIX = "Outside IEC 60757:2021, 5.1, which allows GN and YE together only as GNYE; kept as seen."

_RANK = {code: rank for rank, code in enumerate(COLOURS)}
_MIX = frozenset({"GN", "YE"})


@dataclass(frozen=True, slots=True)
class WireColour:
    """The colours of one wire, core or item.

    Attributes
    ----------
    main : str
        Code of the colour that covers most of it; "GNYE" is one mark.
    stripes : tuple of str
        Codes of the stripes, the broadest first; empty when there are none.

    Raises
    ------
    Misused
        If a code is not in table 1.
    """

    main: str
    stripes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for code in self.codes:
            if code not in COLOURS:
                raise Misused(f"{code} is not a colour of IEC 60757: take one of {', '.join(COLOURS)}.")

    @property
    def codes(self) -> tuple[str, ...]:
        """Main colour, then stripes."""
        return (self.main, *self.stripes)

    @property
    def shown(self) -> str:
        """As the trade writes it, main colour first: "RD/BK". Common practice, no source."""
        return "/".join(self.codes)

    @property
    def iec(self) -> str:
        """Codes joined in table order (IEC 60757:2021, 5.1), each once; which of them is the main colour is lost.

        Green with yellow is always "GNYE", which stands last in the table.
        """
        codes = set(self.codes)
        if GREEN_YELLOW in codes or codes >= _MIX:
            codes = (codes - _MIX) | {GREEN_YELLOW}
        return "".join(sorted(codes, key=_RANK.__getitem__))

    @property
    def words(self) -> str:
        """In English: "red with black stripe"."""
        main, *stripes = (COLOURS[code] for code in self.codes)
        if not stripes:
            return main
        *first, last = stripes
        return f"{main} with {', '.join(first)} and {last} stripes" if first else f"{main} with {last} stripe"

    @property
    def notes(self) -> tuple[str, ...]:
        """What a reader of the record should know; nothing here is an error."""
        if self.iec == GREEN_YELLOW:
            return (NOT_A_PROOF,)
        return (OTHER_MIX,) if self.stripes and not {*_MIX, GREEN_YELLOW}.isdisjoint(self.codes) else ()


def join_cores(cores: Iterable[WireColour]) -> str:
    """Code for the cores of one cable, in the order given: "BK+BK+BN+BU+GNYE".

    References
    ----------
    IEC 757:1983, read through GOST 28763-90. Clause 5.2 of the 2021 edition (colours that alternate along one item) was
    not seen and is not followed.
    """
    return "+".join(core.iec for core in cores)
