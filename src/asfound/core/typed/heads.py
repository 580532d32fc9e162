"""The part of a line that says what happened, as rules over its codes; each rule gives what was said.

"T" stands for numbers of things, "G" for a bag, "Qlen" and the like for an amount, "P" for a number of pieces.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from asfound.core.typed import said as kinds
from asfound.core.typed import vocabulary as words
from asfound.core.typed.said import Said, Unread
from asfound.core.typed.tokens import Token

_PART = rf"(?:(?:(?!(?:off|on|back|out|in|has|had|no|not|new|came|took)\b)[a-z]+ )?(?:{words.PARTS})|P)"
_BROKE = r"(?:snapped|broke|broken|cracked|split|sheared|shattered|burst|tore|torn|ripped|chipped|fractured)(?: off| through)?"
_STOP = rf"(?:(?:[a-z]+ ){{0,2}}(?:{words.STOPPERS}))"
_OF = r"(?:of|on|in|at|from|by|for)"
_AMOUNT = r"(?:Q(?:len|ang|x|vol)|N|#)"
_AMOUNTS = rf"{_AMOUNT}(?:(?: to| -| x| plus| and| \+/-)? {_AMOUNT})*"
_IS = r"(?:(?:is|of|measured|measures|at|now|about|came to) )*"
_SHOP = rf"(?P<who>(?:[a-z]+ ){{0,3}}(?:{words.SHOPS})(?: of [a-z]+)?)"
_X = rf"(?:T|(?P<what>{words.UNNUMBERED}))"
_TAPE = r"(?:tape|label|tag|flag|number|sticker|marker)"
_GROUP = (
    r"(?!(?:all|is|are|with|has|in|out|on|off|to|of|by|for|from|back|short|more|less|other|over|left|some|any|both|last|new|"
    r"only|one|two|three)\b)[a-z]+"
)
_COUNT = r"(?:#|P|T|all|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)"

Take = Callable[["Head"], tuple[Said, ...]]


@dataclass(frozen=True, slots=True)
class HeadRule:
    """A pattern over the whole of the codes; its groups are texts as typed."""

    name: str
    pattern: re.Pattern[str]


@dataclass(frozen=True, slots=True)
class Head:
    """A rule that matched: the tokens, and its groups."""

    tokens: Sequence[Token]
    groups: dict[str, str]

    @property
    def tags(self) -> tuple[str, ...]:
        """The numbers, where a rule has one "T"."""
        found = [token for token in self.tokens if token.code == "T"]
        if len(found) > 1:
            raise Unread("Two lists of numbers stand in one sentence; say them apart.")
        return found[0].of if found else ()

    @property
    def bag(self) -> str:
        """The bag's label."""
        return next((token.of[0] for token in self.tokens if token.code == "G"), "")

    def of(self, code: str) -> str:
        """The text of the one token with this code."""
        return next((token.text for token in self.tokens if token.code.startswith(code)), "")

    def count(self) -> str:
        """The one number that is a count."""
        found = [token.of[0] for token in self.tokens if token.code in ("#", "P", "T")]
        return found[0] if found else ""


def _rule(kind: str, *patterns: str) -> list[HeadRule]:
    return [HeadRule(kind, re.compile(f"(?:{pattern})")) for pattern in patterns]


