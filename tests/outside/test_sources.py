"""Every check against the world names its source, and every source named is described."""

import re
import tomllib
from pathlib import Path

HERE = Path(__file__).parent
SOURCES = tomllib.loads((HERE / "sources.toml").read_text("utf-8"))
CITED = re.compile(r'^    """\[([a-z0-9-]+)\]', re.MULTILINE)


def test_each_citation_is_a_described_source() -> None:
    """A test cites its source by an id in sources.toml, and no source stands there unused."""
    cited = {
        identity
        for path in HERE.glob("test_*.py")
        for identity in CITED.findall(path.read_text("utf-8"))
    }

    assert cited == set(SOURCES)


def test_each_source_says_where_and_how_it_was_read() -> None:
    """Title, edition, place in the text, licence, and how we know."""
    for identity, source in SOURCES.items():
        assert set(source) == {"title", "edition", "where", "licence", "how_read"}, identity
