#!/usr/bin/env python3
"""Working days by numpy.busday_offset, for the tests of the program's own arithmetic.

Usage: workdays.py            prints the table
       workdays.py --check    fails where tests/outside/workdays.tsv differs from it
Needs numpy. Columns: day, working days on, the day numpy gives (roll='forward', Monday to Friday, the holidays below).
"""
import os, sys
import numpy as np

HOLIDAYS = ["2026-04-03", "2026-05-25", "2026-07-03", "2026-12-24", "2026-12-25", "2027-01-01", "2028-02-29"]
rows = ["# holidays " + " ".join(HOLIDAYS)]
for start in ["2026-02-26", "2026-04-02", "2026-04-03", "2026-04-04", "2026-12-19", "2026-12-24", "2026-12-31", "2028-02-28", "2028-02-29"]:
    for n in [-260, -23, -5, -2, -1, 0, 1, 2, 3, 4, 5, 6, 10, 21, 64, 261]:
        rows.append(f"{start}\t{n}\t{np.busday_offset(start, n, roll='forward', holidays=HOLIDAYS)}")
text = "\n".join(rows) + "\n"
if sys.argv[1:] == ["--check"]:
    path = os.path.join(os.path.dirname(os.path.abspath(__file__)), "workdays.tsv")
    if open(path, encoding="utf-8").read() != text:
        sys.exit(f"{path} is not what numpy {np.__version__} gives; run workdays.py > {path} and read the difference")
    print(f"{len(rows) - 1} working days are numpy's")
else:
    sys.stdout.write(text)
