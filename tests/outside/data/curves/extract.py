"""How compression.csv was made from the public test files; see ORIGIN.md.

Run once, with the folder that holds the files, one a recipe:

    python extract.py FOLDER > compression.csv

Each number is copied sign by sign. Rows up to 15 % strain are all kept, after that every tenth.
"""

import csv
import sys
from pathlib import Path

PICKED = (("0", "1"), ("2", "2"), ("4", "1"), ("4", "3"), ("6", "1"), ("6", "4"))
COLUMNS = ("recipe", "specimen", "strain [1]", "stress [MPa]", "density [g/cm3]")
ALL_UP_TO, THEN_EVERY = 0.15, 10


def main() -> None:
    """Write the extract."""
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(COLUMNS)
    for recipe, specimen in PICKED:
        path = Path(sys.argv[1]) / f"test{recipe}.csv"
        with path.open(encoding="utf-8-sig", newline="") as sheet:
            rows = [row for row in csv.DictReader(sheet) if row["RepeatID"] == specimen]
        for at, row in enumerate(rows):
            last = at == len(rows) - 1
            if float(row["Strain"]) <= ALL_UP_TO or at % THEN_EVERY == 0 or last:
                out.writerow([recipe, specimen, row["Strain"], row["Stress"], row["Density"]])


if __name__ == "__main__":
    main()
