"""The methods that are played, with the limits the real server keeps. What is not here is answered "Not Found".

Texts of errors as the real server writes them where a client reads them; others say what was wrong.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from tests.fakes.bot_api_faults import Refusal
from tests.fakes.bot_api_http import Json, Upload
from tests.fakes.bot_api_people import photo_sizes

if TYPE_CHECKING:
    from tests.fakes.bot_api import BotApi

TEXT_UNITS = 4096
CAPTION_UNITS = 1024
ANSWER_UNITS = 200
CALLBACK_BYTES = 64
BUTTONS_A_ROW = 8
BUTTONS = 100
PHOTO_BYTES = 10_000_000
UPLOAD_BYTES = 50_000_000
COMMANDS = 100
LONGEST_POLL_SECONDS = 50


@dataclass(frozen=True, slots=True)
class Call:
    """One call with what it was given."""

    method: str
    fields: Mapping[str, str]
    files: Mapping[str, Upload]
    at_seconds: float

    @property
    def chat(self) -> str:
        """The chat as it was named."""
        return self.fields.get("chat_id", "")

    @property
    def chat_id(self) -> int:
        """The chat as a number."""
        try:
            return int(self.chat)
        except ValueError:
            text = "chat_id is empty" if not self.chat else "chat not found"
            raise Refusal(400, f"Bad Request: {text}") from None

    def number(self, name: str, other: int) -> int:
        """A whole number, or another one where nothing was given."""
        try:
            return int(self.fields.get(name) or other)
        except ValueError:
            raise Refusal(400, f"Bad Request: {name} is no number") from None

    def json(self, name: str, other: Any) -> Any:
        """A value given as JSON."""
        try:
            return json.loads(self.fields[name]) if self.fields.get(name) else other
        except ValueError:
            raise Refusal(400, f"Bad Request: can't parse {name} JSON object") from None


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """One message as it was delivered. `at_seconds` is of the fake's monotonic clock, when the call came in."""

    method: str
    chat_id: int
    message_id: int
    text: str
    reply_markup: Json
    at_seconds: float
    files: tuple[Upload, ...] = ()
    fields: Mapping[str, str] = field(default_factory=dict)

    @property
    def buttons(self) -> list[tuple[str, str]]:
        """Labels and what they send."""
        rows = self.reply_markup.get("inline_keyboard", [])
        return [(each["text"], each.get("callback_data", "")) for row in rows for each in row]


Method = Callable[["BotApi", Call], Any]


def utf16_units(text: str) -> int:
    """The length as limits count it."""
    return len(text) if text.isascii() else len(text.encode("utf-16-le")) // 2


# --- sending ---------------------------------------------------------------------------------------------------------


def send_message(api: BotApi, call: Call) -> Json:
    """Text."""
    return _deliver(api, call, _text(call), {"text": _text(call)})


def send_photo(api: BotApi, call: Call) -> Json:
    """One picture with words."""
    caption = _caption(call)
    upload = _file(api, call, "photo")
    _check_picture(upload)
    sizes = photo_sizes(api.files, upload.content)
    words = {"caption": caption} if caption else {}
    return _deliver(api, call, caption, {"photo": sizes, **words}, (upload,))


def send_document(api: BotApi, call: Call) -> Json:
    """One file with words."""
    caption = _caption(call)
    upload = _file(api, call, "document")
    if len(upload.content) > UPLOAD_BYTES:
        raise Refusal(413, "Request Entity Too Large")
    stored = api.files.keep(upload.content, "documents", upload.name)
    words = {"caption": caption} if caption else {}
    document = stored | {"file_name": upload.name, "mime_type": upload.media_type}
    return _deliver(api, call, caption, {"document": document, **words}, (upload,))


def send_media_group(api: BotApi, call: Call) -> list[Json]:
    """Two to ten pictures together."""
    media = call.json("media", [])
    if not 2 <= len(media) <= 10:
        raise Refusal(400, "Bad Request: wrong number of media in the media group")
    uploads = [_attached(api, call, each) for each in media]
    captions = [each.get("caption", "") for each in media]
    for upload, caption in zip(uploads, captions, strict=True):
        _check_picture(upload)
        _check_length(caption, CAPTION_UNITS, "message caption is too long")
    mark = f"{14_000_000_000_000_000 + next(api.people.numbers)}"
    found = []
    for upload, caption in zip(uploads, captions, strict=True):
        content: Json = {"photo": photo_sizes(api.files, upload.content), "media_group_id": mark}
        found.append(_deliver(api, call, caption, content | ({"caption": caption} if caption else {}), (upload,)))
    return found


def _deliver(api: BotApi, call: Call, text: str, content: Json, files: tuple[Upload, ...] = ()) -> Json:
    """Note a message as delivered."""
    number = call.chat_id
    markup = _markup(call)
    keyboard = {"reply_markup": markup} if "inline_keyboard" in markup else {}
    message = api.people.message(number, api.me, **content, **keyboard)
    taken = Taken(
        method=call.method,
        chat_id=number,
        message_id=message["message_id"],
        text=text,
        reply_markup=markup,
        at_seconds=call.at_seconds,
        files=files,
        fields=call.fields,
    )
    api.taken.append(taken)
    return message


