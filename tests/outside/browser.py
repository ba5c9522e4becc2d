"""A real browser without a window, driven over its own debugging pipe: no library, no port, no network.

The protocol is published at https://chromedevtools.github.io/devtools-protocol/; messages are JSON ended by a zero
byte, in on file descriptor 3 and out on 4.
"""

from __future__ import annotations

import base64
import contextlib
import json
import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

PROGRAMS = ("chromium-headless-shell", "chromium", "chromium-browser")
PROGRAM = next((found for name in PROGRAMS if (found := shutil.which(name))), None)


class Browser:
    """One page in one browser; ``events`` holds what the browser said by itself."""

    def __init__(self, folder: Path) -> None:
        assert PROGRAM is not None
        to_child, self._out = os.pipe()
        self._in, from_child = os.pipe()
        self._rest = b""
        self._number = 0
        self.events: list[dict[str, Any]] = []
        # The child's ends come to lie at 3 and 4 by way of the shell, whatever numbers they have here.
        line = f'exec "$0" "$@" 3<&{to_child} 4>&{from_child}'
        options = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--remote-debugging-pipe"]
        options += [
            "--no-first-run",
            "--disable-background-networking",
            "--hide-scrollbars",
            "--allow-file-access-from-files",
        ]
        self._process = subprocess.Popen(
            ["bash", "-c", line, PROGRAM, *options, f"--user-data-dir={folder}", "about:blank"],
            pass_fds=(to_child, from_child),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(to_child)
        os.close(from_child)
        target = next(t for t in self.send("Target.getTargets")["targetInfos"] if t["type"] == "page")
        self._session = self.send("Target.attachToTarget", targetId=target["targetId"], flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.send(f"{domain}.enable")

    _session: str | None = None

    def _message(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            got = os.read(self._in, 1 << 16)
            assert got, "the browser went away"
            self._rest += got
        one, _, self._rest = self._rest.partition(b"\0")
        found: dict[str, Any] = json.loads(one)
        return found

    def send(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Say something to the browser and wait for its answer."""
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": parameters}
        if self._session is not None:
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        while True:
            got = self._message()
            if got.get("id") == self._number:
                assert "error" not in got, got["error"]
                result: dict[str, Any] = got["result"]
                return result
            self.events.append(got)

    def wait(self, event: str) -> None:
        """Read on until an event has come."""
        while not any(e.get("method") == event for e in self.events):
            self.events.append(self._message())

    def open(self, url: str, wide: int = 360, high: int = 740, script: bool = True) -> None:
        """Open a page as a phone would show it."""
        self.events.clear()
        self.send("Emulation.setDeviceMetricsOverride", width=wide, height=high, deviceScaleFactor=2, mobile=True)
        self.send("Emulation.setScriptExecutionDisabled", value=not script)
        self.send("Page.navigate", url=url)
        self.wait("Page.loadEventFired")

    def ask(self, expression: str) -> Any:
        """The value of an expression in the page."""
        got = self.send("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in got, got["exceptionDetails"]
        return got["result"].get("value")

    def tap(self, x: float, y: float) -> None:
        """A finger on a place of what is shown."""
        for kind in ("mousePressed", "mouseReleased"):
            self.send("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    def asked_for(self) -> list[str]:
        """Every address the page asked for."""
        return [e["params"]["request"]["url"] for e in self.events if e.get("method") == "Network.requestWillBeSent"]

    def picture(self) -> bytes:
        """What the whole page looks like, as PNG."""
        got = self.send("Page.captureScreenshot", format="png", captureBeyondViewport=True)
        return base64.b64decode(got["data"])

    def close(self) -> None:
        """End the browser."""
        with contextlib.suppress(OSError):
            os.write(self._out, json.dumps({"id": 0, "method": "Browser.close"}).encode() + b"\0")
        try:
            self._process.wait(10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        os.close(self._out)
        os.close(self._in)


@contextlib.contextmanager
def opened(folder: Path) -> Iterator[Browser]:
    """A browser for a while."""
    browser = Browser(folder)
    try:
        yield browser
    finally:
        browser.close()
