"""Layouts written after the reader was done, to see what it makes of what it was not tried on."""

import random
from collections.abc import Callable

from tests.interop.load_frame_exports import Curve, Export, Sheet, book, drawn, figure, table

__all__ = ["HELD_OUT"]


def _file(lines: list[str], encoding: str = "utf-8", end: str = "\n") -> bytes:
    return (end.join(lines) + end).encode(encoding)


def _lines(rows: list[list[str]], sign: str) -> list[str]:
    return [sign.join(row) for row in rows]


def _one(rng: random.Random) -> Curve:
    return drawn(rng, "K7")


def _some(rng: random.Random) -> list[Curve]:
    return [drawn(rng, f"S-{number}") for number in (1, 2, 3)]


def _mm(value: float, decimal: str = ".") -> str:
    return figure(value * 1e3, 2, decimal)


def comment_signs(rng: random.Random) -> Export:
    """A hash before every line that is no row; units behind an underscore."""
    c = _one(rng)
    lines = [f"# specimen: {c.name}", "# operator:", "#", "#time_s,displacement_mm,force_N",
             *_lines(table(c, "txf"), ",")]  # fmt: skip
    return Export("hash.csv", _file(lines), (c,), sized=False)


def ends_with_signs(rng: random.Random) -> Export:
    """Each line ends in a semicolon; all in quotation marks."""
    c = _one(rng)
    rows = [["Prüfzeit [s]", "Standardweg [mm]", "Standardkraft [N]"],
            *table(c, "txf", signs=(",", "."))]  # fmt: skip
    lines = ["".join(f'"{cell}";' for cell in row) for row in rows]
    return Export("ends.csv", _file(lines, "cp1252", "\r\n"), (c,), sized=False)


def wide_without_mark(rng: random.Random) -> Export:
    """UTF-16 without its mark."""
    c = _one(rng)
    lines = ["Time (sec)\tStroke (mm)\tLoad (kN)",
             *_lines(table(c, "txf", (1e3, 1e-3, 1.0), (6, 5, 2)), "\t")]  # fmt: skip
    return Export("wide.txt", _file(lines, "utf-16-le", "\r\n"), (c,), sized=False)


def two_forces(rng: random.Random) -> Export:
    """The same force in N and in kN, and a temperature."""
    c = _one(rng)
    rows = [[*row, f"{f / 1e3:.6f}", "23.1"]
            for row, f in zip(table(c, "txf"), c.force_n, strict=True)]  # fmt: skip
    lines = ["Time [s];Crosshead [mm];Load [N];Load [kN];Temperature [°C]", *_lines(rows, ";")]
    return Export("two.csv", _file(lines), (c,), sized=False)


def swiss(rng: random.Random) -> Export:
    """Thousands parted by an apostrophe; results below the rows."""
    c = _one(rng)
    lines = [
        f"Prüfling\t{c.name}", f"Dicke\t{_mm(c.height_m)}\tmm", f"Breite\t{_mm(c.width_m)}\tmm",
        f"Länge\t{_mm(c.length_m)}\tmm", f"Fmax\t{figure(c.peak_n, 1, '.', chr(39))}\tN", "",
        "Weg\tKraft\tZeit", "[mm]\t[N]\t[s]", *_lines(table(c, "xft", signs=(".", "'")), "\t"),
        "", "Ende der Prüfung",
    ]  # fmt: skip
    return Export("swiss.txt", _file(lines, "cp1252", "\r\n"), (c,))


def french_decanewton(rng: random.Random) -> Export:
    """Decanewtons, and a stress beside them."""
    c = _one(rng)
    three = table(c, "txf", (10.0, 1e-3, 1.0), (4, 5, 2), (",", ""))
    stress = [figure(f / c.area_m2 / 1e6, 7, ",") for f in c.force_n]
    rows = [[*row, one] for row, one in zip(three, stress, strict=True)]
    lines = [
        f"Référence éprouvette : {c.name}", f"Largeur : {_mm(c.width_m, ',')} mm",
        f"Longueur : {_mm(c.length_m, ',')} mm", f"Hauteur : {_mm(c.height_m, ',')} mm",
        "Durée (s);Course (mm);Effort (daN);Contrainte (N/mm²)", *_lines(rows, ";"),
    ]  # fmt: skip
    return Export("dan.csv", _file(lines, "cp1252"), (c,))


def two_line_headings(rng: random.Random) -> Export:
    """Headings of two lines over columns of fixed width."""
    c = _one(rng)
    rows = ["".join(cell.rjust(13) for cell in row) for row in table(c, "xft")]
    head = [("Compressive", "Compressive", "Elapsed"), ("Extension", "Load", "Time"),
            ("(mm)", "(N)", "(s)")]  # fmt: skip
    lines = ["Test report", "", *("".join(h.rjust(13) for h in row) for row in head), *rows]
    return Export("lines.txt", _file(lines), (c,), sized=False)