def send_chat_action(_api: BotApi, call: Call) -> bool:
    """Typing."""
    if not call.fields.get("action"):
        raise Refusal(400, "Bad Request: wrong parameter action in request")
    return bool(call.chat_id)


# --- what was sent ---------------------------------------------------------------------------------------------------


def edit_message_text(api: BotApi, call: Call) -> Json:
    """Other words."""
    return _edit(api, call, {"text": _text(call)})


def edit_message_reply_markup(api: BotApi, call: Call) -> Json:
    """Other buttons."""
    return _edit(api, call, {})


def _edit(api: BotApi, call: Call, content: Json) -> Json:
    message = api.people.messages.get((call.chat_id, call.number("message_id", 0)))
    if message is None:
        raise Refusal(400, "Bad Request: message to edit not found")
    if message["from"] != api.me:
        raise Refusal(400, "Bad Request: message can't be edited")
    changed = {name: value for name, value in message.items() if name != "reply_markup"} | content
    markup = _markup(call)
    if "inline_keyboard" in markup:
        changed["reply_markup"] = markup
    if changed == message:
        text = "message is not modified: specified new message content and reply markup are exactly the same as a "
        raise Refusal(400, f"Bad Request: {text}current content and reply markup of the message")
    changed["edit_date"] = int(api.now().timestamp())
    api.people.messages[call.chat_id, message["message_id"]] = changed
    api.edited.append(changed)
    return changed


def answer_callback_query(api: BotApi, call: Call) -> bool:
    """End the waiting of a button."""
    number = call.fields.get("callback_query_id", "")
    limit = timedelta(seconds=api.settings.press_seconds)
    if number not in api.people.presses or api.now() - api.people.presses[number][1] > limit:
        text = "query is too old and response timeout expired or query ID is invalid"
        raise Refusal(400, f"Bad Request: {text}")
    _check_length(call.fields.get("text", ""), ANSWER_UNITS, "MESSAGE_TOO_LONG")
    api.answered[number] = call.fields.get("text", "")
    return True


# --- about the bot ---------------------------------------------------------------------------------------------------


def get_me(api: BotApi, _call: Call) -> Json:
    """Who the bot is."""
    more = {"can_join_groups": True, "can_read_all_group_messages": False, "supports_inline_queries": False}
    return api.me | more


def set_my_commands(api: BotApi, call: Call) -> bool:
    """What the menu offers."""
    commands = call.json("commands", [])
    if len(commands) > COMMANDS:
        raise Refusal(400, "Bad Request: BOT_COMMANDS_TOO_MUCH")
    for each in commands:
        name, words = each["command"].removeprefix("/"), each["description"]
        is_name = 1 <= len(name) <= 32 and name.isascii() and name.replace("_", "").isalnum() and name.islower()
        if not is_name:
            raise Refusal(400, "Bad Request: BOT_COMMAND_INVALID")
        if not 1 <= len(words) <= 256:
            raise Refusal(400, "Bad Request: BOT_COMMAND_DESCRIPTION_INVALID")
    api.commands = {each["command"].removeprefix("/"): each["description"] for each in commands}
    return True


def set_my_description(api: BotApi, call: Call) -> bool:
    """What stands in an empty chat."""
    words = call.fields.get("description", "")
    _check_length(words, 512, "description is too long")
    api.description = words
    return True


# --- updates and files -----------------------------------------------------------------------------------------------


async def get_updates(api: BotApi, call: Call) -> list[Json]:
    """What waits for the bot."""
    allowed = call.json("allowed_updates", None)
    if allowed is not None:
        api.updates.allowed = tuple(allowed)
    limit = call.number("limit", 100)
    wait = min(max(call.number("timeout", 0), 0), LONGEST_POLL_SECONDS)
    return await api.updates.poll(call.number("offset", 0), limit if 1 <= limit <= 100 else 100, wait)


def set_webhook(api: BotApi, call: Call) -> bool:
    """Have updates sent."""
    allowed = call.json("allowed_updates", None)
    if allowed is not None:
        api.updates.allowed = tuple(allowed)
    if call.fields.get("drop_pending_updates") in ("true", "True"):
        api.updates.drop_all()
    most = call.number("max_connections", 40)
    if not 1 <= most <= 100:
        raise Refusal(400, "Bad Request: max_connections must be between 1 and 100")
    secret = call.fields.get("secret_token", "")
    api.updates.set_webhook(call.fields.get("url", ""), secret=secret, most_connections=most)
    return True


def delete_webhook(api: BotApi, call: Call) -> bool:
    """Have updates kept."""
    if call.fields.get("drop_pending_updates") in ("true", "True"):
        api.updates.drop_all()
    api.updates.set_webhook("", secret="", most_connections=40)
    return True


