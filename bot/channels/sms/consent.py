"""The gate in front of the conversation: whether a number wants to be written to, and what it hears about that.

1. A plain wish to stop works at once and everywhere, and is confirmed once. Where the number had agreed the
   conversation is told; what it says to that is the confirmation. It never heard of any other number: there the gate
   confirms. Said again, a stop is not confirmed again.
2. Only START opens what was stopped. HELP is answered at any time, and so is a life at risk.
3. A number that never agreed is asked once, and at most once a day while it goes on writing. Until it agrees its words
   wait unread.
4. Pure: what the number has said so far, its words and the instant decide. The instant of the last entry in the record
   of consent is the memory for "once a day", so what repeats a question is entered too.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.arrivals import Consent, ConsentNote, Reach
from bot.talk.incoming import Arrived, Incoming, Said
from bot.talk.understand.alarms import emergency
from bot.talk.understand.answers import yes_no
from bot.talk.understand.plain_words import plain
from bot.talk.understand.stopping import Stopping, stopping
from bot.talk.understand.wish_kinds import Wish
from bot.talk.understand.wishes import wish

ASK, GIVEN, WELCOME_BACK = "sms-ask-consent", "sms-consent-given", "sms-welcome-back"
HELP, STOPPED, STOPPED_STILL = "sms-help", "sms-stopped", "sms-stopped-still"
STOPPED_BY_TALK = "stopped"
"""What the conversation says to a wish to stop."""
SOURCE = "text"
A_DAY = timedelta(days=1)
LONGEST_SAID = 200
"""How much of what was said is kept in the record of consent."""

_HELP_WORDS = frozenset({"help", "info", "aide", "ayuda"})
_START_WORDS = frozenset({"start", "unstop"})
_BESIDE_START = frozenset({"again", "now", "back", "up", "texts", "texting", "me"})
_MORE_WORDS = frozenset({"more"})
_AGREEING = re.compile(
    r"(?:(?:yes|ok|okay|i|reply|please) )*"
    r"(?:yes|agreed?|accept(?:ed)?|consent|join|subscribe|sign me up|count me in|opt in|optin)"
    r"(?: (?:yes|please|now|thanks|thank you|to (?:get|receive|this|it|that|these)|texts?|messages?|reminders?))*"
)
"""Consent in other words than yes, as the whole text."""
_POLITE = frozenset({"please", "pls", "plz", "thanks", "thank", "you", "thx"})
_LONGEST_BARE_ANSWER = 3
"""Words of a yes or no with nothing else in it ("no thank you"). A longer yes has more to say than yes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What becomes of one text.

    incoming : what the conversation is told
    is_open : pictures that came along are for the conversation, too
    replies, consent, is_purging, is_held, more : as in `Reading`
    """

    incoming: Incoming | None = None
    is_open: bool = False
    replies: tuple[str, ...] = ()
    consent: tuple[ConsentNote, ...] = ()
    is_purging: bool = False
    is_held: bool = False
    more: bool = False


def gate(words: str, reach: Reach, at: datetime) -> Decision:
    """Decide about one text of a number, by what the number has said before. `words` may be empty (a bare picture)."""
    if stopping(plain(words)) is Stopping.PLAIN:
        return _stop(words, reach)
    if _is_whole(words, _HELP_WORDS):
        return Decision(replies=(HELP,))
    match reach.consent:
        case Consent.GIVEN:
            return _passed_on(words, reach, at)
        case Consent.WITHDRAWN:
            return _to_the_quiet(words, reach, at)
        case _:
            return _to_the_new(words, reach, at)


# --- what to say at each standing ------------------------------------------------------------------------------------


def _stop(words: str, reach: Reach) -> Decision:
    """Stopping. Said again it only takes back what may have slipped in."""
    match reach.consent:
        case Consent.WITHDRAWN:
            return Decision(is_purging=True)
        case Consent.GIVEN:
            consent = (_note(Consent.WITHDRAWN, words, STOPPED_BY_TALK),)
            return Decision(incoming=Said(text="stop"), consent=consent, is_purging=True)
        case _:
            consent = (_note(Consent.WITHDRAWN, words, STOPPED),)
            return Decision(replies=(STOPPED,), consent=consent, is_purging=True)


def _passed_on(words: str, reach: Reach, at: datetime) -> Decision:
    """With consent: everything is the conversation's but the next page of a long message."""
    waited_for_consent = reach.consent_at is not None and at < reach.consent_at
    if waited_for_consent and _is_only_an_opening(words):
        return Decision(incoming=Arrived(), is_open=True)
    if _is_whole(words, _MORE_WORDS):
        return Decision(more=True)
    return Decision(incoming=Said(text=words) if words.strip() else None, is_open=True)


