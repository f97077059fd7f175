"""What no file of the project may hold."""

import re

from tests.house.tree import ROOT, own_files

# In two pieces each, so that this file does not hold what it forbids.
REGISTRY = re.compile(
    "|".join(
        first + second
        for first, second in (
            ("py", r"pi\.(org|python)"),
            ("python", "hosted"),
            ("deb", r"ian\.(org|net)"),
            ("npm", r"js\."),
            ("registry", r"\.npm"),
            ("crates", r"\.io"),
            ("--index", "-url"),
            ("--extra-index", "-url"),
            ("--find", "-links"),
        )
    ),
    re.IGNORECASE,
)
ADDRESS = re.compile(r"\b(https?|file|git\+\w+)://")


def test_no_file_names_a_registry() -> None:
    """Where packages come from is the machine's affair: a plant may have a mirror of its own."""
    found = {
        f"{path.relative_to(ROOT)}:{number}: {line.strip()[:80]}"
        for path in own_files()
        for number, line in enumerate(
            path.read_text(encoding="utf-8", errors="replace").splitlines(), start=1
        )
        if REGISTRY.search(line)
    }

    assert not found


def test_a_registry_would_be_seen() -> None:
    """The pattern knows a registry's address when it meets one."""
    assert REGISTRY.search("https://files." + "python" + "hosted.org/packages/x.whl")
    assert REGISTRY.search("--index" + "-url http://mirror.example/simple")
    assert not REGISTRY.search("Debian and Ubuntu: apt-get install python3-venv")


def test_a_lock_file_holds_hashes_and_no_address() -> None:
    """Every requirement is pinned with hashes; nothing says where it is fetched."""
    for path in sorted((ROOT / "requirements").glob("*.txt")):
        text = path.read_text(encoding="utf-8")
        pinned = re.findall(
            r"^[a-z0-9][^\s]*==\S+.*(?:\n\s+--hash=sha256:[0-9a-f]{64}.*)*", text, re.MULTILINE
        )

        assert pinned, path
        assert all("--hash=sha256:" in requirement for requirement in pinned), path
        assert not ADDRESS.search(text), path
