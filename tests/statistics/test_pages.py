"""The manual's pages on statistics say what the code says."""

import doctest
import re
from collections.abc import Callable

import numpy as np
import pytest

from beadwright.charts import pareto as pareto_chart
from beadwright.charts.control import Control
from beadwright.charts.control import draw as draw_control
from beadwright.charts.curves import alone, draw
from beadwright.charts.oc_curve import OcCurve, Promise, picture
from beadwright.statistics.charts import WESTERN_ELECTRIC, Baseline, LeftOut, individuals
from beadwright.statistics.defects import pareto
from beadwright.statistics.sampling import Model, SinglePlan, acceptance
from tests.house.tree import ROOT

PAGES = ("control_charts", "sampling", "capability", "changepoint", "defects")
BLOCK = re.compile(r"```pycon\n(.*?)```", re.DOTALL)


def wrong(page: str) -> list[str]:
    """What a page's examples print that the page does not show."""
    blocks = BLOCK.findall(page)
    test = doctest.DocTestParser().get_doctest("\n".join(blocks), {}, "page", None, None)
    found: list[str] = []
    doctest.DocTestRunner(verbose=False).run(test, out=found.append)
    return found


@pytest.mark.parametrize("name", PAGES)
def test_what_a_page_shows_is_what_the_code_says(name: str) -> None:
    """Each example is run, with the names of those before it."""
    page = (ROOT / "docs" / f"{name}.md").read_text("utf-8")

    assert page.count("```pycon") >= 3
    assert "".join(wrong(page)) == ""


def test_a_figure_that_is_stale_would_be_seen() -> None:
    """The check is one that can fail."""
    page = "```pycon\n>>> a = 2\n```\n\n```pycon\n>>> a + 1\n4\n```\n"

    assert "Expected:\n    4\nGot:\n    3\n" in "".join(wrong(page))


def sampling_picture() -> str:
    """The picture of the page on sampling."""
    plan, lot = SinglePlan(56, 1), 270
    good, bad = (float(acceptance(plan, n / lot, Model.LOT, lot)) for n in (2, 17))
    promises = (
        Promise(2 / lot, good, f"2 bad pieces: passes {100 * good:.0f} times in 100"),
        Promise(17 / lot, bad, f"17 bad pieces: {100 * bad:.0f} times in 100"),
    )
    return alone(draw(picture(OcCurve(plan, "56 pieces, at most 1 bad", lot, promises)))) + "\n"


def defects_picture() -> str:
    """The picture of the page on defects."""
    week = {"tie missing": 31, "poor fusion": 24, "dent": 9, "short shot": 4, "crack": 2}
    return (
        alone(pareto_chart.draw(pareto_chart.ParetoChart(pareto(week), "Defects of a week"))) + "\n"
    )


def control_picture() -> str:
    """The picture of the page on control charts."""
    density = np.random.default_rng(103).normal(21.6, 0.32, 45).round(2)
    density[30:] += 0.45
    density[12] = 24.3
    left = Baseline((LeftOut(12, "a tie was missing"),))
    chart = individuals(density, left, WESTERN_ELECTRIC)
    spec = Control("control-charts", "Foam density of blocks", "kg/m³", chart)
    return alone(draw_control(spec)) + "\n"


@pytest.mark.parametrize(
    ("name", "picture"),
    [
        ("sampling", sampling_picture),
        ("defects", defects_picture),
        ("control_charts", control_picture),
    ],
)
def test_the_picture_of_a_page_is_not_stale(name: str, picture: Callable[[], str]) -> None:
    """It is what the chart draws of what the page works out."""
    assert (ROOT / "docs" / f"{name}.svg").read_text("utf-8") == picture()