def _is_only_an_opening(words: str) -> bool:
    """Whether a first text says no more than that somebody is there ("START" from a leaflet).

    So does what the yes after it took back: "not yet", "who is this? stop".
    """
    if wish(words) is Wish.LATER or stopping(plain(words)) is not None:
        return True
    return _is_start(words) or _is_whole(words, _MORE_WORDS) or (yes_no(words) is True and _is_bare(words))


def _to_the_quiet(words: str, reach: Reach, at: datetime) -> Decision:
    """After a stop: START, or one short line a day that says how things stand."""
    if _is_start(words):
        consent = (_note(Consent.GIVEN, words, WELCOME_BACK),)
        return Decision(incoming=Said(text="start"), replies=(WELCOME_BACK,), consent=consent)
    if (alarm := _alarm(words)) is not None:
        return alarm
    if not _is_due(reach, at):
        return Decision()
    # No words: somebody who wants quiet has said nothing about consent here, and the rest is not ours to keep.
    return Decision(replies=(STOPPED_STILL,), consent=(_note(Consent.WITHDRAWN, "", STOPPED_STILL),))


def _to_the_new(words: str, reach: Reach, at: datetime) -> Decision:
    """Before consent: the answer to our question, or a text that waits for it."""
    if reach.consent is Consent.ASKED:
        if _agrees(words):
            return _agreed(words)
        if yes_no(words) is False and _is_bare(words) and wish(words) is not Wish.LATER:
            return Decision(consent=(_note(Consent.WITHDRAWN, words, ASK),), is_purging=True)
    if (alarm := _alarm(words)) is not None:
        return alarm
    if reach.consent is Consent.ASKED and not _is_due(reach, at):
        return Decision(is_held=True)
    return Decision(replies=(ASK,), consent=(_note(Consent.ASKED, words, ASK),), is_held=True)


def _agreed(words: str) -> Decision:
    """Consent, given in answer to our question. "Yes, it froze in Jackson" says something to the conversation, too."""
    rest = None if _is_start(words) or _is_bare(words) or _is_agreement(words) else Said(text=words)
    return Decision(incoming=rest, is_open=True, replies=(GIVEN,), consent=(_note(Consent.GIVEN, words, ASK),))


def _agrees(words: str) -> bool:
    """Whether a text says yes to our question. "Yes stop" may say the opposite: no consent rests on a doubt."""
    if stopping(plain(words)) is not None:
        return False
    return _is_start(words) or yes_no(words) is True or _is_agreement(words)


def _is_agreement(words: str) -> bool:
    return _AGREEING.fullmatch(" ".join(_tokens(words))) is not None


def _alarm(words: str) -> Decision | None:
    """Somebody in danger gets the line that helps, whatever they said about messages. Nothing else changes."""
    kind = emergency(words)
    return None if kind is None else Decision(replies=(f"emergency-{kind}",))


# --- words -----------------------------------------------------------------------------------------------------------


def _note(consent: Consent, words: str, shown: str) -> ConsentNote:
    return ConsentNote(consent=consent, said=words.strip()[:LONGEST_SAID], shown=shown, source=SOURCE)


def _is_due(reach: Reach, at: datetime) -> bool:
    return reach.consent_at is None or at - reach.consent_at >= A_DAY


def _tokens(words: str) -> list[str]:
    return re.findall(r"[^\W_]+", plain(words))


def _is_whole(words: str, wanted: frozenset[str]) -> bool:
    """Whether a text is one of the words wanted, with nothing around it but politeness."""
    tokens = set(_tokens(words)) - _POLITE
    return bool(tokens) and tokens <= wanted


def _is_start(words: str) -> bool:
    """START or UNSTOP, alone or as people say it ("start again please")."""
    tokens = set(_tokens(words)) - _POLITE
    if tokens & _START_WORDS and tokens <= _START_WORDS | _BESIDE_START:
        return True
    return wish(words) is Wish.START and bool(_START_WORDS & set(_tokens(words)))


def _is_bare(words: str) -> bool:
    return len(_tokens(words)) <= _LONGEST_BARE_ANSWER
