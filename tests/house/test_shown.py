"""What the README and the manual show is what the program says."""

import shutil
from pathlib import Path

import pytest

from tools.shown import PAGES, blocks, caller, masked, renewed, store


@pytest.fixture(scope="module")
def demonstration(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's store of seed 1, as `./run` makes it."""
    return store(tmp_path_factory.mktemp("shown"))


def test_every_page_shows_what_the_program_says(demonstration: Path, tmp_path: Path) -> None:
    """Each block is run again, in the order of its page; `python -m tools.shown` writes them."""
    count = 0
    for page in PAGES:
        text = page.read_text("utf-8")
        shown = list(blocks(text))
        if not shown:
            continue
        run = caller(Path(shutil.copy(demonstration, tmp_path / f"{page.stem}.sqlite3")))
        assert masked(renewed(text, run)) == masked(text), f"{page.name} is stale"
        count += len(shown)
    assert count >= 4


def test_a_block_that_is_stale_is_told() -> None:
    """A figure that has changed is not taken for the one on the page; a hash is."""
    page = "<!-- shown: x || two: +0 -->\n```text\ntwo: 2 aaaaaaaaaaaaaaaa\n```\n"

    same = renewed(page, lambda _: "one\ntwo: 2 bbbbbbbbbbbbbbbb\nthree")
    other = renewed(page, lambda _: "one\ntwo: 3 aaaaaaaaaaaaaaaa\nthree")

    assert same == page
    assert "two: 3" in other
