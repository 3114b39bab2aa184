"""The service as it is really started, with both networks switched on by settings alone."""

from __future__ import annotations

import asyncio
import os
import sys
from pathlib import Path

import httpx

from tests.fakes.bot_api import TOKEN, running
from tests.fakes.sms_gateway import KEY, SECRET, SmsGateway, serving
from tests.web.test_server import free_port

ROOT = Path(__file__).parents[2]


async def test_the_settings_alone_bring_both_networks_up(tmp_path: Path) -> None:
    """Telegram is answered, a text is asked for consent over a signed call, and a stop takes under five seconds."""
    gateway = SmsGateway()
    async with running() as api, serving(gateway.app()) as url, httpx.AsyncClient() as client:
        gateway.url, port = url, free_port()
        clean = {name: value for name, value in os.environ.items() if not name.startswith("AFTERFROST_")}
        settings = {
            "DATA": str(tmp_path / "data"),
            "PORT": str(port),
            "PUBLIC_URL": f"http://127.0.0.1:{port}",
            "TELEGRAM_TOKEN": TOKEN,
            "TELEGRAM_API": api.url,
            "SMS": "gateway",
            "SMS_URL": f"{url}/send",
            "SMS_NUMBER": "+12025550100",
            "SMS_KEY": KEY,
            "SMS_SECRET": SECRET,
        }
        process = await asyncio.create_subprocess_exec(
            sys.executable,
            *("-m", "bot", "start"),
            cwd=ROOT,
            env=clean | {f"AFTERFROST_{name}": value for name, value in settings.items()},
            stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.PIPE,
        )
        assert process.stdout is not None
        assert b"Afterfrost is at" in await asyncio.wait_for(process.stdout.readline(), 30)
        assert b"telegram and sms" in await process.stdout.readline()

        api.people.starts(77)
        event = gateway.text_in("my lawn is brown")
        assert await gateway.call(client, f"http://127.0.0.1:{port}/in/sms", event) == 200
        async with asyncio.timeout(30):
            while not (api.texts(77) and gateway.texts()):  # noqa: ASYNC110 - another process answers
                await asyncio.sleep(0.01)
        assert "Where is the lawn?" in api.texts(77)[0]
        assert "reply YES" in gateway.texts()[0]
        assert (await client.get(f"http://127.0.0.1:{port}/")).status_code == 200
        assert "plan" in api.commands

        process.terminate()
        _, errors = await asyncio.wait_for(process.communicate(), 5)
    assert process.returncode == 0, errors.decode()
    assert b"Traceback" not in errors
