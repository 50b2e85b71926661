"""What checking a large job costs: 200 conditions of every kind, water paths included.

Run by hand: python tests/benchmarks/bench_check.py. Writes RESULTS_CHECK.md beside it.

No two conditions are alike: each has a random share of its lengths changed, and what cannot
be built is drawn anew. Targets on two cores: loaded, built and checked in at most 4 s.
"""

import platform
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from random import Random

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from detailgen import pipeline  # noqa: E402
from detailgen.catalog import DEFAULT_RULES, load_catalog  # noqa: E402
from detailgen.checks import check  # noqa: E402
from detailgen.conditions import CONDITIONS, Site  # noqa: E402
from detailgen.loader import load_job  # noqa: E402
from detailgen.mend._handles import Sort, Tier, handles  # noqa: E402
from detailgen.parameters import Roof  # noqa: E402
from detailgen.units import UnitSystem  # noqa: E402
from detailgen.waterpath import ways  # noqa: E402

COUNT, RUNS, SHARE = 200, 3, 0.2
MOST = 40
"""So many steps, mm, a length is moved at most: 40 mm."""


def job_text(count: int, seed: int = 1) -> str:
    """Return a parameter file with so many conditions, the kinds in turn."""
    rng = Random(seed)
    catalog = load_catalog()
    site = Site(Roof(), catalog, catalog.rule_set(DEFAULT_RULES))
    kinds = list(CONDITIONS.values())
    parts = ['[project]\nname = "Benchmark"\nunits = "millimetres"\n']
    while len(parts) <= count:
        condition = kinds[(len(parts) - 1) % len(kinds)]
        plain = condition.parameters(id="X1")
        changed: dict[str, float] = {}
        for handle in handles(condition, plain, site, UnitSystem.MILLIMETRES):
            rungs = (*handle.up[1:MOST], *handle.down[1:MOST])
            own = handle.tier is Tier.OWN_NUMBER and handle.sort is Sort.LENGTH
            if own and rungs and rng.random() < SHARE:
                changed[handle.key] = rng.choice(rungs).value  # type: ignore[assignment]
        if condition.impossible(plain.model_copy(update=changed), site):
            continue
        lines = [f"{key} = '{value:g} mm'" for key, value in changed.items()]
        head = f"[[condition]]\nid = 'C{len(parts)}'\nkind = '{condition.kind}'"
        parts.append("\n".join([head, *lines, ""]))
    return "\n".join(parts)


def timed(work: object) -> float:
    """Return the seconds that a piece of work takes."""
    start = time.perf_counter()
    work()  # type: ignore[operator]
    return time.perf_counter() - start


def main() -> None:
    """Measure, print and write down."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "large.toml")
        file.write_text(job_text(COUNT), encoding="utf-8")
        job = load_job(file)
        sections = [p.condition.build(p.parameters, job.site) for p in job.conditions]
        command = [sys.executable, "-m", "detailgen", "check", str(file), "--json"]
        table = [*command[:-1]]

        def run(words: list[str]) -> None:
            subprocess.run(words, cwd=ROOT, stdout=subprocess.DEVNULL, check=False)

        def build() -> None:
            for p in job.conditions:
                p.condition.build(p.parameters, job.site)

        def ask() -> None:
            for section in sections:
                check(section, job.rules, job.catalog)

        def water() -> None:
            for section in sections:
                ways(section, job.rules)

        work = {
            f"**{COUNT} conditions loaded, built and checked** (target: 4 s)": lambda: (
                pipeline.check_job(load_job(file))
            ),
            "file loaded": lambda: load_job(file),
            "sections built": build,
            "sections checked, water paths included": ask,
            "water paths alone": water,
            "**`detailgen check JOB --json`, cold** (target: 4 s)": lambda: run(command),
            "**`detailgen check JOB`, cold**, tables printed (target: 4 s)": lambda: run(
                table
            ),
        }
        found = {what: min(timed(do) for _ in range(RUNS)) for what, do in work.items()}
    lines = [
        "# What checking a large job costs",
        "",
        f"Written by `bench_check.py` in this folder: {COUNT} conditions of",
        f"{len(CONDITIONS)} kinds, no two alike; the least of {RUNS} runs.",
        "",
        "| | s |",
        "|---|---:|",
        *(f"| {what} | {seconds:.2f} |" for what, seconds in found.items()),
        "",
        f"Python {platform.python_version()}, 2 cores.",
        "",
    ]
    text = "\n".join(lines)
    print(text)
    Path(__file__).with_name("RESULTS_CHECK.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
