"""Words by which a line denies, asks, plans or doubts: with these nothing is taken as done."""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.core.typed.said import Unread
from asfound.core.typed.tokens import Token

_HEARSAY = frozenset(
    "apparently supposedly allegedly presumably hopefully hope hoping believe reckon reckons reckoned says said told "
    "claims kidding joking".split()
)
_RETRACTED = frozenset(
    "sorry wait actually scratch correction cancel meant mean ignore undo delete nope tbc tbd".split()
)
_UNSURE = frozenset("? maybe perhaps probably possibly likely think thought guess suppose unsure whether".split())
ANYWHERE = _HEARSAY | _RETRACTED | _UNSURE | frozenset({"tomorrow", "except", "theory", "dreams"})
"""With one of these a line is asked back wherever the word stands, in a remark too."""

_HELPERS = frozenset(
    "must should shall will would could might can cant cannot wont dont doesnt didnt hasnt havent hadnt isnt arent wasnt "
    "werent couldnt wouldnt shouldnt mustnt neednt going gonna aint".split()
)
_DENIED = frozenset("not never none nothing nobody no-one noone neither nor without hardly barely scarcely".split())
_IN_PART = frozenset("nearly almost half halfway partly partially only once alone".split())
_TO_COME = frozenset(
    "yet still soon later next need needs needed want wants wanted plan plans planned planning scheduled required wish "
    "pending ready please todo remember remind ongoing started starting begun attempted try tried trying attempt "
    "ought supposed forget forgot failed impossible progress".split()
)
_HANGS_ON = frozenset(
    "if unless until till instead before either or when whenever while because assuming assume provided after "
    "removing disconnecting".split()
)
_ASKED = frozenset("who why how where what which".split())
BESIDE_VERB = (
    ANYWHERE
    | _HELPERS
    | _DENIED
    | _IN_PART
    | _TO_COME
    | _HANGS_ON
    | _ASKED - {"where"}
    | set("sure wrong being getting longer heard imagine someone somebody anyone".split())
) - {"after"}
"""With one of these beside the words that say what happened, a line is asked back."""

_TURNS = (
    _HELPERS
    | _DENIED - {"none"}
    | _IN_PART
    | _TO_COME
    | _ASKED
    | frozenset(
        "no loosened slackened loosed undone wrong false mistake mixed skip skipped stopped gave given strike due doing when why check or was is "
        "to".split()
    )
)
_EMPTY = frozenset(
    "it its that this them they he she i we you me us him her of in on off at the a an to be been do did does done have "
    "has had are were was is but and or so then there here now really again quite sure joy luck know up about one end ends "
    "side sides way both all possible checked go".split()
)
"""Words that say nothing by themselves: where only these stand beside one of `_TURNS`, they speak of what was said."""

_QUESTION = re.compile(
    r"(?:was|were|is|isnt|are|am|did(?! up )|do|does|has|hasnt|had(?! to )|havent|can|could|should|will|would|shall|may|might) |"
    r"have (?:i|we|you|they|it) |(?:who|whos|what|whats|why|where|wheres|when|which|how) "
)
_INTENDED = re.compile(r"(?<!had )\b(?:to be|to have|to come|to go|to do|about to|plan to)\b")
_LONE_END = re.compile(r"(?:(?:at|on) )?(?:(?:the|only|just) )*(?:one|other|single) (?:end|side)(?: only)?")


def refuse_open_line(tokens: Sequence[Token]) -> None:
    """Refuse a line that is a question, an order to somebody, or says what is to come.

    Raises
    ------
    Unread
        With the words that leave it open.
    """
    codes = " ".join(one.code for one in tokens)
    if _QUESTION.match(codes):
        raise Unread(f'"{tokens[0].text}" at the beginning asks; say what happened.')
    is_away = re.search(r"\b(?:sent|took|taken|brought|posted|shipped)\b", codes) is not None
    if not is_away and (found := _INTENDED.search(codes)):
        raise Unread(f'"{found[0]}" leaves it open whether it happened.')


def refuse_open(tokens: Sequence[Token], allowed: frozenset[str] = frozenset()) -> None:
    """Refuse words beside a verb that leave it open whether it happened."""
    for token in tokens:
        if token.code in BESIDE_VERB - allowed:
            raise Unread(f'"{token.text}" leaves it open whether it happened.')


def refuse_turned(tokens: Sequence[Token]) -> None:
    """Refuse a remark that turns over what was said before it: "not yet", "or not", "i hope", "one end only"."""
    codes = [one.code for one in tokens]
    text = " ".join(one.text for one in tokens)
    turning = [code for code in codes if code in _TURNS]
    if turning and all(code in _TURNS | _EMPTY | {"T", "#", ","} for code in codes):
        raise Unread(f'"{text}" may turn over what was said before it.')
    if _LONE_END.fullmatch(" ".join(codes)):
        raise Unread(f'"{text}" does not say which end; say it with the number, such as 17a.')


def turns(token: Token) -> bool:
    """Whether a word in a remark can turn over what was said."""
    return token.code in _DENIED | _HELPERS | _IN_PART | {"no", "yet", "still"}
