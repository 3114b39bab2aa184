"""OASIS CAP 1.2 from bytes of anybody's making.

Source: Common Alerting Protocol 1.2, OASIS Standard, 1 July 2010, and its XML schema.

1. At most `MOST_BYTES` are looked at. No document type is read (so there are no entities), nothing is fetched or
   opened, and depth and number of elements are counted while reading, not after.
2. Every refusal is an `AlertRefused` with a reason. What the schema wants and is not there, stands twice or says
   something else is refused by its name. Elements of other schemas are passed over, a signature with them.
3. Two things are read more leniently than the schema writes them: a time may end in `Z`, and elements may stand in
   another order.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from lxml import etree

from bot.ops.alerts.alert import (
    Alert,
    AlertCircle,
    Area,
    Info,
    Moment,
    MsgType,
    Named,
    Reference,
    Scope,
    Status,
    plain_text,
)
from bot.ops.alerts.pieces import (
    MOST_AREAS,
    TooFar,
    circle_of,
    closed_ring,
    moment_of,
    one_of,
    points_in,
    reference_of,
)
from bot.ops.alerts.refused import AlertRefused

MOST_BYTES = 1_000_000
DEEPEST = 24  # an alert's own elements nest five deep, a signature's some more
MOST_ELEMENTS = 20_000

_NAMESPACE = "urn:oasis:names:tc:emergency:cap:1.2"
_OTHER_VERSIONS = ("urn:oasis:names:tc:emergency:cap:", "http://www.incident.com/cap/")
_ENCODINGS = frozenset({"utf-8", "utf8", "us-ascii", "ascii", "iso-8859-1", "latin1", "windows-1252", "utf-16"})
_DECLARED = re.compile(rb"""^\s*<\?xml[^>]*?\bencoding\s*=\s*["']([^"']{1,40})["']""")
_BOM_8, _BOMS_16, _BOMS_32 = b"\xef\xbb\xbf", (b"\xfe\xff", b"\xff\xfe"), (b"\xff\xfe\x00\x00", b"\x00\x00\xfe\xff")
_FED_AT_ONCE = 16_384
_ENCODING_FAULTS = frozenset({
    etree.ErrorTypes.ERR_UNSUPPORTED_ENCODING, etree.ErrorTypes.ERR_UNKNOWN_ENCODING,
    etree.ErrorTypes.ERR_INVALID_ENCODING,
})  # fmt: skip

CATEGORIES = frozenset("Geo Met Safety Security Rescue Fire Health Env Transport Infra CBRNE Other".split())
RESPONSES = frozenset("Shelter Evacuate Prepare Execute Avoid Monitor Assess AllClear None".split())
URGENCIES = frozenset("Immediate Expected Future Past Unknown".split())
SEVERITIES = frozenset("Extreme Severe Moderate Minor Unknown".split())
CERTAINTIES = frozenset("Observed Likely Possible Unlikely Unknown".split())


def read_cap(data: bytes) -> Alert:
    """The alert in some bytes. Raises `AlertRefused`."""
    if len(data) > MOST_BYTES:
        raise AlertRefused("too_large", f"The alert is larger than {MOST_BYTES // 1_000_000} MB.")
    _require_known_encoding(data)
    root = _parsed(data)
    if root.namespace != _NAMESPACE or root.name != "alert":
        if root.name == "alert" and root.namespace.startswith(_OTHER_VERSIONS):
            raise AlertRefused("wrong_version", "This is another version of CAP. Ask its sender for version 1.2.")
        raise AlertRefused("not_cap", "This is XML, but not an alert of CAP 1.2.")
    return _alert(root)


# --- XML ----------------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class _Element:
    """One element of CAP: its children by name in their order, and its own text."""

    name: str
    namespace: str
    children: dict[str, list[_Element]] = field(default_factory=dict)
    parts: list[str] = field(default_factory=list)

    @property
    def text(self) -> str:
        return plain_text("".join(self.parts))

    def all(self, name: str) -> list[_Element]:
        return self.children.get(name, [])

    def one(self, name: str) -> _Element | None:
        """The only child of that name. Raises `AlertRefused` where there are several: which one counts?"""
        found = self.all(name)
        if len(found) > 1:
            raise AlertRefused(f"twice:{name}", f"<{name}> stands more than once in <{self.name}>.")
        return found[0] if found else None

    def need(self, name: str) -> str:
        """The text of a child that must be there and say something."""
        found = self.one(name)
        if found is None or not found.text:
            raise AlertRefused(f"missing:{name}", f"<{self.name}> has no <{name}>.")
        return found.text

    def may(self, name: str) -> str:
        """The text of a child that may be there."""
        found = self.one(name)
        return "" if found is None else found.text

    def pairs(self, name: str) -> tuple[Named, ...]:
        """Children that are a name with a value. An empty value is one; an empty name is none."""
        return tuple(Named(name=each.need("valueName"), value=each.may("value")) for each in self.all(name))


class _Builder:
    """What the parser calls while it reads. Raises `AlertRefused` at the first thing that goes too far.

    The parser closes it even then, and lets what closing raises win: so the first refusal is raised again.
    """

    def __init__(self) -> None:
        self._root: _Element | None = None
        self._refused: AlertRefused | None = None
        self._open: list[_Element] = []
        self._count = 0

    def doctype(self, name: str | None, public: str | None, system: str | None) -> None:
        self._refuse("has_dtd", "It declares a document type, which no alert needs and we do not read.")

    def start(self, tag: str, attributes: Mapping[str, str]) -> None:
        self._count += 1
        if self._count > MOST_ELEMENTS:
            self._refuse("too_many", f"It has more than {MOST_ELEMENTS} elements.")
        if len(self._open) >= DEEPEST:
            self._refuse("too_deep", f"Its elements are nested more than {DEEPEST} deep.")
        namespace, name = _split(tag)
        element = _Element(name, namespace)
        if self._root is None:
            self._root = element
        elif namespace == self._open[-1].namespace:
            self._open[-1].children.setdefault(name, []).append(element)
        self._open.append(element)

    def data(self, text: str) -> None:
        self._open[-1].parts.append(text)

    def end(self, tag: str) -> None:
        self._open.pop()

    def close(self) -> _Element:
        if self._refused is not None:
            raise self._refused
        if self._root is None:
            raise AlertRefused("not_xml", "There is no element in it.")
        return self._root

    def _refuse(self, reason: str, message: str) -> None:
        self._refused = AlertRefused(reason, message)
        raise self._refused


def _split(tag: str) -> tuple[str, str]:
    namespace, brace, name = tag.rpartition("}")
    return (namespace[1:], name) if brace else ("", name)


def _parsed(data: bytes) -> _Element:
    parser = etree.XMLParser(
        target=_Builder(), resolve_entities=False, load_dtd=False, dtd_validation=False, attribute_defaults=False,
        no_network=True, huge_tree=False,
    )  # fmt: skip
    try:
        for start in range(0, len(data), _FED_AT_ONCE):
            parser.feed(data[start : start + _FED_AT_ONCE])
        root = parser.close()
    except etree.XMLSyntaxError as error:
        if error.code in _ENCODING_FAULTS:
            raise AlertRefused("bad_encoding", "Its letters are not in the encoding it declares.") from error
        raise AlertRefused("not_xml", f"It is no XML, or only a part of it ({plain_text(str(error.msg))}).") from error
    except (etree.LxmlError, AssertionError, TypeError) as error:  # nothing was fed, or nothing began
        raise AlertRefused("not_xml", f"It is no XML ({type(error).__name__}).") from error
    if not isinstance(root, _Element):
        raise AlertRefused("not_xml", "There is no element in it.")
    return root


def _require_known_encoding(data: bytes) -> None:
    if data.startswith(_BOMS_32):
        raise AlertRefused("bad_encoding", "It is in UTF-32. Use UTF-8.")
    if data.startswith(_BOMS_16):
        return  # what it declares is in UTF-16 itself, and the parser goes by the mark
    body = data.removeprefix(_BOM_8)
    if not body.lstrip().startswith(b"<"):
        raise AlertRefused("not_xml", "It does not begin like XML.")
    declared = _DECLARED.match(body)
    if declared and declared[1].decode("latin-1").lower() not in _ENCODINGS:
        raise AlertRefused("bad_encoding", "It declares an encoding we do not read. Use UTF-8.")


# --- what the elements say ----------------------------------------------------------------------------------------


def _alert(root: _Element) -> Alert:
    infos = root.all("info")
    if sum(len(each.all("area")) for each in infos) > MOST_AREAS:
        raise AlertRefused("too_many", f"It has more than {MOST_AREAS} areas.")
    return Alert(
        identifier=root.need("identifier"),
        sender=root.need("sender"),
        sent=moment_of(root.need("sent"), "sent"),
        status=Status(one_of(root.need("status"), frozenset(Status), "status")),
        msg_type=MsgType(one_of(root.need("msgType"), frozenset(MsgType), "msgType")),
        scope=Scope(one_of(root.need("scope"), frozenset(Scope), "scope")),
        source=root.may("source"),
        note=root.may("note"),
        incidents=root.may("incidents"),
        codes=tuple(each.text for each in root.all("code")),
        references=_references(root.may("references")),
        infos=tuple(_info(each) for each in infos),
    )


def _references(written: str) -> tuple[Reference, ...]:
    return tuple(reference_of(each) for each in written.split())


def _info(element: _Element) -> Info:
    categories = tuple(one_of(each.text, CATEGORIES, "category") for each in element.all("category"))
    if not categories:
        raise AlertRefused("missing:category", "<info> has no <category>.")
    parameters = element.pairs("parameter")
    ending = next((each.value for each in parameters if each.name == "eventEndingTime"), "")
    return Info(
        event=element.need("event"),
        language=element.may("language") or "en-US",
        categories=categories,
        responses=tuple(one_of(each.text, RESPONSES, "responseType") for each in element.all("responseType")),
        urgency=one_of(element.need("urgency"), URGENCIES, "urgency"),
        severity=one_of(element.need("severity"), SEVERITIES, "severity"),
        certainty=one_of(element.need("certainty"), CERTAINTIES, "certainty"),
        event_codes=element.pairs("eventCode"),
        effective=_time(element, "effective"),
        onset=_time(element, "onset"),
        expires=_time(element, "expires"),
        ends=moment_of(ending, "eventEndingTime") if ending else None,  # as the US weather service tells it
        sender_name=element.may("senderName"),
        headline=element.may("headline"),
        description=element.may("description"),
        instruction=element.may("instruction"),
        web=element.may("web"),
        contact=element.may("contact"),
        parameters=parameters,
        areas=tuple(_area(each) for each in element.all("area")),
    )


def _time(element: _Element, name: str) -> Moment | None:
    written = element.may(name)
    return moment_of(written, name) if written else None


def _area(element: _Element) -> Area:
    try:
        polygons = tuple(closed_ring(points_in(each.text)) for each in element.all("polygon"))
        circles: Iterator[AlertCircle] = (circle_of(each.text) for each in element.all("circle"))
        return Area(
            about=element.need("areaDesc"),
            polygons=polygons,
            circles=tuple(circles),
            geocodes=element.pairs("geocode"),
            altitude=element.may("altitude"),
            ceiling=element.may("ceiling"),
        )
    except TooFar as error:
        raise AlertRefused("bad_area", f"An area cannot be used: {error}.") from error
