"""What an alert means to a lawn: which are cold, which may lead to a draft, when the weather is."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from bot.ops.alerts.meaning import PRODUCTS, Cold, Drill, drill, is_over, product_of, when_of
from bot.ops.alerts.national import read_feature
from bot.words import Words
from tests.fakes.weather_services import alert
from tests.ops.alerts.made import Made, of_product


@pytest.mark.parametrize("product", PRODUCTS, ids=lambda product: product.name)
def test_every_product_is_known_by_its_name_or_its_code(product) -> None:
    """In capitals, in another language with the code beside it."""
    made = of_product(product)

    assert product_of(made.read()) is product
    assert product_of(Made(event=product.name.upper()).read()) is product
    assert product_of(Made(event="Aviso", vtec=made.vtec).read()) is product
    assert product.words in Words().keys("en")


@pytest.mark.parametrize(
    ("event", "cold"),
    [
        ("Frost Advisory", Cold.FROST),
        ("Freeze Warning", Cold.FREEZE),
        ("Hard Freeze Warning", Cold.FREEZE),
        ("Extreme Cold Watch", Cold.DEEP),
        ("Cold Weather Advisory", Cold.DEEP),
        ("Winter Storm Warning", Cold.SNOW),
        ("Ground frost warning", Cold.FREEZE),
        ("Cold wave", Cold.FREEZE),
        ("Freezing Fog Advisory", None),
        ("Freezing Rain Advisory", None),
        ("Heavy Freezing Spray Warning", None),
        ("Flash Freeze Warning", None),
        ("Winter Weather Advisory", None),
        ("Heat Advisory", None),
        ("Cold Water Advisory", None),
        ("Defrosting notice", None),
    ],
)
def test_warnings_of_cold_are_told_apart(event: str, cold: Cold | None) -> None:
    """Also those of other services, by their words; ice on roads, fog and spray are another matter."""
    product = product_of(read_feature(alert("urn:1", event)))

    assert (product.cold if product else None) is cold


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({}, None),
        ({"msg_type": "Update"}, None),
        ({"msg_type": "Cancel"}, None),
        ({"status": "Test"}, Drill.NOT_ACTUAL),
        ({"status": "Exercise"}, Drill.NOT_ACTUAL),
        ({"status": "Draft"}, Drill.NOT_ACTUAL),
        ({"status": "System"}, Drill.NOT_ACTUAL),
        ({"scope": "Restricted"}, Drill.NOT_PUBLIC),
        ({"scope": "Private"}, Drill.NOT_PUBLIC),
        ({"msg_type": "Ack"}, Drill.NO_NEWS),
        ({"msg_type": "Error"}, Drill.NO_NEWS),
        ({"vtec": "/T.NEW.KTAR.FZ.W.0001.270116T0500Z-270116T1500Z/"}, Drill.NOT_ACTUAL),
    ],
)
def test_only_what_is_actual_and_public_leads_to_anything(changes: dict[str, str], why: Drill | None) -> None:
    """A homeowner must never be sent out by an exercise."""
    assert drill(Made(**changes).read()) is why  # type: ignore[arg-type]


ENDS_AT = datetime(2027, 1, 16, 15, tzinfo=UTC)


@pytest.mark.parametrize(
    ("changes", "begins_at", "ends_at"),
    [
        ({}, datetime(2027, 1, 16, 5, tzinfo=UTC), ENDS_AT),
        ({"onset": ""}, datetime(2027, 1, 15, 18, 40, tzinfo=UTC), ENDS_AT),
        ({"ends": ""}, datetime(2027, 1, 16, 5, tzinfo=UTC), None),
        (
            {"ends": "", "vtec": "/O.NEW.KTAR.FZ.W.0001.270116T0500Z-270116T1300Z/"},
            datetime(2027, 1, 16, 5, tzinfo=UTC),
            datetime(2027, 1, 16, 13, tzinfo=UTC),
        ),
        (
            {"ends": "", "vtec": "/O.NEW.KTAR.FZ.W.0001.000000T0000Z-000000T0000Z/"},
            datetime(2027, 1, 16, 5, tzinfo=UTC),
            None,
        ),
        (
            {"ends": "", "vtec": "/O.NEW.KTAR.FZ.W.0001.270199T0500Z-270199T1300Z/"},
            datetime(2027, 1, 16, 5, tzinfo=UTC),
            None,
        ),
        ({"ends": "2027-01-15T23:00:00-05:00"}, datetime(2027, 1, 16, 5, tzinfo=UTC), None),
    ],
)
def test_the_weather_has_its_own_times(changes: dict[str, str], begins_at: datetime, ends_at: datetime | None) -> None:
    """Not those of the message: that one expires at four in the morning, in the middle of the cold."""
    when = when_of(Made(**changes).read())  # type: ignore[arg-type]

    assert when.begins.at == begins_at
    assert (when.ends.at if when.ends else None) == ends_at


def test_weather_is_over_at_its_end_not_when_its_message_expires() -> None:
    """Where no end is told, the message's own end must do."""
    assert not is_over(Made().read(), datetime(2027, 1, 16, 14, 59, tzinfo=UTC))
    assert is_over(Made().read(), ENDS_AT)
    assert not is_over(Made(ends="").read(), datetime(2027, 1, 16, 8, 59, tzinfo=UTC))
    assert is_over(Made(ends="").read(), datetime(2027, 1, 16, 9, tzinfo=UTC))
    assert not is_over(Made(ends="", expires="").read(), datetime(2030, 1, 1, tzinfo=UTC))
