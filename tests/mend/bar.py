"""The bar, run by hand: many random failing jobs, each mend held against every other.

    .venv/bin/python -m tests.mend.bar [jobs of each kind] [first seed]

Writes what it found to RESULTS.md beside it.
"""

import sys
import time
from collections import Counter
from pathlib import Path

from detailgen.mend import Broken, Verdict, mend
from detailgen.mend._handles import handles
from tests.mend.exhaustive import Exhaustive
from tests.mend.jobs import RandomJob, failing, random_jobs

OWN = ("X1",)


def faults(job: RandomJob, tally: Counter[str]) -> list[str]:
    """Return what is wrong with the mend of a job; nothing when it is as promised."""
    before = failing(job.parameters, job.condition, job.site)
    start = time.perf_counter()
    found = mend(Broken(job.condition, job.parameters), job.site, job.system)
    tally["ms"] += int(1000 * (time.perf_counter() - start))
    tally["sections"] += found.builds
    tally["slowest ms"] = max(
        tally["slowest ms"], int(1000 * (time.perf_counter() - start))
    )
    tally[str(found.verdict)] += 1
    if found.verdict is not Verdict.MENDED:
        return [f"{found.verdict}: {before}"]
    own = [c for c in found.changes if c.home != "roof"]
    numbers = [c for c in own if c.sort.value != "word"]
    kinds = len(own) - len(numbers)
    roof = len(found.changes) - len(own)
    tally["with a kind changed"] += kinds > 0
    tally["with the roof changed"] += roof > 0
    wrong = holds_and_is_tight(job, found)
    other = Exhaustive(job, before)
    if kinds or roof:  # then no change of numbers alone may do
        count, steps = 3, 0
    else:
        count, steps = len(numbers), sum(c.steps for c in numbers)
        tally[f"{count} parameters"] += 1
    smaller = other.smaller(count, steps)
    tally["tried one by one"] += other.trial.tried
    if smaller is not None:
        wrong.append(f"smaller: {smaller} against {[(c.key, c.needed) for c in own]}")
    return wrong


def holds_and_is_tight(job: RandomJob, found) -> list[str]:
    """Return whether the mended job fails, or holds with one step less."""
    wrong: list[str] = []
    site = type(job.site)(found.roof, job.site.catalog, job.site.rules)
    if left := failing(found.parameters, job.condition, site):
        wrong.append(f"still fails: {left}")
    ladder = {
        (h.key, h.layer): h
        for h in handles(job.condition, job.parameters, job.site, job.system)
    }
    for change in found.changes:
        if change.home == "roof" or change.sort.value == "word":
            continue
        handle = ladder[change.key, change.layer]
        rungs = handle.up if change.needed > change.now else handle.down
        at = next(i for i, r in enumerate(rungs) if r.value == change.needed)
        less = rungs[at - 1].value if at else getattr(job.parameters, change.key)
        parameters = found.parameters.model_copy(update={change.key: less})
        if not job.condition.impossible(parameters, site) and not failing(
            parameters, job.condition, site
        ):
            wrong.append(f"one step less of {change.key} does too")
    return wrong


def main(count: int, seed: int) -> None:
    lines = [
        "# The bar of mends",
        "",
        f"Written by `bar.py`: {count} random failing jobs of each kind, seed {seed}.",
        "",
    ]
    for kind in ("wall", "roof-edge"):
        tally: Counter[str] = Counter()
        bad: list[str] = []
        for job in random_jobs(kind, count, seed):
            wrong = faults(job, tally)
            bad += [f"{kind} {job.number}: {w}" for w in wrong]
            sys.stdout.write(f"{kind} {job.number} {wrong or 'as promised'}\n")
        lines += [f"## {kind}", "", "| what | number |", "|---|---|"]
        lines += [f"| {k} | {v} |" for k, v in sorted(tally.items())]
        lines += ["", f"Faults: {len(bad)}", "", *bad, ""]
    Path(__file__).with_name("RESULTS.md").write_text("\n".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main(*(int(a) for a in (*sys.argv[1:], *("100", "1")[len(sys.argv) - 1 :])))
