"""A file meant to fill the machine's memory is refused, and a large one is read, in bounds."""

import json
import resource
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

_MEGABYTE = 1 << 20
_BOUND = 500 * _MEGABYTE
_ASK = """
import json, re, sys
from pathlib import Path
from beadwright.errors import BeadwrightError
from beadwright.interop.load_frame import read
try:
    said = f"{len(read(Path(sys.argv[1])).blocks)} blocks"
except BeadwrightError as error:
    said = str(error)
# Of this program alone: ru_maxrss has that of the process it was forked from, too.
most = re.search(r"VmHWM:\\s+([0-9]+) kB", Path("/proc/self/status").read_text())[1]
print(json.dumps([said, int(most) * 1024]))
"""


def _read(path: Path) -> tuple[str, int]:
    """What is said of a file, and the most memory that reading it took; at 2 GB the reader dies."""
    limit = 2048 * _MEGABYTE
    done = subprocess.run(
        [sys.executable, "-c", _ASK, str(path)],
        capture_output=True,
        check=False,
        text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (limit, limit)),
        env={"OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": ":".join(sys.path)},
    )
    assert done.returncode == 0, done.stderr
    said, most = json.loads(done.stdout)
    return said, most


def _zeros(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(1024 * _MEGABYTE)


def _bomb(path: Path) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", "<Types/>")
        with archive.open("xl/worksheets/sheet1.xml", "w") as part:
            for _ in range(300):
                part.write(b" " * _MEGABYTE)


def _wide(path: Path) -> None:
    path.write_text("1;" * (2 * _MEGABYTE))


def _noise(path: Path) -> None:
    path.write_text("Force;Travel\n" + "x\n" * (4 * _MEGABYTE))


@pytest.mark.parametrize(
    ("name", "make", "code"),
    [
        ("zeros.csv", _zeros, "file_too_large"),
        ("zeros.xlsx", _zeros, "file_too_large"),
        ("bomb.xlsx", _bomb, "book_too_large"),
        ("wide.csv", _wide, "file_too_large"),
        ("noise.csv", _noise, "file_too_large"),
    ],
)
def test_a_file_that_would_fill_the_memory_is_refused(
    tmp_path: Path, name: str, make: object, code: str
) -> None:
    """A gigabyte of zeros, a zip bomb, one endless line, endless lines: one message each."""
    path = tmp_path / name
    assert callable(make)
    make(path)
    said, most = _read(path)

    assert said.startswith(f"{code}: ")
    assert most < _BOUND


def test_a_large_export_is_read_in_bounds(tmp_path: Path) -> None:
    """A hundred thousand rows, some hundred times a test's."""
    path = tmp_path / "large.csv"
    rows = (f"{n / 100:.2f};{n / 1e4:.5f};{n * 0.37:.4f}" for n in range(100_000))
    path.write_text("\n".join(["Time [s];Travel [mm];Force [N]", *rows, ""]))
    said, most = _read(path)

    assert said == "1 blocks"
    assert most < _BOUND


def test_a_folder_and_a_device_are_refused(tmp_path: Path) -> None:
    """Neither is opened."""
    assert _read(tmp_path)[0].startswith("file_unreadable: this is a folder.")
    assert _read(Path("/dev/zero"))[0].startswith("file_unreadable: this is no ordinary file.")
    assert _read(tmp_path / "none.csv")[0].startswith("file_unreadable: ")