RULES: tuple[HeadRule, ...] = (
    *_rule(
        "broken",
        rf"{_BROKE} (?P<note>{_PART})(?: off)? {_OF} T(?P<rest> .+)?",
        rf"(?P<note>{_PART}) {_OF} T {_BROKE}(?P<rest> .+)?",
        rf"T (?P<note>{_PART}) {_BROKE}(?P<rest> .+)?",
        rf"T {_BROKE} (?P<note>{_PART})",
        rf"(?P<note>{_PART}) {_BROKE} {_OF} T(?P<rest> .+)?",
        rf"(?P<note>broken {_PART}) {_OF} T(?P<rest> .+)?",
        rf"T (?:with )?(?P<note>(?:broken|cracked|snapped|sheared) {_PART})",
    ),
    *_rule("cut", r"(?:sawed|sawn|cut|hacksawed|ground) (?:right )?(?:through|thru) T(?P<rest> .+)?"),
    *_rule(
        "capped",
        rf"(?:put|stuck|stuffed|pushed|shoved|placed|pressed|hammered|screwed)? ?(?P<note>{_STOP}) (?:in|on|over|into|onto|to) T(?P<rest> .+)?",
        rf"(?P<note>{_STOP}) (?:stuffed|put|stuck|pushed|shoved) (?:in|on|into|onto) T",
        rf"T (?P<note>{_STOP}) (?:on|in|fitted|in place|pushed in)",
        r"T (?:closed|stopped|sealed|stoppered|blocked|stuffed|plugged|capped|packed)(?: off| up)? with (?P<note>.+)",
        r"(?:closed|stopped|sealed|blocked)(?: off| up)? T with (?P<note>.+)",
    ),
    *_rule(
        "uncapped",
        rf"(?:(?:took|taken|pulled|removed|got|pulled out|fished) )?(?P<note>{_STOP}) (?:out of|out from|off of|off from|off|out|from) T",
        rf"(?:took|taken|pulled|got) (?:off|out) (?P<note>{_STOP}) (?:of|from) T",
        rf"T (?P<note>{_STOP}) (?:out|off|removed|taken off|taken out|out again|off again)",
        rf"(?!tape)(?P<note>{_STOP}) (?:of|from|on|in) T (?:out|off|removed|taken off|taken out|came off|came out|off again|out again)",
        rf"(?:took|taken|pulled|removed) T(?:s)? (?P<note>{_STOP}) (?:off|out)",
        rf"(?P<note>{_STOP}) (?:fell|came|blew|popped|dropped|fallen|come) (?:off of|out of|off|out) T",
    ),
    *_rule(
        "measured",
        rf"(?:measured )?(?P<what>{words.VALUES}) {_IS}(?P<amount>{_AMOUNTS}) (?:on|at|of|for|in|by|under) T(?P<rest> .+)?",
        rf"(?:measured )?(?P<what>{words.VALUES}) (?:on|at|of|for|in|by|under) T {_IS}(?P<amount>{_AMOUNTS})(?P<rest> .+)?",
        rf"(?:measured )?T (?:has |with )?(?P<what>{words.VALUES}) {_IS}(?P<amount>{_AMOUNTS})(?P<rest> .+)?",
        rf"(?:measured )?(?P<amount>{_AMOUNTS}) (?:of )?(?P<what>{words.VALUES}) (?:on|at|of|for|in|by|under) T(?P<rest> .+)?",
        rf"(?:measured )?T (?:has )?(?P<amount>{_AMOUNTS}) (?P<what>{words.VALUES})(?P<rest> .+)?",
        rf"(?:measured )?(?P<what>{words.VALUES}) T {_IS}(?P<amount>{_AMOUNTS})(?P<rest> .+)?",
        r"T (?P<amount>Qx)",
        rf"T (?:measured|measures|measuring) (?P<amount>{_AMOUNTS})(?P<rest> .+)?",
        rf"measured (?P<amount>{_AMOUNTS}) (?:on|at|of|for|in|by|under) T(?P<rest> .+)?",
        rf"measured T {_IS}(?P<amount>{_AMOUNTS})(?P<rest> .+)?",
        rf"T measured (?P<what>{words.VALUES}) {_IS}(?P<amount>{_AMOUNTS})(?P<rest> .+)?",
    ),
    *_rule(
        "torque",
        r"T (?:(?:torqued|tightened|done|pulled|set|torque|tight|nipped|up|down|to|at|with|refitted at) )*(?P<amount>Qnm.*)",
        r"(?:torqued|tightened|did|pulled|set|torque|nipped|done)(?: up| down)?(?: on| of| for)? T (?:(?:up|down|to|at|with) )*(?P<amount>Qnm.*)",
        r"(?P<amount>Qnm)(?: torque)? (?:on|at) T",
        r"(?:torqued|tightened|pulled tight|pulled)(?: up)? (?:(?:to|at|with) )?(?P<amount>Qnm) (?:on )?T",
        r"pulled tight T (?:(?:to|at|with) )?(?P<amount>Qnm.*)",
        r"T (?:torqued|tightened|turned|pulled)?(?: (?:by|to|another|further|through|plus))*(?: Qang) (?P<none>never)",
    ),
    *_rule(
        "on with torque",
        r"T (?:on|back on|refitted|fitted|reinstalled|installed|mounted|bolted on|put back|put back on|back in)(?: and)?"
        r"(?: (?:torqued|tightened|to|at|with))* (?P<amount>Qnm.*)",
        r"(?:refitted|fitted|reinstalled|installed|mounted) T(?: and)?(?: (?:torqued|tightened|to|at|with))* (?P<amount>Qnm.*)",
    ),
    *_rule(
        "sent out",
        rf"(?:sent|posted|shipped|mailed|couriered|dispatched) (?:(?:out|off|away) )?{_X}(?: (?:out|off|away))?(?: to (?P<who>.+))?",
        rf"{_X} (?:sent|posted|shipped|mailed|couriered|dispatched)(?: (?:out|off|away))?(?: to (?P<who>.+))?",
        rf"(?:took|taken|brought|drove|carried|handed|gave|delivered|dropped|left|driven) (?:off )?{_X} (?:in |off |over |round |down |out |away )?(?:to|at|with|in) {_SHOP}(?P<rest> .+)?",
        rf"{_X} (?:taken|brought|driven|carried|handed|given|delivered|dropped|went|gone|left) (?:in |off |over |out |away )?(?:to|at|with|in) {_SHOP}(?P<rest> .+)?",
    ),
    *_rule(
        "came back",
        rf"{_X} (?:back|(?:came|come|arrived|returned|collected|fetched|got|brought|picked up|received)(?: back)?)(?: again)? from (?P<who>.+?)",
        rf"{_X} (?:came|come|arrived) back(?P<rest> .+)?",
        rf"(?:collected|fetched|got|picked up|received|brought) {_X}(?: up)? (?:back )?(?:again )?from (?P<who>.+?)",
        rf"(?:got|had|collected|brought|fetched) {_X} back(?: from (?P<who>.+?))?",
        rf"(?:collected|fetched) {_X}(?P<rest> .+)?",
        rf"got back {_X}(?: from (?P<who>.+?))?",
        rf"(?P<what>{words.UNNUMBERED}) (?:back|returned|collected|here again)(?: from (?P<who>.+?))?(?P<rest> .+)?",
    ),
    *_rule(
        "new part",
        r"new (?:part|one|unit) (?:for|on|at|in) T(?P<rest> .+)?",
        r"(?:swapped|changed|replaced|exchanged) T (?:for|with|by|against) (?:new|replacement)(?: one| part| unit| item| hose)?(?P<rest> .+)?",
        r"replaced T(?P<rest> .+)?",
        r"renewed T(?P<rest> .+)?",
        r"T (?:new part|new one|new unit)(?: in| on| fitted| installed)?",
        r"(?:put|fitted) (?:new part|new one) (?:on|in|for|at) T",
        r"T is new(?: one)?",
    ),
    *_rule(
        "new part on",
        r"(?:fitted|installed|mounted|put in|put on|refitted) new T(?P<rest> .+)?",
        r"(?:put) new T (?:on|in)(?P<rest> .+)?",
        r"new T (?:fitted|installed|mounted|on|in|put in|put on|connected)(?P<rest> .+)?",
        r"T (?:new part|new one|new unit|new) (?:fitted|installed|mounted) (?:and on|on)",
    ),
    *_rule(
        "bagged",
        r"T (?:bagged|put|placed|went)?(?: up)? ?(?:in |into )?G(?P<rest> .+)?",
        r"(?:bagged|put|placed) (?:up )?T (?:up )?(?:in |into |to )?G",
        rf"(?:bagged|put|placed)? ?(?P<note>{_PART}|[a-z]+) (?:of|from|off) T (?:(?:go|went|gone|put|bagged|now|is|are) )*(?:in |into |to )?G",
        rf"T (?P<note>{_PART}) (?:(?:go|went|gone|put|bagged|now|is|are) )*(?:in |into |to )?G",
        rf"(?:bagged|put|placed) T (?P<note>{_PART}) (?:in |into |to )?G",
    ),
    *_rule(
        "counted back",
        rf"(?P<amount>{_COUNT})(?: (?:of|out of) (?:#|T|P))?(?: (?:pieces|back|again|found|counted|came|out|of))* (?:back|again|found|counted|came)(?: out)? (?:in|from|into|out of|of|to|for) G",
        rf"(?:counted|found|got|put) (?P<amount>{_COUNT})(?: of #)? back (?:from|in|into|out of|to) G",
        rf"(?:counted|found) (?P<amount>{_COUNT})(?: of #)? (?:from|out of) G",
        rf"counted G(?: back)? (?P<amount>{_COUNT})(?: back)?",
        rf"G (?:counted )?(?:all )?(?P<amount>{_COUNT})(?: (?:of|out of) (?P<most>#|T))? (?:counted )?(?:back|back in|again|counted back|came back|returned)",
        rf"G (?P<what>{_GROUP}) (?P<amount>#|T|all)(?: (?:of|out of) (?P<most>#|T))? (?:back|counted back|came back)",
        rf"G (?:counted back|back) (?P<amount>{_COUNT})",
        r"G (?:(?:is|all|complete|everything) )*(?P<amount>all|complete|everything)(?: (?:is|counted|came|there))* (?:back|there)",
        r"(?P<amount>all|everything) (?:from|of|in|out of) G (?:is |are |came )?back",
        r"(?P<amount>all|everything) back (?:from|in|into|out of) G",
    ),
    *_rule(
        "counted out",
        r"G (?:counted )?(?P<amount>#|P|T) (?:out|in|inside|went in|put in|counted out|counted in|pieces|pcs)",
        rf"G (?P<what>{_GROUP}) (?P<amount>#|T) (?:out|in|inside|went in|put in)",
        r"(?:put|placed|counted|dropped|bagged) (?P<amount>#|P|T)(?: out)? (?:in|into|to|inside) G",
        r"(?P<amount>P) (?:went |put |are |is |counted )*(?:in|into) G",
        r"G (?:has|holds|contains|with|got) (?P<amount>#|P|T)",
        r"counted out (?P<amount>#|P|T) (?:in|into|for|to) G",
        r"G counted out (?P<amount>#|P|T)",
        r"G P",
    ),
    *_rule(
        "tape lost",
        rf"(?:lost )?{_TAPE} (?:is |was )?(?:lost|gone|missing|off|came off|fell off|fallen off|unreadable|illegible|dropped off|has gone|come off) (?:on|of|from|at|for|off|by) T",
        rf"{_TAPE} (?:on|of|from|at|for|off|by) T (?:(?:is|was|has|now) )*(?:lost|gone|missing|off|came off|fell off|fallen off|come off|unreadable|illegible|lost in.*)",
        rf"T (?:(?:has|is|its) )*(?:{_TAPE} )(?:(?:is|was|has) )*(?:lost|gone|missing|off|came off|fell off|fallen off|come off|unreadable|illegible)",
        rf"T (?:has |is )?(?:lost|lost its|missing|without|has no|no|dropped) {_TAPE}",
        rf"(?:lost|missing|no) {_TAPE} (?:on|of|from|at|for|off)? ?T",
        rf"{_TAPE} (?:lost|gone|off) T",
        r"(?:tape|label|sticker|flag) T (?:lost|gone|missing|off|came off|fell off|fallen off|unreadable)",
        rf"{_TAPE} (?:fell|came|fallen|come|dropped) off T",
    ),
    *_rule(
        "tape back",
        r"(?:retaped|relabelled|relabeled|retagged|re taped|reflagged) T(?: again)?",
        r"T (?:retaped|relabelled|relabeled|retagged|re taped)(?: again)?",
        rf"(?:put|stuck|wound|wrapped)? ?(?:new |fresh )?{_TAPE} (?:is |put )?(?:back |again )?(?:back|again|on|back on|again on) (?:on|to|onto|at)? ?T(?: again)?",
        rf"(?:new|fresh) {_TAPE} (?:(?:on|for|at) )?T",
        rf"(?:put|stuck|wound) (?:new |fresh )?{_TAPE} (?:on|to|onto) T(?: again)?",
        rf"T (?:has |got )?(?:new |fresh )?{_TAPE} (?:(?:is|put|stuck) )*(?:back|again|back on|on again|renewed|found|new)(?: on)?",
        rf"T new {_TAPE}(?: on)?",
        rf"{_TAPE} of T (?:is )?(?:back|back on|renewed|on again)",
    ),
    *_rule(
        "lifted out",
        r"(?:engine|motor)(?: is)? (?:lifted |hoisted |craned |pulled |taken |came |come |hauled )?out(?: of (?:boat|car|van|tractor|machine|hull|truck|vehicle))?(?P<rest> with [a-z ]+)?",
        r"(?:lifted|hoisted|craned|pulled|took|hauled|got|taken|brought) (?:engine|motor) out(?: of (?:boat|car|van|tractor|machine|hull|truck|vehicle))?(?P<rest> with [a-z ]+)?",
        r"(?:lifted|hoisted|craned|took|pulled|got) out (?:engine|motor)",
    ),
    *_rule(
        "lifted in",
        r"(?:engine|motor)(?: is)? (?:back in|lifted (?:back )?in|lowered (?:back )?in|hoisted in|craned in|put back in|dropped (?:back )?in|went (?:back )?in|in again|back in (?:boat|car|van|tractor|machine|hull|truck|vehicle))",
        r"(?:lifted|lowered|hoisted|craned|put|dropped|got) (?:engine|motor) (?:back )?(?:in|into (?:boat|car|van|tractor|machine|hull|truck|vehicle))(?: again)?(?P<rest> with [a-z ]+)?",
        r"(?:lifted|lowered|hoisted|craned|put|dropped) (?:back )?in (?:engine|motor)",
    ),
    *_rule(
        "leaks looked at",
        rf"(?:checked|looked|tested|inspected|watched|check|checking|looking)(?: (?P<what>{words.FLUID}))?(?: T)? for (?:any )?(?P<fluid>{words.FLUID} )?(?:leaks|leak|leakage|leakages|drips|weeps)(?: (?:at|on|around|of|in|from) (?:T|(?P<note>.+)))?",
        rf"(?P<fluid>{words.FLUID} )?(?:leaks|leak|leakage)(?: of (?P<what>{words.FLUID}))? (?:looked at|checked|check|looked for|check done|checked for|inspected|tested|test done)(?: (?:at|on|around) T)?",
        rf"(?P<fluid>{words.FLUID} )?(?:leak check|leak test|leakcheck|leak tested|leak checked)(?: (?P<what>{words.FLUID}))?(?: (?:done|made|ok|passed|good))?(?: (?:at|on|around) T)?",
        rf"(?P<note>no (?P<fluid>{words.FLUID} )?(?:leaks|leak|leakage|drips)(?: found| seen| visible)?)(?: (?:at|on|from|around) T)?",
        r"T (?:checked|looked at|inspected|tested) for (?:leaks|leak|leakage|drips)",
        r"T (?P<note>no (?:leaks|leak|drips)(?: found| seen)?)",
        rf"(?P<fluid>{words.FLUID}) (?P<note>no (?:leaks|leak|drips)(?: found| seen)?)",
    ),
    *_rule(
        kinds.ORDERED,
        r"ordered (?:new )?(?P<what>.+?) for T",
        r"(?P<what>.+?) for T (?:ordered|on order)",
        r"ordered (?:new )?(?P<what>(?:(?!T|#)\S+ ?)+)",
    ),
    *_rule(
        kinds.BOUGHT,
        r"(?:bought|purchased|buyed|got) (?:new )?(?P<what>.+?) for T",
        r"(?P<what>.+?) for T (?:bought|arrived|is here|came|purchased|delivered|has arrived)",
        r"(?:bought|purchased) (?:new )?(?P<what>(?:(?!T|#)\S+ ?)+)",
    ),
)
"""What is said in a way of its own. Every rule that fits is a reading; `phrases` has what all verbs have in common."""

