"""What a long weather record costs: `python tests/benchmarks/records.py`. Nothing is asserted.

A million hourly rows (114 years) of invented weather are read and studied by a process of its
own, whose peak memory the system tells. The target: under 300 MB.
"""

from __future__ import annotations

import math
import resource
import subprocess
import sys
import tempfile
from datetime import datetime, timedelta
from pathlib import Path
from time import perf_counter

ROWS = 1_000_000
BEGIN = datetime(1905, 1, 1)  # noqa: DTZ001  (hours of the record, whatever its zone)


def written(path: Path) -> None:
    """The file: temperature, humidity, rain and wind by the hour."""
    with path.open("w", encoding="ascii") as file:
        file.write("time,temp,humidity,rain,wind\n")
        for number in range(ROWS):
            when = BEGIN + timedelta(hours=number)
            year = math.cos(2 * math.pi * (number / 8766))
            day = math.cos(2 * math.pi * (number % 24) / 24)
            temp, damp = 9 - 10 * year - 4 * day, 70 + 15 * day
            rain = 0.7 if number % 37 < 3 else 0
            file.write(f"{when:%Y-%m-%d %H:%M},{temp:.1f},{damp:.0f},{rain},{number % 11}\n")


def studied(path: Path) -> None:
    """Read and study it, and tell what that cost."""
    from seasonplan.conditions import study
    from seasonplan.year.place import Place

    columns = {
        "time": "time", "temperature": "temp", "humidity": "humidity", "rain": "rain",
        "wind": "wind",
    }  # fmt: skip
    place = Place.model_validate(
        {
            "name": "Harrow Cleft", "latitude": 47.5, "longitude": 12.0, "time_zone": "UTC",
            "records": {"file": path.name, "columns": columns},
            "good": [{"temperature": [2, 15], "rain_below": 1, "highest_humidity": 80}],
        }
    )  # fmt: skip
    bare = _peak()
    begin = perf_counter()
    found = study(
        path.read_bytes(), place, discipline=None, file="year.toml", time_zone="Europe/Vienna"
    )
    seconds = perf_counter() - begin
    print(f"{ROWS:,} rows, {path.stat().st_size / 1e6:.0f} MB: {len(found.record.days):,} days, "
          f"{100 * found.climate.rate:.1f} % good")  # fmt: skip
    print(f"{seconds:.0f} s, peak {_peak():.0f} MB, of which {bare:.0f} MB before it was read")


def _peak() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    if len(sys.argv) > 1:
        studied(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "hours.csv"
            written(path)
            subprocess.run([sys.executable, __file__, str(path)], check=True)
