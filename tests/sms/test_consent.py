"""The gate before the conversation: stop, help, start, the question for consent, and a machine that mixes them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from bot.arrivals import Consent, Reach
from bot.channels.sms import consent
from bot.channels.sms.consent import Decision, gate
from bot.talk.incoming import Arrived, Said
from tests.talk.conversation import Conversation

NOON = datetime(2027, 1, 20, 17, 0, tzinfo=UTC)
MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)

STOPS = (
    "STOP|stop|Stop.|STOP!!|Stop. Thank you|stop please|Please stop|STOPALL|stop all|end|End|cancel|UNSUBSCRIBE|quit|"
    "Revoke|opt out|OPT-OUT|optout|arret|Arrêt|ALTO|stop texting me|leave me alone|Take me off your list please|"
    "no more texts|i want to opt out|remove my number|wrong number"
).split("|")
HELPS = ("HELP", "help", "Help!", "help please", "INFO", "Info?", "aide", "AYUDA", "¿Ayuda?")
STARTS = ("START", "start", "Start.", "UNSTOP", "unstop please", "start again please", "Start texting me")
YESES = ("YES", "yes", "Y", "Yes!", "yes please", "Si", "ok", "sure", "👍")
NOES = ("NO", "no", "No thanks", "nope", "no thank you")
PLAIN_TALK = (
    "My lawn froze",
    "31522",
    "It was 17 below",
    "When should I stop mowing?",
    "We have got to stop this crabgrass",
    "help me with my grass",
    "front and back",
    "plan",
    "",
    "🌱",
    "thank you",
    "remind me on Monday",
)


def standing(state: Consent, since: datetime | None = None) -> Reach:
    return Reach(consent=state, consent_at=since or NOON - MINUTE)


NEW = Reach()
ANY = [NEW, standing(Consent.ASKED), standing(Consent.GIVEN), standing(Consent.WITHDRAWN)]
NOT_YET_STOPPED = [reach for reach in ANY if reach.consent is not Consent.WITHDRAWN]


def confirmations_in(decision: Decision) -> int:
    """The gate's own, or the one the conversation gives when it is told to stop."""
    return decision.replies.count("sms-stopped") + (decision.incoming == Said(text="stop"))


def consent_after(reach: Reach, decision: Decision) -> Consent:
    return decision.consent[-1].consent if decision.consent else reach.consent


# --- stop ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("reach", NOT_YET_STOPPED)
@pytest.mark.parametrize("words", STOPS)
def test_a_plain_wish_to_stop_works_at_once_at_any_standing(words: str, reach: Reach) -> None:
    """Keyword or plain words: what waits is taken back, one confirmation, one entry in the record."""
    decision = gate(words, reach, NOON)

    assert decision.is_purging
    assert confirmations_in(decision) == 1
    [note] = decision.consent
    assert (note.consent, note.said, note.source) == (Consent.WITHDRAWN, words, "text")
    assert note.shown == ("stopped" if reach.consent is Consent.GIVEN else "sms-stopped")
    assert not (decision.is_held or decision.is_open or decision.more)


def test_the_conversation_confirms_where_it_knows_the_number_and_the_gate_elsewhere() -> None:
    """A number that never agreed never reached the conversation, and its stop doesn't make it a homeowner."""
    decisions = [gate("cancel", reach, NOON) for reach in NOT_YET_STOPPED]

    assert [decision.incoming for decision in decisions] == [None, None, Said(text="stop")]
    assert [decision.replies for decision in decisions] == [("sms-stopped",), ("sms-stopped",), ()]


def test_the_conversation_stops_with_one_line_on_what_the_gate_tells_it() -> None:
    """What it answers to the gate's word is the only confirmation."""
    talk = Conversation()
    talk.say("31522")

    decision = gate("UNSUBSCRIBE", standing(Consent.GIVEN), NOON)
    assert decision.incoming is not None
    said = talk.take(decision.incoming)

    assert [part.key for say in said for part in say.parts] == [decision.consent[0].shown]


@pytest.mark.parametrize("words", STOPS)
def test_a_repeated_stop_is_not_confirmed_again(words: str) -> None:
    """Once stopped, another stop only takes back what may have slipped in."""
    assert gate(words, standing(Consent.WITHDRAWN), NOON + 30 * DAY) == Decision(is_purging=True)


