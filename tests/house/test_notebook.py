"""The manual's notebook runs, and what stands in it is what its cells say."""

import json

import pytest
from nbclient.exceptions import CellExecutionError

from tools.notebook import NOTEBOOK, renewed


def a_notebook(source: str, said: str) -> str:
    """Give a notebook of one cell, with what it is said to have printed."""
    output = {"output_type": "stream", "name": "stdout", "text": [said]}
    cell = {
        "cell_type": "code", "id": "one", "metadata": {}, "execution_count": 1,
        "source": [source], "outputs": [output],
    }  # fmt: skip
    return json.dumps({"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


def test_the_notebook_runs_and_is_not_stale() -> None:
    """`python -m tools.notebook` would change nothing; it asks the program itself, too."""
    text = NOTEBOOK.read_text("utf-8")
    code = [cell for cell in json.loads(text)["cells"] if cell["cell_type"] == "code"]

    assert renewed(text) == text
    assert any('"--json"' in "".join(cell["source"]) for cell in code)


def test_a_stale_notebook_would_be_seen() -> None:
    """What a cell prints now stands in the place of what it printed once."""
    (cell,) = json.loads(renewed(a_notebook("print(1 + 1)", "3\n")))["cells"]

    assert cell["outputs"] == [{"name": "stdout", "output_type": "stream", "text": ["2\n"]}]


def test_a_cell_that_fails_is_told() -> None:
    """A notebook that does not run to its end is none."""
    with pytest.raises(CellExecutionError, match="ZeroDivisionError"):
        renewed(a_notebook("1 / 0", ""))
