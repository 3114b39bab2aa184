"""Alerts made for the tests, valid against the CAP 1.2 schema; who sends them and what they warn of is invented."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from xml.sax.saxutils import escape

from bot.ops.alerts.alert import Alert
from bot.ops.alerts.cap import read_cap
from bot.ops.alerts.meaning import PRODUCTS, Product

NAMESPACE = "urn:oasis:names:tc:emergency:cap:1.2"
SENDER = "weather@example.invalid"
SENT = "2027-01-15T13:40:00-05:00"
ONSET, ENDS, EXPIRES = "2027-01-16T00:00:00-05:00", "2027-01-16T10:00:00-05:00", "2027-01-16T04:00:00-05:00"
NOW = datetime(2027, 1, 15, 19, 0, tzinfo=UTC)  # twenty minutes after it was sent
SAME_CODES = (("SAME", "013127"), ("SAME", "013191"), ("UGC", "GAZ154"), ("UGC", "GAZ166"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What an alert says; every field as it is written. An empty one is left out."""

    identifier: str = "urn:made:1"
    sent: str = SENT
    status: str = "Actual"
    msg_type: str = "Alert"
    scope: str = "Public"
    references: str = ""
    event: str = "Freeze Warning"
    language: str = ""
    onset: str = ONSET
    expires: str = EXPIRES
    ends: str = ENDS
    vtec: str = ""
    polygons: Sequence[str] = ()
    circles: Sequence[str] = ()
    geocodes: Sequence[tuple[str, str]] = SAME_CODES
    has_info: bool = True

    def xml(self) -> str:
        """As XML."""
        head = "".join(
            _element(name, value)
            for name, value in (
                ("identifier", self.identifier),
                ("sender", SENDER),
                ("sent", self.sent),
                ("status", self.status),
                ("msgType", self.msg_type),
                ("scope", self.scope),
                ("references", self.references),
            )
        )
        info = self._info() if self.has_info else ""
        return f'<?xml version="1.0" encoding="UTF-8"?>\n<alert xmlns="{NAMESPACE}">{head}{info}</alert>'

    def bytes(self) -> bytes:
        """As it would come."""
        return self.xml().encode()

    def read(self) -> Alert:
        """As we read it."""
        return read_cap(self.bytes())

    def reference(self) -> str:
        """How a later message names it."""
        return f"{SENDER},{self.identifier},{self.sent}"

    def later(self, minutes: int, **changes: object) -> Made:
        """A later message about it."""
        sent = (datetime.fromisoformat(self.sent) + timedelta(minutes=minutes)).isoformat()
        usual = {"identifier": f"{self.identifier}.{minutes}", "msg_type": "Update", "references": self.reference()}
        return replace(self, sent=sent, **(usual | changes))  # type: ignore[arg-type]

    def _info(self) -> str:
        parameters = "".join(
            _pair("parameter", name, value)
            for name, value in (("VTEC", self.vtec), ("eventEndingTime", self.ends))
            if value
        )
        words = "".join(
            _element(name, value)
            for name, value in (
                ("onset", self.onset),
                ("expires", self.expires),
                ("senderName", "Weather Office of Tarrow"),
                ("headline", f"{self.event} until Saturday morning"),
                ("description", "* WHAT...Temperatures as low as 22 expected.\n* WHERE...Tarrow & Sound."),
                ("instruction", "Take steps now to protect tender plants."),
            )
        )
        facts = "<urgency>Expected</urgency><severity>Moderate</severity><certainty>Likely</certainty>"
        return (
            f"<info>{_element('language', self.language)}<category>Met</category>{_element('event', self.event)}"
            f"<responseType>Prepare</responseType>{facts}{_pair('eventCode', 'SAME', 'NWS')}{words}{parameters}"
            f"{self._area()}</info>"
        )

    def _area(self) -> str:
        drawn = "".join(_element("polygon", each) for each in self.polygons)
        drawn += "".join(_element("circle", each) for each in self.circles)
        codes = "".join(_pair("geocode", name, value) for name, value in self.geocodes)
        return f"<area><areaDesc>Tarrow; Sound</areaDesc>{drawn}{codes}<altitude>0</altitude></area>"


def of_product(product: Product) -> Made:
    """A warning of one product, with its code of event tracking."""
    event = product.name.title()
    vtec = f"/O.NEW.KTAR.{product.tracked}.0001.270116T0500Z-270116T1500Z/" if product.tracked else ""
    return Made(identifier=f"urn:made:{product.tracked}", event=event, vtec=vtec)


SAMPLES = tuple(of_product(product) for product in PRODUCTS)


def _element(name: str, value: str) -> str:
    return f"<{name}>{escape(value)}</{name}>" if value else ""


def _pair(name: str, value_name: str, value: str) -> str:
    return f"<{name}>{_element('valueName', value_name)}{_element('value', value)}</{name}>"
