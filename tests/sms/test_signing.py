"""Signatures of gateways: the standard's own library signs and checks, and nothing altered is believed."""

from __future__ import annotations

import base64
import hashlib
import hmac
from datetime import UTC, datetime, timedelta
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from standardwebhooks import Webhook

from bot.channels.sms.signing import TOLERANCE, BadSignature, SharedHmac, StandardWebhooks, Verifier

NOW = datetime(2027, 1, 20, 17, 0, tzinfo=UTC)
OLD, NEW, OTHER = ("whsec_" + base64.b64encode(word * 4).decode() for word in (b"first-", b"second", b"third-"))
CALL, BODY = "msg_1", b'{"kind":"text","text":"STOP \xc2\xb0"}'
A_SECOND = timedelta(seconds=1)


def signed(secret: str = OLD, at: datetime = NOW, body: bytes = BODY) -> dict[str, str]:
    """Headers as the standard's own library makes them."""
    return {
        "Webhook-Id": CALL,
        "Webhook-Timestamp": str(int(at.timestamp())),
        "Webhook-Signature": Webhook(secret).sign(CALL, at, body.decode()),
    }


def refusal(headers: dict[str, str], body: bytes = BODY, verifier: Verifier | None = None) -> str:
    """Why a call was refused."""
    with pytest.raises(BadSignature) as caught:
        (verifier or StandardWebhooks([OLD])).verify(headers, body, NOW)
    return caught.value.reason


@given(st.text(min_size=0).map(lambda text: text.encode("utf-8", "replace")))
def test_what_the_standards_library_signed_is_believed(body: bytes) -> None:
    """And its id comes back, to drop repeats by."""
    assert StandardWebhooks([OLD]).verify(signed(body=body), body, NOW) == CALL


def test_what_we_sign_the_standards_library_believes() -> None:
    """It asks the wall clock, so this one test signs for now."""
    now = datetime.now(UTC)
    headers = StandardWebhooks([OLD, NEW]).sign(CALL, now, BODY)

    assert Webhook(OLD).verify(BODY, headers)["kind"] == "text"


def test_bytes_that_are_no_text_can_be_signed() -> None:
    """The signature is over bytes, not letters."""
    verifier = StandardWebhooks([OLD])

    assert verifier.verify(verifier.sign(CALL, NOW, b"\xff\x00"), b"\xff\x00", NOW) == CALL


@given(st.data())
def test_no_altered_byte_is_believed(data: st.DataObject) -> None:
    """Not in the body, the id, the time or the signature."""
    headers = signed()
    what = data.draw(st.sampled_from(["body", *headers]))
    original = BODY if what == "body" else headers[what].encode()
    at = data.draw(st.integers(0, len(original) - 1))
    changed = bytearray(original)
    changed[at] = data.draw(st.integers(33, 126).filter(lambda byte: byte != original[at]))

    body = bytes(changed) if what == "body" else BODY
    altered = headers if what == "body" else headers | {what: changed.decode()}
    assert refusal(altered, body)


def test_a_signature_has_one_way_to_be_written() -> None:
    """The last letter of base64 has bits that mean nothing; changed there it is another signature all the same."""
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"
    signature = signed()["Webhook-Signature"]
    twin = signature[:-2] + letters[letters.index(signature[-2]) ^ 1] + "="
    assert base64.b64decode(twin[3:]) == base64.b64decode(signature[3:])

    assert refusal(signed() | {"Webhook-Signature": twin}) == "no signature fits"


@given(st.integers(1, len(BODY)))
def test_no_shortened_body_is_believed(cut: int) -> None:
    """Nor one without its end."""
    assert refusal(signed(), BODY[:-cut]) == "no signature fits"


def test_the_border_between_id_and_time_cannot_be_moved() -> None:
    """A point in the id could shift it; then the time is none."""
    headers = signed() | {"Webhook-Id": f"{CALL}.{signed()['Webhook-Timestamp']}", "Webhook-Timestamp": "{"}

    assert refusal(headers) == "the timestamp is no number of seconds"


@pytest.mark.parametrize(
    ("off", "reason"),
    [
        (-TOLERANCE - A_SECOND, "signed too long ago"),
        (TOLERANCE + A_SECOND, "signed in the future"),
        (timedelta(days=-3650), "signed too long ago"),
    ],
)
def test_a_call_far_from_now_is_refused(off: timedelta, reason: str) -> None:
    """Somebody may have kept it; the signature is right."""
    assert refusal(signed(at=NOW + off)) == reason


@pytest.mark.parametrize("off", [-TOLERANCE, timedelta(0), TOLERANCE])
def test_clocks_may_differ_by_five_minutes(off: timedelta) -> None:
    """To both sides."""
    assert StandardWebhooks([OLD]).verify(signed(at=NOW + off), BODY, NOW) == CALL


@pytest.mark.parametrize("timestamp", ["", "soon", "1.5e9", "-5", "9" * 30, "²", "nan"])
def test_a_time_that_is_none_is_refused(timestamp: str) -> None:
    """No exception but ours."""
    assert refusal(signed() | {"Webhook-Timestamp": timestamp})


def test_secrets_can_be_rotated() -> None:
    """While both are accepted either may sign; once the old one is gone it is not believed."""
    both = StandardWebhooks([NEW, OLD])

    assert {both.verify(signed(secret), BODY, NOW) for secret in (OLD, NEW)} == {CALL}
    assert both.sign(CALL, NOW, BODY) == StandardWebhooks([NEW]).sign(CALL, NOW, BODY)
    assert refusal(signed(OLD), verifier=StandardWebhooks([NEW])) == "no signature fits"