@pytest.mark.parametrize("words", ["We have got to stop this", "make the bot stop when it rains", "stop that ok?"])
def test_a_doubtful_wish_goes_to_the_conversation_which_asks(words: str) -> None:
    """Inside a sentence a stop word may mean the weeds: the gate leaves it, as typed."""
    assert gate(words, standing(Consent.GIVEN), NOON) == Decision(incoming=Said(text=words), is_open=True)


# --- help ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("reach", ANY)
@pytest.mark.parametrize("words", HELPS)
def test_help_is_answered_at_any_standing(words: str, reach: Reach) -> None:
    """HELP gets its answer and changes nothing, even after a stop."""
    assert gate(words, reach, NOON) == Decision(replies=("sms-help",))


@pytest.mark.parametrize("reach", [NEW, standing(Consent.ASKED), standing(Consent.WITHDRAWN)])
def test_a_life_at_risk_gets_its_line_without_consent(reach: Reach) -> None:
    """Who writes of poison is told whom to call, whatever was said about messages; nothing else changes."""
    assert gate("my dog ate the fertilizer", reach, NOON) == Decision(replies=("emergency-poison",))


# --- asking ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", [*PLAIN_TALK, *YESES, *NOES, *STARTS, "MORE"])
def test_a_new_number_is_asked_first_whatever_it_writes(words: str) -> None:
    """Nobody has agreed to what they have not been told: the text waits, and the question goes out."""
    decision = gate(words, NEW, NOON)

    assert decision.replies == ("sms-ask-consent",)
    assert decision.is_held
    [note] = decision.consent
    assert (note.consent, note.said, note.shown) == (Consent.ASKED, words, "sms-ask-consent")
    assert decision.incoming is None and not decision.is_open


@pytest.mark.parametrize("words", [*YESES, *STARTS])
def test_yes_or_start_after_the_question_is_consent(words: str) -> None:
    """The record says what was agreed to and in which words; a bare yes says nothing to the conversation."""
    decision = gate(words, standing(Consent.ASKED), NOON)

    [note] = decision.consent
    assert (note.consent, note.said, note.shown) == (Consent.GIVEN, words, "sms-ask-consent")
    assert decision.replies == ("sms-consent-given",)
    assert decision.incoming is None and not decision.is_held


@pytest.mark.parametrize(
    "words",
    [
        "YES 👍",
        "ok 👍🏽",
        "I agree",
        "Agreed!",
        "Yes, I agree to get texts",
        "sign me up",
        "Reply YES",
        "START NOW",
        "join",
    ],
)
def test_yes_in_other_words_is_consent_and_says_nothing_else(words: str) -> None:
    """Nobody who says yes is left without an answer, and their yes is no name of a town."""
    decision = gate(words, standing(Consent.ASKED), NOON)

    assert consent_after(NEW, decision) is Consent.GIVEN
    assert decision.replies == ("sms-consent-given",)
    assert decision.incoming is None


@pytest.mark.parametrize(
    "words", ["yes stop", "ok. stop", "Yes, how do I unsubscribe?", "I do not agree", "I disagree"]
)
def test_no_consent_rests_on_a_doubt(words: str) -> None:
    """A yes beside a word to stop may mean that."""
    assert consent_after(standing(Consent.ASKED), gate(words, standing(Consent.ASKED), NOON)) is not Consent.GIVEN


@pytest.mark.parametrize("words", ["not yet", "Not now", "later"])
def test_not_yet_is_no_refusal(words: str) -> None:
    """The question stands, so that a later YES counts."""
    assert gate(words, standing(Consent.ASKED), NOON) == Decision(is_held=True)


@pytest.mark.parametrize("words", ["start again", "START TEXTING", "start 👍", "Start back up", "unstop now"])
def test_start_again_is_a_start(words: str) -> None:
    """The word that we named, with what people put beside it."""
    decision = gate(words, standing(Consent.WITHDRAWN), NOON)

    assert consent_after(NEW, decision) is Consent.GIVEN


def test_a_yes_that_says_more_is_handed_on() -> None:
    """What stands behind the yes is not lost."""
    words = "Yes, it froze hard here in Jackson"

    assert gate(words, standing(Consent.ASKED), NOON).incoming == Said(text=words)


