"""Wishes that work everywhere, whatever was asked: back, not sure, person, plan, help, done, later, metric, ...

A wish is the whole message, not a word in it: "front and back" names two parts of a lawn, "back" goes back.
Stopping has its own file, `stopping.py`, because a law stands behind it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType

from rapidfuzz import process
from rapidfuzz.distance import OSA

from bot.talk.understand.dates import MONTH, WEEKDAY
from bot.talk.understand.plain_words import figures, plain
from bot.talk.understand.stopping import Stopping, stopping
from bot.talk.understand.wish_kinds import Wish

_PHRASES: Mapping[Wish, str] = {
    Wish.BACK: "back|go back|undo|previous|one back|step back|go back one|back one|back up|take me back|last question|"
    "previous question|go back please|oops|wrong button|i made a mistake|made a mistake|that was wrong|oops go back|"
    "cancel that last answer|cancel last answer|cancel my last answer|cancel the last answer|cancel that answer|"
    "undo that|undo last answer|undo my last answer|undo the last answer",
    Wish.NOT_SURE: "not sure|notsure|unsure|not certain|not really sure|no idea|i have no idea|have no idea|no clue|"
    "i have no clue|idk|i dk|dk|dunno|i dunno|don't know|dont know|do not know|i don't know|i dont know|i do not know|"
    "don't really know|i don't really know|can't tell|cant tell|i can't tell|cannot tell|can't say|cant say|"
    "can not say|"
    "hard to say|hard to tell|beats me|who knows|unknown|i'm not sure|im not sure|i am not sure|not 100% sure|"
    "i don't remember|i dont remember|don't remember|dont remember|can't remember|cant remember|i forgot|i forget|"
    "no se|not a clue|haven't a clue|never checked|didn't check|haven't looked|couldn't tell you|not sure at all|"
    "really not sure|i'm unsure|sorry not sure|i really don't know|don't have a clue",
    Wish.SKIP: "skip|skip it|skip this|skip this one|skip that|skip question|pass|next|next question|next one|"
    "rather not say|i'd rather not say|prefer not to say|i prefer not to say|would rather not say|no comment|"
    "none of your business|move on|not saying|don't want to say|i don't want to say|ignore|let's skip|leave it out",
    Wish.PERSON: "person|a person|human|a human|agent|operator|someone|somebody|representative|live person|live agent|"
    "real person|a real person|real human|talk to a person|talk to person|talk to a human|talk to someone|"
    "talk to somebody|talk to a real person|speak to a person|speak to someone|speak to a human|speak with someone|"
    "speak with a person|ask a person|i want a person|i need a person|get me a person|is there a person|"
    "can i talk to someone|can i talk to a person|can i speak to someone|let me talk to a person|"
    "let me talk to someone|"
    "call me|please call me|call me back|expert|talk to an expert|ask an expert|customer service|support|"
    "i want to talk to a person|i want to talk to someone|i want to speak to someone|i need to talk to someone|"
    "can someone call me|are you a robot|are you a bot|am i talking to a person",
    Wish.CHANGE: "change|edit|correct|correction|fix|change answer|change an answer|change my answer|change answers|"
    "change my answers|edit answers|edit an answer|fix an answer|correct an answer|change something|"
    "i want to change something|i need to change something|i need to change an answer|i want to change an answer|"
    "something is wrong there|that's not what i said|let me change that|change that|fix that|edit that|modify|amend",
    Wish.PLAN: "plan|my plan|the plan|show plan|show my plan|show the plan|show me the plan|show me my plan|whole plan|"
    "the whole plan|show the whole plan|see plan|see the plan|see my plan|full plan|schedule|my schedule|calendar|"
    "what's next|whats next|what is next|what now|what do i do now|what should i do|what should i do now|"
    "what do i do next|what should i do next|next steps|next step|summary|show summary|to do|to do list|my tasks|tasks|"
    "status|where are we|where were we",
    Wish.FEED: "feed|feeding|feed it|feed the lawn|feed check|feeding check|check feeding|can i feed|can i feed it|"
    "can i feed it now|can i feed again|can i feed now|may i feed|may i feed it|should i feed|should i feed it|"
    "fertilize|"
    "can i fertilize|can i fertilize now|should i fertilize|should i fertilize now|when can i fertilize|when do i feed|"
    "when can i feed|when should i fertilize|fertilizer now",
    Wish.HELP: "help|help me|info|information|commands|menu|options|what can you do|what can i say|"
    "what can i type|how does this work|how do i use this|how do you work|who are you|what is this|who is this|"
    "what's this|whats this|i don't understand|i dont understand|i'm confused|im confused|confused|i'm lost|im lost|"
    "?|??|???",
    Wish.WHY: "why|why do you ask|why do you need that|why do you need this|why do you need to know|"
    "why do you want to know|"
    "why do you want that|why are you asking|why ask|what for|what's that for|whats that for|how come|why this|"
    "why that|"
    "why is that|why does that matter|why does it matter|does it matter|what's it for|reason|why should i tell you|"
    "what do you need that for|why not|why's that|why tho|but why|why though",
    Wish.START_OVER: "start over|restart|start again|begin again|from the beginning|from the top|reset|redo|over again|"
    "new start|start from scratch|start fresh|do over|let's start over|i want to start over|can we start over|"
    "start all over|clear everything and start over",
    Wish.NEW_LAWN: "new lawn|another lawn|add lawn|add a lawn|add another lawn|second lawn|one more lawn|"
    "different lawn|"
    "i have another lawn|i have a second lawn|other property|another property|add a property|new property|"
    "another yard|new yard|add a yard|add another yard",
    Wish.LAWNS: "lawns|my lawns|list lawns|show lawns|show my lawns|which lawns|all lawns|other lawn|the other lawn|"
    "switch lawn|switch lawns|change lawn|go to the other lawn|my yards",
    Wish.DONE: "done|did it|did that|i did it|i did that|it's done|its done|all done|i'm done|im done|is done|finished|"
    "i finished|i've done it|ive done it|i have done it|completed|complete|task done|got it done|just did it|just did|"
    "just finished|already done|already did it|already did|did it already|mission accomplished|done it|done!|"
    "i have done that|doen|dnoe|doone|donne|donr|"
    "mowed|i mowed|mowed it|i mowed it|just mowed|just mowed it|i just mowed|i just mowed it|mowed today|"
    "mowed it today|"
    "cut it|i cut it|just cut it|cut it today|watered|i watered|watered it|i watered it|just watered|watered today|"
    "watered it today|potted|potted them|i potted them|all potted|they're potted|they are potted|potted them up|"
    "counted|i counted|counted them|i counted them|all counted",
    Wish.LATER: "later|not now|not today|remind me later|later please|maybe later|snooze|another time|some other time|"
    "another day|do it later|i'll do it later|ill do it later|can't now|cant now|can't today|cant today|not yet|"
    "remind me again|ask me later|ask later|i'll do it tomorrow|postpone|delay|busy|i'm busy|im busy|no time|"
    "i'm driving|im driving|wait|hold on|in a bit|give me a minute|not right now|can't do it now|can't right now|"
    "didn't get to it|haven't done it|haven't yet|not done yet|didn't do it yet|not done",
    Wish.NEVER_MIND: "never mind|nevermind|never mind that|never mind then|nvm|nvmd|forget it|forget that|"
    "forget about it|"
    "forget i asked|leave it|just leave it|no matter|scratch that|disregard|disregard that|ignore that",
    Wish.PROBLEM: "problem|a problem|there's a problem|there is a problem|i have a problem|i've got a problem|problems|"
    "something's wrong|somethings wrong|something is wrong|something went wrong|something looks wrong|"
    "something's not right|something is not right|trouble|issue|an issue|i have an issue|it looks worse|"
    "it's getting worse|its getting worse|getting worse|looks worse|worse|it got worse|it's worse|looks bad|"
    "it looks bad|that didn't work|it didn't work|didn't work|not working",
    Wish.METRIC: "metric|use metric|metric units|metric please|in metric|switch to metric|metric system|celsius|"
    "use celsius|in celsius|degrees celsius|centigrade|centimeters|use centimeters|centimetres|meters|use meters|"
    "metres|"
    "kilograms",
    Wish.US_UNITS: "us units|u.s. units|us|imperial|imperial units|use us units|use imperial|us customary|"
    "american units|english units|fahrenheit|use fahrenheit|in fahrenheit|degrees fahrenheit|use inches|inches|"
    "use feet|"
    "feet and inches|pounds|switch to us units|not metric|no metric",
    Wish.DATA: "data|my data|show my data|export|export my data|download my data|what do you know about me|"
    "what do you have on me|what have you stored|what have you stored about me|send me my data|copy of my data|"
    "a copy of my data|privacy|what data do you have|what do you store",
    Wish.FORGET_ME: "forget me|forget everything|forget about me|forget all about me|delete me|erase me|delete my data|"
    "erase my data|delete everything|erase everything|delete my account|delete all my data|erase all my data|"
    "remove my data|wipe my data|forget my data|delete my information|delete all my information|delete my info|"
    "remove all my data|forget",
    Wish.START: "start|unstop|resume|subscribe|begin|let's start|lets start|let's go|lets go|get started|start please|"
    "start texting me|start again please|opt in|optin|turn on|turn it on|i'm back|im back|continue please",
    Wish.HOURS: "hours|change hours|change the hours|change my hours|quiet hours|set hours|time of day|change the time|"
    "change time|different time|another hour|too early|too late|that's too early|thats too early|that's too late|"
    "it's too early|it's too late|you text too early|you text too late|when do you text|message hours|"
    "only in the morning|only in the evening|only mornings|only evenings|mornings only|evenings only",
    Wish.MORE: "more|tell me more|more please|more info|more information|go on|continue|keep going|read more|show more|"
    "show me more|reply more|and then|details|more details|more detail|the rest|rest|what else|say more",
    Wish.PULL: "pull|pull test|the pull test|do the pull test|tug test|the tug test|do the tug test|pull on it|"
    "i pulled on it|i pulled on the grass|i pulled at it|i tugged on it|it pulls up|it pulls up easily|"
    "it pulls right up|"
    "the grass pulls up|the grass pulls up easily|it comes up easily|the grass comes up easily|it lifts easily|"
    "it lifts up|it lifts like a carpet|the grass lifts like a carpet|it lifts like carpet|it rolls up like a carpet|"
    "does pulling help|should i pull on it|can i pull on it|should i tug on it|it holds when i pull",
    Wish.MOVE: "move|move chat|move the chat|move this chat|move my chat|move our chat|move to my phone|"
    "move to a phone|move to another phone|move to a new phone|move to my new phone|move to my other phone|"
    "move it to my phone|move this to my phone|move chat to my phone|move to text|move to texts|move to sms|"
    "move to telegram|move to the web|move to another app|move to another chat|move to my computer|"
    "continue on my phone|continue on another phone|continue on telegram|continue by text|continue on text|"
    "continue on sms|continue on the web|continue on my computer|continue elsewhere|"
    "switch to text|switch to texts|switch to texting|switch to sms|switch to telegram|switch to my phone|"
    "switch to another phone|switch to the web|switch to my computer|switch phone|switch phones|switch chat|"
    "switch apps|switch devices|"
    "use another phone|use a different phone|use my other phone|use my phone|use telegram|use sms|use text|"
    "use another app|another phone|different phone|other phone|new phone|my new phone|i have a new phone|"
    "i got a new phone|i've got a new phone|new number|i have a new number|i got a new number|i changed my number|"
    "change my number|change my phone number|change phone number|change phone|change phones|change my phone|"
    "get a code|get code|give me a code|new code|send me a code|moving code|move code|i need a code|"
    "i need a new code|another code|can i use telegram|can i use another phone|can i move to my phone|"
    "can i do this on my phone|can i do this by text|can we do this by text|can we text instead|text instead",
}
_COMMANDS: Mapping[str, Wish] = {
    **{wish.value.replace("_", ""): wish for wish in Wish},
    **{wish.value: wish for wish in Wish},
    "notsure": Wish.NOT_SURE, "forget": Wish.FORGET_ME, "forgetme": Wish.FORGET_ME, "delete": Wish.FORGET_ME,
    "restart": Wish.START_OVER, "edit": Wish.CHANGE, "human": Wish.PERSON, "us": Wish.US_UNITS, "cancel": Wish.STOP,
    "quit": Wish.STOP, "end": Wish.STOP, "unsubscribe": Wish.STOP, "menu": Wish.HELP, "export": Wish.DATA,
    "privacy": Wish.DATA, "summary": Wish.PLAN, "time": Wish.HOURS, "add": Wish.NEW_LAWN,
}  # fmt: skip
_POLITE = re.compile(
    r"\b(?:please|pls|plz|thanks|thank you|thx|ty|sir|ma'?am|hey|hi|hello|umm?|uhh?|well|hmm+|so|sorry|lol|ok|okay|"
    r"bot)\b"
)
_HOURS_SAID = re.compile(
    r"\b(?:(?:don'?t|do not|never|not|no|nothing|please don'?t|stop)\b.{0,40}\b(?:before|after|until|till|at night|"
    r"so early|"
    r"so late|this early|this late|early in the morning|late at night|on weekends)\b.{0,20}$"
    r"|(?:only|just) (?:text|message|write|send|remind|contact)\b.{0,20}\b(?:before|after|between|from|in the|at|"
    r"evening|morning))"
)
_ABOUT_MESSAGES = re.compile(
    r"\b(?:text|texts|texting|message|messages|messaging|write|send|sending|remind|contact|ping|bother|wake|"
    r"reminders?)\b"
)
_CHANGE_WHAT = re.compile(
    r"^(?:(?:change|edit|correct|update) (?:(?:the|my|answer|line|number|question|no\.?|#) ?){0,3}[\w#' -]{1,30}"
    r"|fix (?:(?:the|my) )?(?:(?:answer|line|number|question) ?)?#? ?\d{1,3}|fix (?:the|my) answers?)$"
)
# A slip is no slip where it makes a word that people type here: "can I seed", "not wet", "all gone", "my date"
_OTHER_WORDS = frozenset(
    "seed seeds need needs weed weeds reed feel gone snow low mow wet dig dug moved date dates plant plants lawn yard "
    "lime line".split()
)
# Nor where a letter makes another thing to have done: "I moved", "forgot it"
_AS_WRITTEN = re.compile(r"\b(?:mowed|cut it|watered|potted|counted|leave it|forget it)\b")

_PUTTING_OFF = re.compile(
    r"(?:(?:please|just|maybe|can you|could you|i'?ll|i will|i can|i could|we'?ll|we can|let'?s|let me|going to|gonna|"
    r"will|then|and|but) ){0,4}(?:(?:remind|ask|tell|text|ping|nudge|message|try|check with) me|do (?:it|that|this)|"
    r"get to it|check back|check in|come back)(?: (?:again|back|with me|about it|about this|about that|of it|please))*"
)
_A_DAY = re.compile(
    rf"{WEEKDAY}|\b{MONTH}|\b(?:(?:day after )?tomorrow|tmrw|tmr|tomorow|tommorow|tommorrow|tonight|weekend|days?|"
    r"weeks?|months?|hours?|hrs?|while|bit|morning|afternoon|evening|later)\b"
)
_AROUND_A_DAY = frozenset(
    "in on at by the this next coming a an few couple of several some more again after around about until till early "
    "late end beginning first thing from now or so then please thanks one two three four five six seven eight nine ten "
    "day maybe sometime".split()
)
_LONGEST_DAY = 40
_SHORTEST_WORD, _SHORTEST_PHRASE = 7, 6  # letters from which one slip is forgiven; "change" and "chance" both exist
_TWO_SLIPS_FROM = 13
_LONGEST_HOURS, _LONGEST_PHRASE = 160, 80


def _all_phrases() -> dict[str, Wish]:
    return {_folded(phrase): wish for wish, phrases in _PHRASES.items() for phrase in phrases.split("|")}


def _folded(said: str) -> str:
    """Without punctuation and apostrophes; question marks alone stay."""
    if said.strip("? ") == "":
        return said.replace(" ", "")
    return " ".join(re.findall(r"[^\W_]+|%", said.replace("'", "")))


_WISH_OF: Mapping[str, Wish] = MappingProxyType(_all_phrases())
_FUZZY_PHRASES = tuple(
    phrase
    for phrase in _WISH_OF
    if len(phrase) >= (_SHORTEST_PHRASE if " " in phrase else _SHORTEST_WORD) and not _AS_WRITTEN.search(phrase)
)


def wish(text: str) -> Wish | None:
    """The wish a whole message is, if it is one. A wish to stop is looked for first."""
    return _wish(plain(text))


@lru_cache(maxsize=64)  # each step of a turn asks
def _wish(said: str) -> Wish | None:
    if not said:
        return None
    command = re.fullmatch(r"/([a-z_]{2,20})(?:@\w{1,40})?(?: .{0,40})?", said)
    if command:
        return _COMMANDS.get(command[1])
    if len(said) < _LONGEST_HOURS and _ABOUT_MESSAGES.search(said) and _HOURS_SAID.search(said):
        return Wish.HOURS
    stop = stopping(said)
    if stop is not None:
        return Wish.STOP if stop is Stopping.PLAIN else Wish.STOP_DOUBTFUL
    return _phrase(said)


def _phrase(said: str) -> Wish | None:
    folded = _folded(said)
    known = _WISH_OF.get(folded)
    if known or len(said) > _LONGEST_PHRASE:
        return known
    bare = _folded(_POLITE.sub(" ", said))
    known = _WISH_OF.get(bare)
    if known or not bare:
        return known
    if _puts_off(said):
        return Wish.LATER
    if _CHANGE_WHAT.match(said.rstrip(".!")) and not re.search(r"\?|\b(?:when|oil|blade|filter|clocks?)\b", said):
        return Wish.CHANGE
    return _nearly(bare)


def _nearly(bare: str) -> Wish | None:
    """The wish whose words are spelled nearly so, where the difference makes no other word."""
    slips = 2 if len(bare) >= _TWO_SLIPS_FROM else 1
    phrases = _phrases_around(len(bare), slips)
    close = process.extractOne(bare, phrases, scorer=OSA.distance, score_cutoff=slips)
    if close is None or (_OTHER_WORDS & set(bare.split())) - set(close[0].split()):
        return None
    return _WISH_OF[close[0]]


@cache
def _phrases_around(length: int, slips: int) -> tuple[str, ...]:
    """The phrases that slips could make of a text of this length; the others need not be compared."""
    return tuple(phrase for phrase in _FUZZY_PHRASES if abs(len(phrase) - length) <= slips)


def _puts_off(said: str) -> bool:
    """ "Remind me tomorrow", "do it Saturday", "ask me in 3 days". A day alone is an answer, and a question asks."""
    opening = _PUTTING_OFF.match(said)
    if not opening or "?" in said or len(said) - opening.end() > _LONGEST_DAY:
        return False
    rest = said[opening.end() :].strip(" .!,")
    around = re.findall(r"[^\W_]+", _A_DAY.sub(" ", rest))
    return bool(_A_DAY.search(rest)) and all(word in _AROUND_A_DAY or word[0].isdigit() for word in around)


def first_number(text: str) -> int | None:
    """The first whole number of a message ("change 3"), if it has one of at most four digits."""
    match = re.search(r"(?<![\d.])\d{1,4}(?![\d.])", figures(plain(text), parts=False))
    return int(match[0]) if match else None