def sheet_side_by_side(rng: random.Random) -> Export:
    """A workbook with specimens beside each other, an empty column between them."""
    curves = _some(rng)
    tables = [table(c, "xf") for c in curves]
    head: list[list[object]] = [[], [], []]
    for c in curves:
        head[0] += [c.name, None, None]
        head[1] += ["Displacement", "Force", None]
        head[2] += ["mm", "N", None]
    rows: list[list[object]] = []
    for n in range(max(map(len, tables))):
        row: list[object] = []
        for t in tables:
            row += [*map(float, t[n]), None] if n < len(t) else [None, None, None]
        rows.append(row)
    raw = book(Sheet("Curves", [*head, *rows]))
    return Export("beside.xlsx", raw, tuple(curves), sized=False)


def listed_sizes(rng: random.Random) -> Export:
    """Sizes of all specimens in lines above, one value each."""
    curves = _some(rng)
    lines = [
        ";".join(["Specimen", *(c.name for c in curves)]),
        ";".join(["Width [mm]", *(_mm(c.width_m) for c in curves)]),
        ";".join(["Length [mm]", *(_mm(c.length_m) for c in curves)]),
        ";".join(["Height [mm]", *(_mm(c.height_m) for c in curves)]), "",
        ";".join("Travel [mm];Force [N]" for _ in curves),
    ]  # fmt: skip
    tables = [table(c, "xf") for c in curves]
    lines += [
        ";".join(";".join(t[n]) if n < len(t) else ";" for t in tables)
        for n in range(max(map(len, tables)))
    ]
    return Export("listed.csv", _file(lines), tuple(curves), sized=False)


def stacked_with_time(rng: random.Random) -> Export:
    """Specimens below each other, a word alone between them, no headings again."""
    curves = _some(rng)
    lines = ["Tiempo [s]\tCarrera [mm]\tCarga [kgf]"]
    for c in curves:
        lines += [c.name, *_lines(table(c, "txf", (9.80665, 1e-3, 1.0), (5, 5, 2)), "\t")]
    return Export("below.txt", _file(lines), tuple(curves), sized=False)


def numbered_headings(rng: random.Random) -> Export:
    """Headings with a number each: specimens, or channels of one frame."""
    curves = _some(rng)
    lines = [",".join(f"Extension {n} (mm),Load {n} (N)" for n in (1, 2, 3))]
    tables = [table(c, "xf") for c in curves]
    lines += [
        ",".join(",".join(t[n]) if n < len(t) else "," for t in tables)
        for n in range(max(map(len, tables)))
    ]
    return Export("numbers.csv", _file(lines), tuple(curves), sized=False)


def clock_times(rng: random.Random) -> Export:
    """The time as hours, minutes and seconds."""
    c = _one(rng)
    rows = [[f"0:{int(t // 60):02d}:{t % 60:05.2f}", *row]
            for t, row in zip(c.time_s, table(c, "xf"), strict=True)]  # fmt: skip
    lines = ["Time;Position [mm];Force [N]", *_lines(rows, ";")]
    return Export("clock.csv", _file(lines), (c,), sized=False)


def small_specimens(rng: random.Random) -> Export:
    """Forces below 1 kN in kN to three decimals with a comma: all begin with nought."""
    c = drawn(rng, "K8", small=True)
    lines = ["Kraft [kN];Weg [mm]",
             *_lines(table(c, "fx", (1e3, 1e-3, 1.0), (7, 3, 2), (",", "")), ";")]  # fmt: skip
    return Export("small.csv", _file(lines), (c,), sized=False)


def gauge_beside(rng: random.Random) -> Export:
    """Travel of the crosshead, and of a gauge on the specimen, which differ."""
    c = _one(rng)
    rows = [[*row, f"{x * 0.8e3:.5f}"] for row, x in
            zip(table(c, "xf"), c.travel_m, strict=True)]  # fmt: skip
    lines = ["Crosshead [mm],Load [N],Extension [mm]", *_lines(rows, ",")]
    return Export("gauge.csv", _file(lines), (c,), sized=False)


HELD_OUT: tuple[Callable[[random.Random], Export], ...] = (
    comment_signs, ends_with_signs, wide_without_mark, two_forces, swiss, french_decanewton,
    two_line_headings, sheet_side_by_side, listed_sizes, stacked_with_time, numbered_headings,
    clock_times, small_specimens, gauge_beside,
)  # fmt: skip