@pytest.mark.parametrize("words", NOES)
def test_a_clear_no_ends_it_without_another_word(words: str) -> None:
    """No is taken for an answer: entered, and nothing is sent."""
    decision = gate(words, standing(Consent.ASKED), NOON)

    assert consent_after(NEW, decision) is Consent.WITHDRAWN
    assert decision.replies == () and not decision.is_held


def test_a_no_about_the_lawn_is_no_refusal() -> None:
    """It is longer than a no has to be: it waits, and the question stands."""
    assert gate("No grass is left at all", standing(Consent.ASKED), NOON) == Decision(is_held=True)


@pytest.mark.parametrize("words", PLAIN_TALK)
@pytest.mark.parametrize(("after", "replies"), [(DAY - MINUTE, ()), (DAY, ("sms-ask-consent",))])
def test_the_question_is_repeated_at_most_once_a_day(words: str, after: timedelta, replies: tuple[str, ...]) -> None:
    """More texts before the answer wait too; the question comes back only with a text of the next day."""
    decision = gate(words, standing(Consent.ASKED, NOON), NOON + after)

    assert decision.is_held
    assert decision.replies == replies
    assert bool(decision.consent) == bool(replies)


@pytest.mark.parametrize("words", ["START", "yes", "more"])
def test_an_opening_that_waited_is_an_arrival(words: str) -> None:
    """ "START" from a leaflet, read after consent, opens the chat; it isn't an answer to anything."""
    assert gate(words, standing(Consent.GIVEN, NOON), NOON - MINUTE).incoming == Arrived()


@pytest.mark.parametrize("words", ["Sorry, wrong number", "Who is this? Stop.", "not yet"])
def test_a_doubt_before_the_yes_is_settled_by_it(words: str) -> None:
    """Who agreed after it is not asked whether they want to stop."""
    assert gate(words, standing(Consent.GIVEN, NOON), NOON - MINUTE).incoming == Arrived()


@pytest.mark.parametrize("words", ["My lawn froze", "31522"])
def test_words_that_waited_are_handed_on_as_typed(words: str) -> None:
    """After consent the gate reads what waited like any other text."""
    assert gate(words, standing(Consent.GIVEN, NOON), NOON - MINUTE).incoming == Said(text=words)


# --- with consent, and after a stop ----------------------------------------------------------------------------------


@pytest.mark.parametrize("words", [*(word for word in PLAIN_TALK if word), *YESES, *NOES, *STARTS])
def test_with_consent_everything_else_is_the_conversations(words: str) -> None:
    """YES, NO and START are ordinary answers then, handed on as typed."""
    assert gate(words, standing(Consent.GIVEN), NOON) == Decision(incoming=Said(text=words), is_open=True)


@pytest.mark.parametrize("words", ["MORE", "more", "More please", "more."])
def test_more_asks_for_the_next_page(words: str) -> None:
    """Only as the whole message, and only with consent."""
    assert gate(words, standing(Consent.GIVEN), NOON) == Decision(more=True)


def test_more_inside_a_sentence_is_an_answer() -> None:
    """ "More on the left side" is about the lawn."""
    words = "more on the left side"

    assert gate(words, standing(Consent.GIVEN), NOON).incoming == Said(text=words)


@pytest.mark.parametrize("words", STARTS)
def test_start_opens_what_was_stopped(words: str) -> None:
    """The number is welcomed back, the record says so, and the conversation wakes."""
    decision = gate(words, standing(Consent.WITHDRAWN), NOON)

    [note] = decision.consent
    assert (note.consent, note.said, note.shown) == (Consent.GIVEN, words, "sms-welcome-back")
    assert decision == Decision(incoming=Said(text="start"), replies=("sms-welcome-back",), consent=(note,))


@pytest.mark.parametrize("words", [*PLAIN_TALK, *YESES, *NOES, "MORE", "start over", "Has it started?"])
@pytest.mark.parametrize(("after", "replies"), [(DAY - MINUTE, ()), (DAY, ("sms-stopped-still",))])
def test_after_a_stop_other_words_get_at_most_one_line_a_day(
    words: str, after: timedelta, replies: tuple[str, ...]
) -> None:
    """The first day the confirmation was line enough. The words are neither handed on nor kept."""
    decision = gate(words, standing(Consent.WITHDRAWN, NOON), NOON + after)

    assert decision.replies == replies
    assert decision.incoming is None and not (decision.is_open or decision.is_held or decision.more)
    assert [(note.consent, note.said) for note in decision.consent] == [(Consent.WITHDRAWN, "")] * len(replies)


