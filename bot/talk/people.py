"""What people who answer for a region do to one homeowner's talk: advise many, answer one, take a talk over.

1. Nobody who wants quiet gets what they did not ask for. A person's answer to their question is no such thing.
2. While a person holds the talk, the bot keeps what is written and says nothing by itself but what protects people
   and what stops messages.
"""

from __future__ import annotations

from bot.talk.anytime import first_things
from bot.talk.case import Standing
from bot.talk.effects import Urgency
from bot.talk.incoming import Advised, Incoming, PersonCame, PersonSaid, Said
from bot.talk.messages import Verbatim, text
from bot.talk.turn import Turn


def act(turn: Turn, incoming: Advised | PersonSaid | PersonCame) -> None:
    """Do to a talk what a person did."""
    match incoming:
        case Advised():
            _advise(turn, incoming)
        case PersonSaid(words=words, name=name):
            turn.say(text("person-said", name=Verbatim(name), words=Verbatim(words)))
        case PersonCame(name=name, is_leaving=False):
            turn.update(held_by=name)
            turn.say(text("person-came", name=Verbatim(name)))
        case PersonCame(name=name):
            turn.update(held_by="")
            turn.say(text("person-left", name=Verbatim(name)))


def _advise(turn: Turn, advised: Advised) -> None:
    today = turn.owner_now.date()
    if turn.homeowner.standing is not Standing.ACTIVE:
        return
    if turn.homeowner.last_unasked_on == today and not advised.is_pressing:
        return
    turn.urgency = Urgency.ADVISORY
    turn.say(text("advisory", words=Verbatim(advised.words)))
    turn.update(last_unasked_on=today)


def keep_for_person(turn: Turn, incoming: Incoming) -> bool:
    """Whether a person holds the talk, so that this is for them. Emergencies and wishes to stop are answered."""
    if not turn.homeowner.held_by:
        return False
    if isinstance(incoming, Said):
        first_things(turn, incoming.text)
    return True