def test_one_of_several_signatures_is_enough() -> None:
    """The far side rotates, too; versions we don't know and broken ones are skipped."""
    good = signed(NEW)["Webhook-Signature"]
    others = f"v1a,AAAA v2,{good[3:]} v1,%% v1, {signed(OTHER)['Webhook-Signature']}"

    assert StandardWebhooks([NEW]).verify(signed() | {"Webhook-Signature": f"{others} {good}"}, BODY, NOW) == CALL
    assert refusal(signed() | {"Webhook-Signature": others}, verifier=StandardWebhooks([NEW])) == "no signature fits"


@pytest.mark.parametrize("header", ["v1a,AAAA", "v2,AAAA", "AAAA", "V1,AAAA"])
def test_only_unknown_versions_are_refused(header: str) -> None:
    """A signature right under another version is none of this one."""
    fitting = signed()["Webhook-Signature"][3:]

    assert refusal(signed() | {"Webhook-Signature": header.replace("AAAA", fitting)}) == "no signature of version v1"


@pytest.mark.parametrize("name", ["Webhook-Id", "Webhook-Timestamp", "Webhook-Signature"])
def test_a_missing_header_is_named(name: str) -> None:
    """Whoever sets up a gateway learns what it does not send."""
    headers = signed()
    del headers[name]

    assert refusal(headers) == f"the header {name.lower()} is missing"


def test_reasons_do_not_tell_what_would_have_been_right() -> None:
    """Nor anything of the body."""
    reason = refusal(signed(OTHER), verifier=StandardWebhooks([OLD]))

    assert signed(OLD)["Webhook-Signature"][3:] not in reason and "STOP" not in reason


@pytest.mark.parametrize("secrets", [[], ["whsec_"], ["whsec_%%%"], ["whsec_é"]])
def test_a_secret_that_cannot_sign_is_refused_at_the_start(secrets: list[str]) -> None:
    """Not when the first call comes."""
    with pytest.raises(ValueError, match="secret"):
        StandardWebhooks(secrets)


@given(st.text(), st.text(), st.text(), st.binary())
def test_whatever_comes_is_refused_in_words(call: str, timestamp: str, signature: str, body: bytes) -> None:
    """Strangers' headers raise nothing but `BadSignature`."""
    headers = {"webhook-id": call, "webhook-timestamp": timestamp, "webhook-signature": f"v1,{signature}"}
    now = {"webhook-timestamp": str(int(NOW.timestamp()))}

    assert refusal(headers, body) and refusal(headers | now, body)


# --- gateways with a way of their own --------------------------------------------------------------------------------


def test_a_plain_hmac_over_the_body() -> None:
    """As hex, with or without the name of the algorithm in front, in either case of letters."""
    verifier = SharedHmac(key=b"shared", header="X-Signature")
    digest = hmac.new(b"shared", BODY, hashlib.sha256).hexdigest()

    for given_digest in (digest, digest.upper(), f"sha256={digest}"):
        assert verifier.verify({"x-signature": given_digest}, BODY, NOW)


def test_a_base64_hmac_over_address_and_body() -> None:
    """With the older algorithm, as some gateways still have it."""
    url = "https://lawn.example/sms/calls"
    verifier = SharedHmac(key=b"shared", header="X-Signature", algorithm="sha1", encoding="base64", url=url)
    digest = base64.b64encode(hmac.new(b"shared", url.encode() + BODY, hashlib.sha1).digest()).decode()

    assert verifier.verify({"X-Signature": digest}, BODY, NOW)
    assert refusal({"X-Signature": digest}, BODY + b" ", verifier) == "the signature does not fit"


@pytest.mark.parametrize("algorithm", ["sha256", "sha1"])
@pytest.mark.parametrize("encoding", ["hex", "base64"])
def test_what_is_signed_one_way_is_checked_the_same_way(
    algorithm: Literal["sha256", "sha1"], encoding: Literal["hex", "base64"]
) -> None:
    """Both directions agree, and every changed byte is seen."""
    verifier = SharedHmac(key=b"shared", header="X-Signature", algorithm=algorithm, encoding=encoding)
    headers = verifier.sign(BODY)

    assert verifier.verify(headers, BODY, NOW)
    for at in range(len(BODY)):
        changed = BODY[:at] + bytes([BODY[at] ^ 1]) + BODY[at + 1 :]
        assert refusal(headers, changed, verifier) == "the signature does not fit"


def test_repeats_are_known_by_a_field_or_by_the_body() -> None:
    """The same call twice has the same id."""
    by_field = SharedHmac(key=b"shared", header="X-Signature", id_field="id")
    by_body = SharedHmac(key=b"shared", header="X-Signature")
    one, other = b'{"id": "m-1", "n": 1}', b'{"id": "m-1", "n": 2}'

    assert {by_field.verify(by_field.sign(body), body, NOW) for body in (one, other)} == {"m-1"}
    assert len({by_body.verify(by_body.sign(body), body, NOW) for body in (one, other, one)}) == 2


@pytest.mark.parametrize("body", [b"", b"[]", b'{"id": null}', b'{"id": ""}', b"[" * 100_000, b"\xff"])
def test_a_signed_body_without_its_id_is_refused(body: bytes) -> None:
    """Without it repeats could not be told."""
    verifier = SharedHmac(key=b"shared", header="X-Signature", id_field="id")

    assert "id" in refusal(verifier.sign(body), body, verifier)
