"""Every address of the desk by every role and by nobody, worked out from what each address declares."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.channels.web import keys as homeowner_keys
from bot.conversation import known_here
from bot.ops.desk.desk import Desk, routes_of
from bot.ops.desk.gates import Gate
from bot.ops.desk.keys import NAME, new_secret
from bot.ops.desk.rooms import rooms_of
from bot.ops.roles import Operator, Role
from bot.settings import Settings
from bot.words import Words
from tests.fakes.desk import HOST, DeskHouse, Sitting, open_desk
from tests.fakes.house import House

PARAMETERS = {"int": "999999", "str": "nothing"}
TABLES = (
    "operator",
    "desk_key",
    "advisory",
    "advisory_send",
    "region",
    "correction",
    "local_rule",
    "template",
    "case_note",
    "outbox",
)


def path_of(route: Route) -> str:
    """A route's path with a number or word in it that belongs to nothing."""
    path = route.path
    for name, convertor in route.param_convertors.items():
        kind = "int" if type(convertor).__name__ == "IntegerConvertor" else "str"
        marker = f"{{{name}:int}}" if kind == "int" else f"{{{name}}}"
        path = path.replace(marker, PARAMETERS[kind])
    return path


def gates_of(house: House, words: Words) -> Iterator[tuple[str, str, Gate]]:
    """Method, path and gate of every address of every room."""
    desk = Desk(house, words)
    for route in routes_of(desk, rooms_of(known_here(words, Settings()))):
        gate = desk.gates.of(route)
        yield "POST" if "POST" in gate.methods else "GET", path_of(route), gate


@pytest.fixture
async def whole(house: House, words: Words):  # type: ignore[no-untyped-def]
    """The desk with every room there is."""
    async with open_desk(house, words, rooms_of(known_here(words, Settings()))) as opened:
        yield opened


async def outcome(sitting: Sitting, method: str, path: str) -> str:
    """What an address answers: "in", "role", "door" or the status."""
    if method == "GET":
        answer = await sitting.look(path, follow=False)
    else:
        await sitting.look("/password" if sitting.operator_id else "/sign-in")
        answer = await sitting.send(path, follow=False)
    if answer.status_code == 303 and answer.headers["location"].startswith("/desk/sign-in"):
        return "door"
    if answer.status_code == 403 and "Not for your role" in answer.text:
        return "role"
    return "in" if answer.status_code < 500 and "Not from this page" not in answer.text else f"{answer.status_code}"


def expected(role: Role | None, path: str, gate: Gate) -> str:
    """What an address should answer."""
    if gate.role is None:
        return "in"
    if role is None:
        return "door"
    if path == "/sign-out":
        return "door"  # that is where it leads
    return "in" if role.may(gate.role) else "role"


@pytest.mark.parametrize("role", [None, *Role], ids=lambda role: role or "nobody")
async def test_every_address_opens_to_those_it_is_for_and_nobody_else(
    whole: DeskHouse, house: House, words: Words, role: Role | None
) -> None:
    """The declared role decides, for looking and for doing; who may not do something changes nothing by trying."""
    found, wanted, changed = {}, {}, []
    for method, path, gate in gates_of(house, words):
        sitting = await whole.sits(role) if role else whole.nobody()
        before = [house.value(f"SELECT count(*) FROM {table}") for table in TABLES]
        found[method, path] = await outcome(sitting, method, path)
        wanted[method, path] = expected(role, path, gate)
        after = [house.value(f"SELECT count(*) FROM {table}") for table in TABLES]
        if wanted[method, path] in ("door", "role") and path != "/sign-out" and before != after:
            changed.append((method, path))

    assert found == wanted
    assert changed == []
    assert len(found) >= 14


async def test_every_form_needs_the_mark_of_its_own_session_and_our_own_page(
    whole: DeskHouse, house: House, words: Words
) -> None:
    """Without a mark, with another session's, or from another site, nothing is done."""
    keeper, other = await whole.sits(Role.KEEPER), await whole.sits(Role.KEEPER)
    await keeper.look("/password")
    await other.look("/password")
    door = whole.nobody()
    await door.look("/sign-in")
    refused = {}
    for method, path, gate in gates_of(house, words):
        if method != "POST":
            continue
        asking = keeper if gate.role else door
        own, foreign = asking.mark, other.mark
        tried = [
            ({}, HOST),
            ({"mark": foreign}, HOST),
            ({"mark": own[:-1]}, HOST),
            ({"mark": own}, "https://elsewhere.test"),
            ({"mark": own}, "null"),
        ]
        for fields, origin in tried:
            answer = await asking.client.post(f"/desk{path}", data=fields, headers={"origin": origin})
            refused[path, str(fields), origin] = answer.status_code
        crossed = {"sec-fetch-site": "cross-site"}
        answer = await asking.client.post(f"/desk{path}", data={"mark": own}, headers=crossed)
        refused[path, "crossed", ""] = answer.status_code

    assert set(refused.values()) == {403}
    assert len(refused) >= 6 * 7


