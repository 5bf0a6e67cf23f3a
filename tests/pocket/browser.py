"""Chromium as a phone, driven over its own protocol: taps, keys, pictures of the screen, requests."""

from __future__ import annotations

import base64
import json
import subprocess
import time
import urllib.request
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import websocket

ARGUMENTS = (
    "--headless", "--no-sandbox", "--remote-debugging-port=0", "--remote-allow-origins=*", "--no-first-run",
    "--disable-component-update", "--disable-background-networking", "--hide-scrollbars",
    "--host-resolver-rules=MAP phone.test 127.0.0.1",
)  # fmt: skip
EMULATED = ("--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader")
"""A graphics chip that the processor plays, for the models."""

SPOT = """(words, within) => {
  const all = [...document.querySelector(within).querySelectorAll("button")];
  const one = all.find((b) => b.innerText.trim() === words) || all.find((b) => b.innerText.includes(words));
  if (!one) return null;
  one.scrollIntoView({ block: "center" });
  const box = one.getBoundingClientRect();
  return [box.x + box.width / 2, box.y + box.height / 2];
}"""
"""The middle of the button of some words."""


class Phone:
    """A browser of a phone's size with touch; every request that a page makes is noted."""

    def __init__(
        self, profile: Path, size: tuple[int, int] = (390, 844), slowed: float = 1.0, models: bool = True
    ) -> None:
        """`size` in CSS pixels; `slowed` is how many times slower than here it works; `models` if it can draw them."""
        chip = EMULATED if models else ("--disable-gpu",)
        self._browser = subprocess.Popen(
            ["chromium", *ARGUMENTS, *chip, f"--user-data-dir={profile}", "about:blank"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        port = _port(profile)
        pages = json.loads(urllib.request.urlopen(f"http://127.0.0.1:{port}/json").read())
        address = next(page["webSocketDebuggerUrl"] for page in pages if page["type"] == "page")
        self._socket = websocket.create_connection(address, timeout=60)
        self._number = 0
        self.requests: list[str] = []
        self.faults: list[str] = []
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.call(f"{domain}.enable")
        self.resize(*size)
        self.call("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=2)
        if slowed > 1:
            self.call("Emulation.setCPUThrottlingRate", rate=slowed)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self._socket.close()
        self._browser.terminate()
        self._browser.wait(20)

    def call(self, method: str, **params: Any) -> Any:
        """One command of the protocol, and its answer."""
        self._number += 1
        self._socket.send(json.dumps({"id": self._number, "method": method, "params": params}))
        while True:
            told = json.loads(self._socket.recv())
            if told.get("id") == self._number:
                assert "error" not in told, (method, told["error"])
                return told["result"]
            self._note(told)

    def _note(self, told: Any) -> None:
        if told.get("method") == "Network.requestWillBeSent":
            self.requests.append(told["params"]["request"]["url"])
        elif told.get("method") == "Runtime.exceptionThrown":
            self.faults.append(json.dumps(told["params"]["exceptionDetails"])[:400])
        elif told.get("method") == "Log.entryAdded" and told["params"]["entry"]["level"] == "error":
            self.faults.append(told["params"]["entry"]["text"])

    def resize(self, wide: int, high: int) -> None:
        """A screen of so many CSS pixels."""
        self.call("Emulation.setDeviceMetricsOverride", width=wide, height=high, deviceScaleFactor=2, mobile=True)

    def open(self, url: str) -> None:
        """Open a page and wait until it says that it is ready."""
        # the page that is left may still answer for a moment
        self.run("if (document.documentElement) document.documentElement.dataset.ready = 'left'")
        self.call("Page.navigate", url=url)
        self.until("document.documentElement?.dataset.ready === 'yes'")

    def run(self, script: str) -> Any:
        """What a script gives, waited for."""
        found = self.call(
            "Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True, userGesture=True
        )
        assert "exceptionDetails" not in found, (script, found["exceptionDetails"])
        return found["result"].get("value")

    def until(self, script: str, seconds: float = 30.0) -> None:
        """Wait until a script is true."""
        end = time.monotonic() + seconds
        while not self.run(script):
            assert time.monotonic() < end, f"never true: {script}; {self.faults}"
            time.sleep(0.02)

    def text(self, selector: str = "main") -> str:
        """The text of an element as a person reads it."""
        found: str = self.run(f"document.querySelector({json.dumps(selector)}).innerText")
        return found

    def tap(self, words: str, within: str = "body") -> None:
        """Touch the first button of these words, as a finger does."""
        spot = self.run(f"({SPOT})({json.dumps(words)}, {json.dumps(within)})")
        assert spot is not None, f"no button says {words!r}: {self.text()[:600]}"
        self.touched(*spot)

    def touch(self, selector: str, x: float, y: float) -> None:
        """Touch an element so far from its corner."""
        left, top = self.run(
            f"(e => {{ e.scrollIntoView({{block: 'center'}}); const r = e.getBoundingClientRect(); "
            f"return [r.x + e.clientLeft, r.y + e.clientTop]; }})(document.querySelector({json.dumps(selector)}))"
        )
        self.touched(left + x, top + y)

    def touched(self, x: float, y: float) -> None:
        """Touch the screen."""
        self.call("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
        self.call("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
        time.sleep(0.05)
        self.until("!document.documentElement.dataset.busy")

    def choose_file(self, selector: str, path: Path) -> None:
        """Choose a file in the field of a selector."""
        self.call("DOM.enable")
        root = self.call("DOM.getDocument")["root"]["nodeId"]
        node = self.call("DOM.querySelector", nodeId=root, selector=selector)["nodeId"]
        self.call("DOM.setFileInputFiles", files=[str(path)], nodeId=node)

    def key(self, key: str, text: str = "") -> None:
        """Press one key."""
        code = {"Enter": 13, "Tab": 9, " ": 32, "ArrowLeft": 37, "ArrowUp": 38, "ArrowRight": 39, "ArrowDown": 40}.get(
            key, 0
        )
        typed = {"Enter": "\r", " ": " "}.get(key, text)
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=key, text=typed if kind == "keyDown" else "",
                      windowsVirtualKeyCode=code)  # fmt: skip
        self.until("!document.documentElement.dataset.busy")

    def type(self, text: str) -> None:
        """Type into what has the focus."""
        self.call("Input.insertText", text=text)

    def picture(self, path: Path, whole: bool = False) -> None:
        """The screen as a PNG, or the whole length of the page."""
        found = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        path.write_bytes(base64.b64decode(found["data"]))


def _port(profile: Path) -> int:
    end = time.monotonic() + 60
    while time.monotonic() < end:
        try:
            return int((profile / "DevToolsActivePort").read_text().split()[0])
        except (OSError, IndexError, ValueError):
            time.sleep(0.05)
    raise AssertionError("chromium did not start")