def test_the_record_keeps_no_whole_letters() -> None:
    """A long text is entered by its beginning."""
    assert len(gate("My lawn froze. " * 200, NEW, NOON).consent[0].said) == consent.LONGEST_SAID


# --- all of it, in any order -----------------------------------------------------------------------------------------


class Number(RuleBasedStateMachine):
    """One phone number that texts what it likes when it likes, and the record that is kept of it."""

    def __init__(self) -> None:
        super().__init__()
        self.now = NOON
        self.reach = NEW
        self.was_asked = False
        self.has_stopped = False
        self.confirmations = 0
        self.last_line_at: dict[str, datetime] = {}

    @rule(words=st.sampled_from(STOPS))
    def stops(self, words: str) -> None:
        was_stopped = self.reach.consent is Consent.WITHDRAWN
        decision = self._text(words)
        assert decision.is_purging
        assert self.reach.consent is Consent.WITHDRAWN
        assert confirmations_in(decision) == (0 if was_stopped else 1)
        self.has_stopped = True

    @rule(words=st.sampled_from(HELPS))
    def asks_for_help(self, words: str) -> None:
        before = self.reach
        assert self._text(words) == Decision(replies=(consent.HELP,))
        assert self.reach == before

    @rule(words=st.sampled_from(STARTS))
    def starts(self, words: str) -> None:
        was_asked = self.was_asked
        self.has_stopped = False
        self.confirmations = 0
        self._text(words)
        assert self.reach.consent is (Consent.GIVEN if was_asked else Consent.ASKED)

    @rule(words=st.sampled_from(YESES))
    def says_yes(self, words: str) -> None:
        before = self.reach.consent
        self._text(words)
        if before is Consent.ASKED:
            assert self.reach.consent is Consent.GIVEN

    @rule(words=st.sampled_from([*NOES, *PLAIN_TALK, "MORE", "my dog ate the fertilizer"]))
    def talks(self, words: str) -> None:
        self._text(words)

    @rule(words=st.text(max_size=40))
    def types_anything(self, words: str) -> None:
        self._text(words)

    @rule(hours=st.integers(1, 60))
    def waits(self, hours: int) -> None:
        self.now += timedelta(hours=hours)

    def _text(self, words: str) -> Decision:
        self.now += MINUTE
        before, decision = self.reach, gate(words, self.reach, self.now)
        for note in decision.consent:
            self.reach = Reach(consent=note.consent, consent_at=self.now)
        self._nothing_passes_without_consent(before, decision)
        self._lines_are_rare(decision)
        self.was_asked |= bool(decision.consent)
        return decision

    def _nothing_passes_without_consent(self, before: Reach, decision: Decision) -> None:
        if decision.incoming == Said(text="stop") and before.consent is Consent.GIVEN:
            assert not decision.is_open
        elif decision.incoming is not None or decision.is_open or decision.more:
            assert self.reach.consent is Consent.GIVEN
        if decision.is_held:
            assert self.reach.consent is Consent.ASKED
        if self.reach.consent is not before.consent:
            assert decision.consent

    def _lines_are_rare(self, decision: Decision) -> None:
        assert len(decision.replies) <= 1
        self.confirmations += confirmations_in(decision)
        for key in {consent.ASK, consent.STOPPED_STILL} & set(decision.replies):
            assert self.now - self.last_line_at.get(key, self.now - DAY) >= DAY
            self.last_line_at[key] = self.now

    @invariant()
    def only_start_opens_what_was_stopped(self) -> None:
        if self.has_stopped:
            assert self.reach.consent is Consent.WITHDRAWN

    @invariant()
    def a_stop_is_confirmed_once(self) -> None:
        assert self.confirmations <= 1


Number.TestCase.settings = settings(max_examples=150, stateful_step_count=30, deadline=None)
TestAnyOrder = Number.TestCase