async def test_an_address_without_a_gate_keeps_the_desk_from_starting(house: House, words: Words) -> None:
    """Nobody can forget the role."""

    async def open_to_all(request: Request) -> Response:
        return Response("secrets")

    class Careless:
        def routes(self, desk: Desk) -> list[Route]:
            return [Route("/secrets", open_to_all, methods=["GET"])]

    with pytest.raises(TypeError, match="/secrets stands open"):
        routes_of(Desk(house, words), [Careless()])


async def test_a_look_cannot_be_made_to_do_something(house: House, words: Words) -> None:
    """An endpoint for looking under a POST address would do without the mark."""

    class Mixed:
        def routes(self, desk: Desk) -> list[Route]:
            async def show(request: Request, operator: Operator) -> Response:
                return Response("done")

            return [Route("/do", desk.looks(Role.READER, show), methods=["GET", "POST"])]

    with pytest.raises(TypeError, match="/do answers to"):
        routes_of(Desk(house, words), [Mixed()])


# --- cookies ----------------------------------------------------------------------------------------------------------


async def test_a_homeowners_cookie_does_not_open_the_desk(at: DeskHouse) -> None:
    """Nor does their secret under the desk's name."""
    homeowner = at.browser()
    await homeowner.get("/")
    secret = homeowner.cookies[homeowner_keys.COOKIE]
    homeowner.cookies.set(NAME, secret, domain="afterfrost.test", path="/")
    answer = await homeowner.get("/desk/operators")

    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/desk/sign-in")


async def test_an_operators_cookie_does_not_open_a_homeowners_page(at: DeskHouse) -> None:
    """Neither the page, nor the copy of the data, under either name."""
    homeowner = at.browser()
    await homeowner.get("/")
    await homeowner.post("/say", data={"text": "31522"}, headers={"origin": HOST})
    keeper = await at.sits(Role.KEEPER)
    secret = keeper.client.cookies[NAME]
    keeper.client.cookies.set(homeowner_keys.COOKIE, secret, domain="afterfrost.test", path="/")
    copy = await keeper.client.get("/data.json")
    page = await keeper.client.get("/")

    assert copy.status_code == 404
    assert "31522" not in page.text


async def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(at: DeskHouse) -> None:
    """HttpOnly and SameSite=Strict always; behind https only for this host, and only over https."""
    plain = (await at.browser().get("/desk/sign-in")).headers["set-cookie"]
    safe = (await at.browser(host="https://afterfrost.test").get("/desk/sign-in")).headers["set-cookie"]

    for cookie in (plain, safe):
        assert "HttpOnly" in cookie and "SameSite=strict" in cookie and "Domain" not in cookie
    assert plain.startswith(f"{NAME}=") and "Secure" not in plain
    assert safe.startswith(f"__Host-{NAME}=") and "Secure" in safe and "Path=/" in safe


async def test_a_secret_that_was_planted_before_opens_nothing_after(at: DeskHouse) -> None:
    """Signing in makes a new secret: whoever fixed the old one stays outside."""
    link = await at.link_for(Role.KEEPER)
    planted = new_secret()
    victim = at.nobody()
    victim.client.cookies.set(NAME, planted, domain="afterfrost.test", path="/")
    await victim.look(link)
    await victim.send(link)
    attacker = at.browser()
    attacker.cookies.set(NAME, planted, domain="afterfrost.test", path="/")

    assert (await victim.look("/operators")).status_code == 200
    assert victim.client.cookies[NAME] != planted
    assert (await attacker.get("/desk/operators")).status_code == 303


async def test_the_record_holds_no_secret(at: DeskHouse, house: House) -> None:
    """Who reads the database cannot come in by it."""
    keeper = await at.sits(Role.KEEPER)
    link = await at.link_for(Role.KEEPER)
    kept = "\n".join(str(row) for row in house.rows("SELECT * FROM desk_key"))

    assert keeper.client.cookies[NAME] not in kept
    assert link.rpartition("/")[2] not in kept


# --- headers ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", ["/", "/sign-in", "/operators", "/nothing", "/link/nothing"])
async def test_every_answer_forbids_what_it_does_not_need_and_is_kept_by_nobody(at: DeskHouse, path: str) -> None:
    """No scripts or frames from elsewhere, nothing guessed, nothing stored on the way."""
    keeper = await at.sits(Role.KEEPER)
    headers = (await keeper.look(path, follow=False)).headers

    assert headers["cache-control"] == "no-store"
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "frame-ancestors 'none'" in headers["content-security-policy"]
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"


