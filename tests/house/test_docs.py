"""What the program can do stands in the documentation, and what stands there is true."""

import ast
import re
from typing import Any

import pytest

from beadwright.interop.sheets.kinds import FIELDS
from beadwright.interop.sheets.topics import TOPICS
from beadwright.plant.codes import CODES
from beadwright.plant.decided_bodies import MAY, MUST
from tests.house.tree import ROOT, modules, parsed
from tools.pages import PAGES, verbs

DOCS = ROOT / "docs"
README = ROOT / "README.md"
PROMISED = {"demo", "import", "assess", "trace", "verify", "rebuild"}


@pytest.mark.parametrize("name", PAGES)
def test_a_page_written_by_the_program_is_not_stale(name: str) -> None:
    """`python -m tools.pages` would change nothing."""
    assert (DOCS / name).read_text(encoding="utf-8") == PAGES[name]()


def test_the_verbs_that_others_rely_on_are_there() -> None:
    """A verb, once promised, stays."""
    assert set(verbs()) >= PROMISED


@pytest.mark.parametrize("verb", sorted(PROMISED))
def test_a_verb_is_explained_outside_its_reference_too(verb: str) -> None:
    """The manual's own prose, or the README, shows each verb at work."""
    prose = (path for path in (*DOCS.glob("*.md"), README) if path.name not in PAGES)
    used = re.compile(rf"beadwright( --\S+( \S+)?)* {verb}\b")

    assert any(used.search(path.read_text(encoding="utf-8")) for path in prose)


def test_every_command_and_option_has_a_help_text() -> None:
    """Nothing in the reference is left unexplained."""
    silent = [name for name, command in verbs().items() if not command.help]
    silent += [
        f"{name} {option.opts[0]}"
        for name, command in verbs().items()
        for option in command.params
        if not getattr(option, "help", None) and not getattr(option, "hidden", False)
    ]

    assert not silent


def test_every_command_that_reads_can_answer_in_json() -> None:
    """Another program can ask what a person can ask."""
    reading: dict[str, Any] = {
        name: command for name, command in verbs().items() if name in {"assess", "trace", "verify"}
    }
    mute = [
        name
        for name, command in reading.items()
        if "--json" not in {option for item in command.params for option in item.opts}
    ]

    assert not mute


def codes_used() -> dict[str, str]:
    """Each code that the code gives to a refusal or a finding, with where."""
    used = {}
    for path in modules("beadwright"):
        for node in ast.walk(parsed(path)):
            if not isinstance(node, ast.Call):
                continue
            for keyword in node.keywords:
                value = keyword.value
                if keyword.arg == "code" and isinstance(value, ast.Constant):
                    used[str(value.value)] = f"{path.relative_to(ROOT)}:{node.lineno}"
    return used


def test_every_code_that_is_given_is_listed() -> None:
    """A refusal or nonconformity has a code whose meaning is written down."""
    unlisted = {code: where for code, where in codes_used().items() if code not in CODES}

    assert not unlisted


def test_every_page_is_in_the_manual() -> None:
    """No page of the manual is left out of its contents."""
    index = (DOCS / "index.md").read_text(encoding="utf-8")
    left_out = [path.stem for path in DOCS.glob("*.md") if f"\n{path.stem}\n" not in index]

    assert left_out == ["index"]


def test_the_manual_lists_no_page_twice() -> None:
    """A reader finds each page in one place."""
    index = (DOCS / "index.md").read_text(encoding="utf-8")
    pages = [path.stem for path in DOCS.glob("*.md")]
    listed = [line for line in index.splitlines() if line in pages]

    assert sorted(listed) == sorted(set(listed))


def test_the_rule_of_release_is_explained_key_by_key() -> None:
    """Whoever must release finds what to write in plant.toml, and all of it."""
    page = (DOCS / "release.md").read_text(encoding="utf-8")
    part = page.partition("\n## Who must release")[2].partition("\n## ")[0]
    explained = set(re.findall(r"^\| `([^`]+)` \|", part, re.MULTILINE))

    assert "[release.rule]" in part
    assert explained == {"since", *TOPICS["release"]}


def test_what_evidence_must_hold_is_listed_part_by_part() -> None:
    """A refusal sends its reader to that page."""
    page = (DOCS / "evidence.md").read_text(encoding="utf-8")
    listed = set(re.findall(r"`([a-z0-9_]+)`", page))
    parts = {
        part
        for kind in ("report", "report_withdrawn", "calibration")
        for part in (*MUST[kind], *MAY[kind])
    }
    options = {
        option
        for verb in ("report", "calibration")
        for item in verbs()[verb].params
        for option in item.opts
        if option.startswith("--") and option not in {"--by", "--help"}
    }

    assert parts - listed == set()
    assert {option for option in options if f"`{option}`" not in page} == set()


def test_a_column_of_words_is_listed_with_its_words() -> None:
    """Of a field that takes one of some words, a reader of the manual finds which."""
    page = (DOCS / "sheets.md").read_text(encoding="utf-8")
    rows = dict(re.findall(r"^\| `([a-z_]+)` \| (.+) \|$", page, re.MULTILINE))
    silent = [
        f"{kind}: {name}"
        for kind, fields in FIELDS.items()
        for name, field in fields.items()
        if field.choices and f"{name}{'' if field.required else '?'} (" not in rows[kind]
    ]

    assert not silent


def test_the_tutorial_keeps_to_one_store_and_leaves_the_clone_clean() -> None:
    """The store is named once, and everything it makes lies where git looks away."""
    text = (DOCS / "tutorial.md").read_text(encoding="utf-8")
    lines = [
        line
        for block in re.findall(r"```sh\n(.*?)```", text, re.DOTALL)
        for line in block.split("\n")
    ]
    named = [line for line in lines if "BEADWRIGHT_STORE=" in line or "--store" in line]
    made = re.findall(r"(?:BEADWRIGHT_STORE=|--to |--file )(\S+)", "\n".join(lines))

    assert len(named) == 1
    assert len(made) > 1
    assert "/.beadwright/" in (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    assert [path for path in made if not path.startswith(".beadwright/")] == []
