"""Hands of a stranger at a tablet, which cannot key a code that somebody would have to know.

Read :class:`Hands`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.browser.conftest import PICTURES

__all__ = ["Hands"]

FIGURES = re.compile("[0-9][0-9 .:-]*")
WORDS = re.compile("[A-Za-z][a-z ,;]*")
_WATCH = """document.addEventListener("keydown", (event) => {
  if (event.key.length === 1 && !event.ctrlKey) keyWentDown(event.key);
}, true);"""


@dataclass
class Hands:
    """What a stranger does at a tablet: taps, figures, plain words, and scans of what is printed.

    A code mixes letters and figures, or stands on a label: :meth:`key` takes figures only,
    :meth:`say` words without one, :meth:`scan` what is printed on something. So no code is typed.
    """

    page: Page
    labels: list[str] = field(default_factory=list)
    """Codes that are printed on something in the plant."""
    typed: list[str] = field(default_factory=list)
    """All that was keyed, said and scanned, one after the other."""
    pressed: list[str] = field(default_factory=list)
    """Keys that went down, as the browser saw them: whatever else was typed shows here."""
    scans: int = 0
    taps: int = 0

    @classmethod
    def at(cls, context: BrowserContext, path: str) -> Hands:
        """Give hands at a page that is opened."""
        pressed: list[str] = []

        def note(one: str) -> None:
            pressed.append(one)

        context.expose_function("keyWentDown", note)
        context.add_init_script(_WATCH)
        page = context.new_page()
        page.set_default_timeout(10_000)
        page.goto(path)
        return cls(page, pressed=pressed)

    def tap(self, role: str, words: str, *, within: str = "body", exact: bool = True) -> None:
        """Tap a button, a link or a choice by its words, and wait for what comes."""
        self.touch(self.page.locator(within).get_by_role(role, name=words, exact=exact).first)  # type: ignore[arg-type]

    def touch(self, what: Locator) -> None:
        """Tap what is seen."""
        what.click()
        self.taps += 1
        self.page.wait_for_load_state()

    def key(self, name: str, figures: str) -> None:
        """Key what was measured, counted or read off a clock: figures, and nothing else."""
        assert FIGURES.fullmatch(figures), f"{figures} is no figure"
        self._type(name, figures)

    def say(self, name: str, words: str) -> None:
        """Key words of one's own, a reason or a note: without a figure, so no code."""
        assert WORDS.fullmatch(words), f"{words} are no plain words"
        self._type(name, words)

    def scan(self, name: str, label: str) -> None:
        """Scan what a label says: a scanner types it and ends with Enter."""
        assert label in self.labels, f"{label} is printed on nothing"
        self._type(name, label)
        self.page.keyboard.press("Enter")
        self.scans += 1

    def _type(self, name: str, text: str) -> None:
        self._open(name)
        self.page.locator(f"#{name}").click()
        self.taps += 1
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text)
        self.typed.append(text)

    def _open(self, name: str) -> None:
        """Unfold what a field is folded away in."""
        field_ = self.page.locator(f"#{name}")
        if not field_.is_visible():
            self.touch(self.page.locator("details", has=field_).locator("summary"))

    def choose(self, name: str, fits: str = "") -> str:
        """Choose the first that a field offers whose code and words begin so."""
        self._open(name)
        some = self.page.locator(f"datalist#{name}-fits option").all()
        codes = [one.get_attribute("value") or "" for one in some]
        said = [f"{code} {one.text_content()}" for code, one in zip(codes, some, strict=True)]
        values = [code for code, words in zip(codes, said, strict=True) if words.startswith(fits)]
        assert values, f"{name} offers nothing that fits: {said}"
        # What a browser does once something is tapped in its own list.
        self.page.fill(f"#{name}", values[0])
        self.page.locator(f"#{name}").dispatch_event("change")
        self.taps += 2
        return values[0]

    def holds(self, name: str) -> str:
        """What a field holds."""
        return self.page.input_value(f"#{name}")

    def record(self, words: str = "Record") -> str:
        """Press the button at a form's end; give what is said to be done."""
        self.tap("button", words)
        said = self.page.locator(".notice.done")
        expect(said).to_be_visible()
        told = self.page.locator("main").inner_text()
        assert "recorded as it happened" not in told, told
        return said.inner_text()

    def station(self, words: str) -> None:
        """Go to a station by taps."""
        self.tap("link", "Stations")
        self.touch(self.page.get_by_role("main").locator("a", has_text=words).first)

    def be(self, name: str) -> None:
        """Be somebody else on this tablet."""
        if self.page.get_by_role("button", name="Somebody else").count():
            self.tap("button", "Somebody else")
        self.touch(self.page.get_by_role("button", name=name))

    def keep(self, name: str) -> None:
        """Keep a picture of what is seen."""
        PICTURES.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=PICTURES / f"shift-{name}.png", full_page=True)