async def test_what_never_changes_is_kept_by_browsers(at: DeskHouse) -> None:
    """The style sheet under its digest."""
    nobody = at.nobody()
    await nobody.look("/sign-in")
    address = nobody.seen.partition('rel="stylesheet" href="')[2].partition('"')[0]
    answer = await nobody.client.get(address)

    assert answer.status_code == 200
    assert "immutable" in answer.headers["cache-control"]


async def test_a_body_that_is_too_long_is_refused(at: DeskHouse) -> None:
    """With words, and nothing of it is kept."""
    keeper = await at.sits(Role.KEEPER)
    answer = await keeper.send("/operators", {"name": "x" * 200_000, "role": "reader"})

    assert answer.status_code == 413
    assert "Nothing was kept" in keeper.text


async def test_what_is_no_form_is_refused(at: DeskHouse) -> None:
    """Other kinds of bodies, and broken ones."""
    keeper = await at.sits(Role.KEEPER)
    kinds = {
        "application/json": (b'{"mark": "x"}', 403),
        "multipart/form-data; boundary=b": (b"no part", 400),
        "application/x-www-form-urlencoded": (b"a=1&" * 2000, 400),
    }
    found = {}
    for kind, (body, _) in kinds.items():
        headers = {"origin": HOST, "content-type": kind}
        found[kind] = (await keeper.client.post("/desk/operators", content=body, headers=headers)).status_code

    assert found == {kind: status for kind, (_, status) in kinds.items()}


async def test_a_notice_in_an_address_says_only_what_is_in_the_catalogue(at: DeskHouse) -> None:
    """A link from elsewhere cannot put words into our mouth."""
    keeper = await at.sits(Role.KEEPER)
    await keeper.look("/?note=<b>Call%20555</b>")
    foreign = keeper.seen
    await keeper.look("/?note=desk-note-let-go")

    assert "Call 555" not in foreign and 'class="note"' not in foreign
    assert "They are let go" in keeper.text


async def test_a_way_in_leads_only_into_the_desk(at: DeskHouse) -> None:
    """What stands in the address cannot lead to another site, or to the chat page."""
    password = "one two three four five"
    await at.sits_with_password("Ann", Role.READER, password)
    led = set()
    for then in (
        "https://elsewhere.test/",
        "//elsewhere.test",
        "/\\elsewhere.test",
        "/operators\r\nx: y",
        "javascript:",
    ):
        nobody = at.nobody()
        await nobody.look("/sign-in")
        answer = await nobody.send("/sign-in", {"name": "Ann", "password": password, "then": then}, follow=False)
        led.add(answer.headers["location"])

    assert led <= {"/desk/", "/desk//elsewhere.test"}


async def test_a_link_from_elsewhere_does_not_sign_anybody_out(at: DeskHouse) -> None:
    """A browser keeps a strict cookie to itself then: the page asks once more from here, and plants no new one."""
    crossed = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}
    answers = [await at.browser().get(f"/desk{path}", headers=crossed) for path in ("/", "/sign-in", "/operators")]

    assert {answer.status_code for answer in answers} == {200}
    assert all('http-equiv="refresh"' in answer.text for answer in answers)
    assert not any("set-cookie" in answer.headers for answer in answers)


def test_each_role_may_do_what_the_ones_before_it_may() -> None:
    """The table that the one above rests on, written out."""
    may = {role: {other for other in Role if role.may(other)} for role in Role}

    assert may == {
        Role.READER: {Role.READER},
        Role.ADVISOR: {Role.READER, Role.ADVISOR},
        Role.APPROVER: {Role.READER, Role.ADVISOR, Role.APPROVER},
        Role.KEEPER: {Role.READER, Role.ADVISOR, Role.APPROVER, Role.KEEPER},
    }


async def test_single_lawns_are_for_advisors_and_operators_for_keepers(whole: DeskHouse) -> None:
    """A few addresses by name, whatever they declare."""
    reader, approver = await whole.sits(Role.READER), await whole.sits(Role.APPROVER)
    found = {
        (sitting.name.partition(" ")[0], path): (await sitting.look(path)).status_code
        for sitting in (reader, approver)
        for path in ("/cases", "/cases/1", "/operators", "/deeds", "/lawns")
    }

    assert found == {
        ("reader", "/cases"): 403,
        ("reader", "/cases/1"): 403,
        ("reader", "/operators"): 403,
        ("reader", "/deeds"): 403,
        ("reader", "/lawns"): 200,
        ("approver", "/cases"): 200,
        ("approver", "/cases/1"): 404,
        ("approver", "/operators"): 403,
        ("approver", "/deeds"): 403,
        ("approver", "/lawns"): 200,
    }