def get_webhook_info(api: BotApi, _call: Call) -> Json:
    """How the webhook does."""
    webhook = api.updates.webhook
    found: Json = {
        "url": webhook.url,
        "has_custom_certificate": False,
        "pending_update_count": len(api.updates.pending),
        "max_connections": webhook.most_connections,
    }
    if api.updates.allowed:
        found["allowed_updates"] = list(api.updates.allowed)
    if webhook.last_error:
        found |= {"last_error_date": webhook.last_error_at, "last_error_message": webhook.last_error}
    return found


def get_file(api: BotApi, call: Call) -> Json:
    """A link to a file."""
    return api.files.link(call.fields.get("file_id", ""))


# --- checks ----------------------------------------------------------------------------------------------------------


def _text(call: Call) -> str:
    text = call.fields.get("text", "")
    if not text.strip():
        raise Refusal(400, "Bad Request: message text is empty")
    _refuse_markup(call)
    _check_length(text, TEXT_UNITS, "message is too long")
    return text


def _caption(call: Call) -> str:
    caption = call.fields.get("caption", "")
    _refuse_markup(call)
    _check_length(caption, CAPTION_UNITS, "message caption is too long")
    return caption


def _refuse_markup(call: Call) -> None:
    """Marked-up text is not played: to take it as it is would hide mistakes in it."""
    if call.fields.get("parse_mode"):
        raise Refusal(400, "Bad Request: can't parse entities: the fake plays plain text only")


def _check_length(text: str, most: int, complaint: str) -> None:
    if utf16_units(text) > most:
        raise Refusal(400, f"Bad Request: {complaint}")


def _markup(call: Call) -> Json:
    markup = call.json("reply_markup", {})
    if not isinstance(markup, dict):
        raise Refusal(400, "Bad Request: object expected as reply markup")
    rows = markup.get("inline_keyboard", [])
    buttons = [each for row in rows for each in row]
    if len(buttons) > BUTTONS or any(len(row) > BUTTONS_A_ROW for row in rows):
        raise Refusal(400, "Bad Request: reply markup is too long")
    for each in buttons:
        if not each.get("text"):
            raise Refusal(400, 'Bad Request: can\'t parse inline keyboard button: Field "text" must be of type String')
        if "callback_data" in each and not 1 <= len(each["callback_data"].encode()) <= CALLBACK_BYTES:
            raise Refusal(400, "Bad Request: BUTTON_DATA_INVALID")
        if not each.keys() - {"text"}:
            raise Refusal(400, "Bad Request: can't parse inline keyboard button: Text buttons are unallowed in the "
                          "inline keyboard")  # fmt: skip
    return markup


def _file(api: BotApi, call: Call, name: str) -> Upload:
    """An uploaded file, or one that lies here already."""
    if name in call.files:
        return call.files[name]
    value = call.fields.get(name, "")
    if value.startswith("attach://"):
        return _attached(api, call, {"media": value})
    if value in api.files.contents:
        return Upload(api.files.paths[value].rpartition("/")[2], "application/octet-stream", api.files.contents[value])
    raise Refusal(400, f"Bad Request: there is no {name} in the request")


def _attached(api: BotApi, call: Call, media: Json) -> Upload:
    name = media.get("media", "")
    if name.startswith("attach://") and name.removeprefix("attach://") in call.files:
        return call.files[name.removeprefix("attach://")]
    if name in api.files.contents:
        return Upload(name, "application/octet-stream", api.files.contents[name])
    raise Refusal(400, "Bad Request: media not found")


def _check_picture(upload: Upload) -> None:
    """A photo must be one: at most 10 MB, width and height 10,000 together, no side 20 times the other."""
    from PIL import Image

    if len(upload.content) > PHOTO_BYTES:
        raise Refusal(413, "Request Entity Too Large")
    try:
        with Image.open(io.BytesIO(upload.content)) as picture:
            width, height = picture.size
    except OSError:
        raise Refusal(400, "Bad Request: IMAGE_PROCESS_FAILED") from None
    if width + height > 10_000 or max(width, height) > 20 * min(width, height):
        raise Refusal(400, "Bad Request: PHOTO_INVALID_DIMENSIONS")


METHODS: dict[str, Method] = {
    "getMe": get_me,
    "getUpdates": get_updates,
    "setWebhook": set_webhook,
    "deleteWebhook": delete_webhook,
    "getWebhookInfo": get_webhook_info,
    "sendMessage": send_message,
    "sendPhoto": send_photo,
    "sendDocument": send_document,
    "sendMediaGroup": send_media_group,
    "sendChatAction": send_chat_action,
    "editMessageText": edit_message_text,
    "editMessageReplyMarkup": edit_message_reply_markup,
    "answerCallbackQuery": answer_callback_query,
    "getFile": get_file,
    "setMyCommands": set_my_commands,
    "setMyDescription": set_my_description,
}
NAMES = {name.lower(): name for name in METHODS}  # the real server does not mind how they are written
SENDS = frozenset({"sendMessage", "sendPhoto", "sendDocument", "sendMediaGroup"})
