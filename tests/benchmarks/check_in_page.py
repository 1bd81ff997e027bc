"""Times the check-in page after the fit, in its parts: python tests/benchmarks/check_in_page.py [--client K-07].

The first page of a process also pays for starting the chart library.
"""

from __future__ import annotations

import argparse
import time
from pathlib import Path

from analysis.log import read_log
from analysis.questions.review import review
from dashboard.sheet.content import Reader, SheetOptions
from dashboard.sheet.make import make_sheet

SAMPLES = Path(__file__).resolve().parents[2] / "sample_logs"
READERS: tuple[Reader, ...] = ("trainee", "clinician")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--client", default="K-07")
    parser.add_argument("--repeats", type=int, default=3)
    chosen = parser.parse_args()
    log = read_log(SAMPLES / chosen.client)
    began = time.process_time()
    found = review(log, client=chosen.client)
    print(f"review            {time.process_time() - began:6.2f} s of the processor")
    for at in range(chosen.repeats):
        for reader in READERS:
            began, wall = time.process_time(), time.perf_counter()
            page = make_sheet(log, found, SheetOptions(reader=reader))
            made = time.process_time()
            pdf = page.pdf()
            print(
                f"{reader:<10} page {at + 1}  {made - began:6.2f} s, PDF {time.process_time() - made:5.2f} s of the"
                f" processor; {time.perf_counter() - wall:5.2f} s by the clock, {len(pdf) / 1e3:.0f} kB"
            )


if __name__ == "__main__":
    main()
