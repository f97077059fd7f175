"""Invented exports of load frames with known truth: twenty layouts, each drawn from a seed.

Read first: :data:`LAYOUTS`. Foam pressed between plates: a toe, a straight part, a plateau; with
noise, a pre-load, a slack start, a drop at the end, and either sign of compression.
"""

import io
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from openpyxl import Workbook  # type: ignore[import-untyped]

__all__ = ["LAYOUTS", "Curve", "Export", "Sheet", "book", "drawn", "export", "figure", "table"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Curve:
    """The truth about one specimen, in SI; signs as the frame writes them."""

    name: str
    force_n: Floats
    travel_m: Floats
    time_s: Floats
    length_m: float
    width_m: float
    height_m: float

    @property
    def area_m2(self) -> float:
        """Loaded area."""
        return self.length_m * self.width_m

    @property
    def peak_n(self) -> float:
        """Largest force."""
        return float(np.abs(self.force_n).max())


@dataclass(frozen=True)
class Export:
    """A file, and what is true of it."""

    name: str
    raw: bytes
    curves: tuple[Curve, ...]
    sized: bool = True
    """Whether the file states sizes."""


def drawn(rng: random.Random, name: str, *, small: bool = False) -> Curve:
    """Draw one specimen and its curve."""
    noise = np.random.default_rng(rng.randrange(1 << 32))
    rows = rng.randrange(40, 140)
    edge, height = rng.choice([(0.05, 0.025), (0.1, 0.05), (0.15, 0.1)])
    length, width = (round(edge * rng.uniform(0.97, 1.03), 5) for _ in "ab")
    height = round(height * rng.uniform(0.97, 1.03), 5)
    strength = rng.uniform(60e3, 300e3) * (0.02 if small else 1.0)
    strain = np.linspace(0, 0.13, rows)
    toe = rng.choice([0.0, 0.005, 0.015])
    over = np.maximum(strain - toe, 0)
    stress = strength * (np.tanh(over / 0.015) + 1.2 * over)
    force = stress * length * width + rng.choice([0.0, 5.0, 20.0]) * (0.02 if small else 1)
    force += noise.normal(0, 0.002 * force.max(), rows)
    if rng.random() < 0.4:
        force[-3:] *= (0.6, 0.2, 0.02)
    travel = strain * height + rng.choice([0.0, 0.0, 0.0021])
    time = strain / 0.13 * rng.uniform(60, 120) + rng.choice([0.0, 12.5])
    sign = rng.choice([1, -1])
    return Curve(name, sign * force, sign * travel, time, length, width, height)


def figure(value: float, places: int, decimal: str = ".", thousands: str = "") -> str:
    """Write a number."""
    text = f"{value:,.{places}f}".replace(",", "_").replace(".", decimal)
    return text.replace("_", thousands)


def table(
    curve: Curve,
    columns: str,
    units: tuple[float, float, float] = (1.0, 1e-3, 1.0),
    places: tuple[int, int, int] = (3, 5, 2),
    signs: tuple[str, str] = (".", ""),
) -> list[list[str]]:
    """Write the rows of a curve: columns by letter, f(orce), x (travel), t(ime)."""
    series = {
        "f": (curve.force_n / units[0], places[0]),
        "x": (curve.travel_m / units[1], places[1]),
        "t": (curve.time_s / units[2], places[2]),
    }
    made = [[figure(v, p, *signs) for v in values] for values, p in map(series.get, columns)]  # type: ignore[misc]
    return [list(row) for row in zip(*made, strict=True)]


def _mm(value: float, decimal: str = ".") -> str:
    return figure(value * 1e3, 2, decimal)


def _lines(rows: Sequence[Sequence[str]], sign: str) -> list[str]:
    return [sign.join(row) for row in rows]


def _file(lines: Sequence[str], encoding: str = "utf-8", end: str = "\n") -> bytes:
    return (end.join(lines) + end).encode(encoding)


def _one(rng: random.Random) -> Curve:
    return drawn(rng, f"E{rng.randrange(10, 99)}")


def _some(rng: random.Random) -> list[Curve]:
    return [drawn(rng, f"P{number}") for number in range(1, rng.randrange(2, 5) + 1)]


def plain_comma(rng: random.Random) -> Export:
    """Headings with units in parentheses; no metadata."""
    c = _one(rng)
    lines = ["Time (s),Extension (mm),Load (N)", *_lines(table(c, "txf"), ",")]
    return Export("plain.csv", _file(lines), (c,), sized=False)


def german_unit_row(rng: random.Random) -> Export:
    """Semicolons, decimal comma, a row of units, sizes above."""
    c = _one(rng)
    lines = [
        f"Probe;{c.name}", "Prüfnorm;Druckversuch", f"Länge [mm];{_mm(c.length_m, ',')}",
        f"Breite [mm];{_mm(c.width_m, ',')}", f"Höhe [mm];{_mm(c.height_m, ',')}", "",
        "Zeit;Traversenweg;Standardkraft", "s;mm;N",
        *_lines(table(c, "txf", signs=(",", "")), ";"),
    ]  # fmt: skip
    return Export("de.csv", _file(lines, "cp1252", "\r\n"), (c,))


def german_extremes(rng: random.Random) -> Export:
    """Tabs, a block of metadata, a block of extremes, clock columns; kN, compression negative."""
    c = _one(rng)
    rows = table(c, "txf", (1e3, 1e-3, 1.0), (6, 6, 4), (",", ""))
    force = [c.force_n.max() / 1e3, c.force_n.min() / 1e3]
    lines = [
        "Angaben\t\t\tDruckversuch\tZeit:\t9,75\ts\t05.03.2024 09:58:02", "Datum\t05.03.2024",
        f"Probe\t{c.name}", f"Breite [mm]:\t{_mm(c.width_m, ',')}",
        f"Höhe [mm]:\t{_mm(c.height_m, ',')}", f"Länge [mm]:\t{_mm(c.length_m, ',')}",
        "Ende", "", "Aufnahme\t\t\tZeit:\t135,7\ts", "Kanal 1 Weg\tKanal 1 Kraft", "mm\tkN",
        *(f"1,0\t{figure(one, 6, ',')}" for one in force), "", "Aufnahme\t\t\tZeit:\t135,8\ts",
        "Datum\tTageszeit\tLaufzeit\tKanal 1 Weg\tKanal 1 Kraft\tKanal 1 Kraft Sollwert",
        "d\td\ts\tmm\tkN\tkN",
        *("45356\t0,39778385\t" + "\t".join([*row, "-1"]) for row in rows),
    ]  # fmt: skip
    return Export("extremes.dat", _file(lines, "cp1252"), (c,))


def french(rng: random.Random) -> Export:
    """Semicolons, brackets, with a mark of UTF-8."""
    c = _one(rng)
    lines = [
        f"Éprouvette;{c.name}", f"Longueur;{_mm(c.length_m, ',')};mm",
        f"Largeur;{_mm(c.width_m, ',')};mm", f"Épaisseur;{_mm(c.height_m, ',')};mm", "",
        "Temps [s];Déplacement [mm];Force [kN]",
        *_lines(table(c, "txf", (1e3, 1e-3, 1.0), (6, 4, 2), (",", "")), ";"),
    ]  # fmt: skip
    return Export("fr.csv", _file(lines, "utf-8-sig", "\r\n"), (c,))


def spanish_wide(rng: random.Random) -> Export:
    """Tabs in UTF-16, in one cell key and value."""
    c = _one(rng)
    lines = [
        f"Probeta: {c.name}", f"Longitud: {_mm(c.length_m, ',')} mm",
        f"Anchura: {_mm(c.width_m, ',')} mm", f"Altura: {_mm(c.height_m, ',')} mm",
        "Tiempo (s)\tDesplazamiento (mm)\tFuerza (N)",
        *_lines(table(c, "txf", signs=(",", "")), "\t"),
    ]  # fmt: skip
    return Export("es.txt", _file(lines, "utf-16", "\r\n"), (c,))


def inch_pound(rng: random.Random) -> Export:
    """Inches and pounds of force, the largest load stated."""
    c = _one(rng)
    size = [f"{name},{value / 0.0254:.4f},in" for name, value in
            (("Length", c.length_m), ("Width", c.width_m), ("Thickness", c.height_m))]  # fmt: skip
    lines = [
        f"Specimen,{c.name}", *size, f"Maximum load,{c.peak_n / 4.4482216152605:.2f},lbf", "",
        "Crosshead (in),Load (lbf),Time (sec)",
        *_lines(table(c, "xft", (4.4482216152605, 0.0254, 1.0), (4, 6, 2)), ","),
    ]  # fmt: skip
    return Export("us.csv", _file(lines), (c,))


def fixed_blanks(rng: random.Random) -> Export:
    """Columns of fixed width; headings of two words."""
    c = _one(rng)
    rows = ["".join(cell.rjust(14) for cell in row) for row in table(c, "txf")]
    lines = [
        "COMPRESSION TEST", f"Sample : {c.name}", f"Length : {_mm(c.length_m)} mm",
        f"Width : {_mm(c.width_m)} mm", f"Height : {_mm(c.height_m)} mm", "",
        "".join(h.rjust(14) for h in ("Test time", "Travel", "Load cell")),
        "".join(h.rjust(14) for h in ("(s)", "(mm)", "(N)")), *rows,
    ]  # fmt: skip
    return Export("fixed.txt", _file(lines), (c,))


def stacked(rng: random.Random) -> Export:
    """One specimen below the other, each with its own sizes and headings."""
    lines, curves = ["Report;compression"], _some(rng)
    for c in curves:
        lines += [
            f"Specimen:;{c.name}", f"Width (mm);{_mm(c.width_m)}", f"Length (mm);{_mm(c.length_m)}",
            f"Height (mm);{_mm(c.height_m)}", "Displacement;Force;Time", "[mm];[N];[s]",
            *_lines(table(c, "xft"), ";"), "",
        ]  # fmt: skip
    return Export("stacked.csv", _file(lines), tuple(curves))


def side_by_side(rng: random.Random) -> Export:
    """Specimens beside each other, their names over the headings, rows of unlike number."""
    curves = _some(rng)
    tables = [table(c, "xf", signs=(",", "")) for c in curves]
    most = max(map(len, tables))
    rows = [[cell for t in tables for cell in (t[n] if n < len(t) else ["", ""])]
            for n in range(most)]  # fmt: skip
    lines = [
        ";".join(f"{c.name};" for c in curves), ";".join("Weg;Kraft" for _ in curves),
        ";".join("mm;N" for _ in curves), *_lines(rows, ";"),
    ]  # fmt: skip
    return Export("beside.csv", _file(lines, "cp1252"), tuple(curves), sized=False)


def numbered(rng: random.Random) -> Export:
    """A column says which specimen a row is of."""
    curves = [drawn(rng, str(number)) for number in range(1, rng.randrange(2, 5) + 1)]
    rows = [[c.name, *row] for c in curves for row in table(c, "txf")]
    lines = ["Specimen No,Time [s],Position [mm],Load [N]", *_lines(rows, ",")]
    return Export("numbered.csv", _file(lines), tuple(curves), sized=False)


@dataclass(frozen=True)
class Sheet:
    """A sheet of a workbook: its title and its rows; texts of figures become numbers."""

    title: str
    rows: list[list[object]]


def book(*sheets: Sheet) -> bytes:
    """Save a workbook."""
    made = Workbook()
    made.remove(made.active)
    for sheet in sheets:
        tab = made.create_sheet(sheet.title)
        for row in sheet.rows:
            tab.append(row)
    held = io.BytesIO()
    made.save(held)
    return held.getvalue()


def _numbers(rows: Sequence[Sequence[str]]) -> list[list[object]]:
    return [[float(cell) for cell in row] for row in rows]


def one_sheet(rng: random.Random) -> Export:
    """A workbook with metadata and one curve."""
    c = _one(rng)
    rows: list[list[object]] = [
        ["Sample", c.name], ["Length", round(c.length_m * 1e3, 2), "mm"],
        ["Width", round(c.width_m * 1e3, 2), "mm"], ["Height", round(c.height_m * 1e3, 2), "mm"],
        [], ["Time", "Stroke", "Force"], ["s", "mm", "kN"],
        *_numbers(table(c, "txf", (1e3, 1e-3, 1.0), (6, 5, 2))),
    ]  # fmt: skip
    return Export("one.xlsx", book(Sheet("Data", rows)), (c,))


def several_sheets(rng: random.Random) -> Export:
    """A sheet for each specimen, and one with their sizes."""
    curves = _some(rng)
    sizes: list[list[object]] = [["Specimen", "Length [mm]", "Width [mm]", "Height [mm]"]]
    sizes += [[c.name, *(round(v * 1e3, 2) for v in (c.length_m, c.width_m, c.height_m))]
              for c in curves]  # fmt: skip
    sheets = [
        Sheet(c.name, [["Weg [mm]", "Kraft [N]", "Zeit [s]"], *_numbers(table(c, "xft"))])
        for c in curves
    ]
    return Export("several.xlsx", book(Sheet("Results", sizes), *sheets), tuple(curves))


def units_above(rng: random.Random) -> Export:
    """Units in the metadata alone."""
    c = _one(rng)
    lines = [
        f"Sample ID,{c.name}", 'Units,"N, mm, s"', f"Specimen length (mm),{_mm(c.length_m)}",
        f"Specimen width (mm),{_mm(c.width_m)}", f"Specimen height (mm),{_mm(c.height_m)}", "",
        "Time,Displacement,Force", *_lines(table(c, "txf"), ","),
    ]  # fmt: skip
    return Export("above.csv", _file(lines, end="\r\n"), (c,))


def grouped_quoted(rng: random.Random) -> Export:
    """Thousands by comma, in quotation marks."""
    c = _one(rng)
    rows = [[f'"{cell}"' for cell in row] for row in table(c, "xft", signs=(".", ","))]
    lines = ['"Deflection [mm]","Load [N]","Elapsed time [s]"', *_lines(rows, ",")]
    return Export("grouped.csv", _file(lines), (c,), sized=False)


def with_stress(rng: random.Random) -> Export:
    """Force and travel with stress and strain of them."""
    c = _one(rng)
    rows = table(c, "xf", places=(3, 5, 2))
    lines = [
        f"Specimen\t{c.name}", f"Length\t{_mm(c.length_m)} mm", f"Width\t{_mm(c.width_m)} mm",
        f"Height\t{_mm(c.height_m)} mm", "",
        "Extension [mm]\tLoad [N]\tCompressive stress [kPa]\tCompressive strain [%]",
        *("\t".join([*row, f"{f / c.area_m2 / 1e3:.4f}", f"{x / c.height_m * 100:.5f}"])
          for row, f, x in zip(rows, c.force_n, c.travel_m, strict=True)),
    ]  # fmt: skip
    return Export("stress.txt", _file(lines), (c,))


def grouped_points(rng: random.Random) -> Export:
    """Thousands by point, the decimal comma, units behind the word in."""
    c = _one(rng)
    lines = [
        f"Prüfkörper;{c.name}", "Kraft in N;Weg in mm;Zeit in s",
        *_lines(table(c, "fxt", signs=(",", ".")), ";"),
    ]  # fmt: skip
    return Export("points.csv", _file(lines, "utf-8"), (c,), sized=False)


def symbols(rng: random.Random) -> Export:
    """Signs for words."""
    c = _one(rng)
    lines = ["t [s];s [mm];F [N]", *_lines(table(c, "txf", signs=(",", "")), ";")]
    return Export("symbols.csv", _file(lines, "utf-8-sig"), (c,), sized=False)


def strokes(rng: random.Random) -> Export:
    """Upright strokes, kilograms of force and centimetres."""
    c = _one(rng)
    lines = ["Carga (kgf)|Carrera (cm)|Tiempo (s)",
             *_lines(table(c, "fxt", (9.80665, 1e-2, 1.0), (5, 6, 2)), "|")]  # fmt: skip
    return Export("strokes.txt", _file(lines), (c,), sized=False)


def exponents(rng: random.Random) -> Export:
    """Powers of ten, a row number, a set point beside the force, milliseconds."""
    c = _one(rng)
    rows = [
        f"{n}\t{t * 1e3:.6E}\t{x:.7E}\t{f / 1e3:.7E}\t{f / 1e3 + 0.01:.7E}"
        for n, (t, x, f) in enumerate(zip(c.time_s, c.travel_m, c.force_n, strict=True))
    ]
    head = "Point\tTime [ms]\tDisplacement [m]\tForce [kN]\tForce set point [kN]"
    return Export("powers.txt", _file([head, *rows], end="\r\n"), (c,), sized=False)


def repeated_headings(rng: random.Random) -> Export:
    """The headings stand again every thirty rows."""
    c = _one(rng)
    rows, head = _lines(table(c, "txf"), "\t"), ["Zeit\tVerformung\tPrüfkraft", "s\tmm\tN"]
    lines = [f"Probe\t{c.name}"]
    for start in range(0, len(rows), 30):
        lines += [*head, *rows[start : start + 30]]
    return Export("pages.txt", _file(lines, "cp1252", "\r\n"), (c,), sized=False)


LAYOUTS: tuple[Callable[[random.Random], Export], ...] = (
    plain_comma, german_unit_row, german_extremes, french, spanish_wide, inch_pound, fixed_blanks,
    stacked, side_by_side, numbered, one_sheet, several_sheets, units_above, grouped_quoted,
    with_stress, grouped_points, symbols, strokes, exponents, repeated_headings,
)  # fmt: skip


def export(layout: int, seed: int) -> Export:
    """Draw one export."""
    return LAYOUTS[layout](random.Random(1000 * layout + seed))