SNAG_LEADS = re.compile(r"(?:snag|problem|trouble|issue|fault|defect)(?: (?:with|on|at|of|in|about))?(?= )")
STRUGGLES = re.compile(
    r"(?:(?:could not|couldnt|cant|cannot|can not|unable to|not able to|failed to|could) )"
    r"(?:get|undo|remove|unscrew|loosen|shift|free|unbolt|take|disconnect|move|pull|budge|unplug|separate|open|start)\b.*"
    r"|T (?:(?:could not|couldnt|cant|cannot|can not|would not|wouldnt|wont|will not|does not|doesnt|did not|didnt|refuses to) )"
    r"(?:be )?(?:come|budge|move|undo|shift|get|removed|undone|loosened|unscrewed|turn|let go|open|free|start)\b.*"
    r"|(?:T )?(?:wont|wouldnt) (?:come|budge|move|undo|shift)\b.*"
)
MISSING = re.compile(
    rf"(?:(?:lost|missing|short of|short) )?(?:P|{_PART}|[a-z]+|#)?(?: [a-z]+)? ?(?:(?:is|are|short|missing|lost|gone|too few) )*(?:in|from|of|on|at) (?:G|T)"
)
SHORT = re.compile(r"\b(?:short|missing|lost|gone|too few|lacking|lacks)\b")
NEEDS = re.compile(
    r"(?:(?:we |i )?(?:need|needs|must|have|to|buy|get|order|want|require|requires|should|please|shopping) ?)+(?P<what>.*)"
)
BUY_LEADS = re.compile(
    r"(?:to buy|buy|need|needs|order|to order|to get|want|shopping list|must buy|must order|require|get)\b"
)
