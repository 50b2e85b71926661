"""Pages made for tests: of sample jobs, and of one with hostile names."""

from functools import cache
from pathlib import Path

from detailgen.classroom import class_page
from detailgen.loader import job_of, load_job
from detailgen.pipeline import check_job

SAMPLES = Path(__file__).parents[2] / "samples"
HOSTILE = (
    "</title><script>window.hit=1</script>",
    "<img src=x onerror=window.hit=2>",
    '" onmouseover="window.hit=3',
    "' autofocus onfocus='window.hit=4",
    "]]></svg><svg onload=window.hit=5>",
    "javascript:window.hit=6",
    "&lt;script&gt;window.hit=7&lt;/script&gt;",
    "<!-- --><style>*{display:none}</style>",
)


@cache
def page_of(sample: str) -> bytes:
    """Return the page of a sample job."""
    job = load_job(SAMPLES / f"{sample}.toml")
    return class_page(job, check_job(job))


@cache
def hostile_page() -> bytes:
    """Return the page of a job whose name, titles and reasons try to break out."""
    quoted = [
        "'''" + text + "'''" if text[-1] != "'" else f'"""{text}"""' for text in HOSTILE
    ]
    parts = [f"[project]\nname = {quoted[0]}\nlocation = {quoted[1]}\n"]
    for number, text in enumerate(quoted):
        parts.append(
            f'[[condition]]\nid = "W{number}"\nkind = "wall"\ntitle = {text}\n'
            'strip_in_out = "1 in"\n'
        )
    parts.append(
        f'[[rule]]\nrule = "flashing_height_least"\nvalue = "6 in"\nreason = {quoted[4]}\n'
    )
    job = job_of("\n".join(parts), "hostile.toml")
    return class_page(job, check_job(job))


def twenty_page() -> bytes:
    """Return the page of a job of 20 details, of every kind that there is."""
    from detailgen.conditions import CONDITIONS  # noqa: PLC0415

    kinds = [k for k in CONDITIONS if not k.startswith("free")]
    text = "".join(
        f'[[condition]]\nid = "X{n}"\nkind = "{kinds[n % len(kinds)]}"\n' for n in range(20)
    )
    job = job_of(f'[project]\nname = "Twenty"\n{text}', "twenty.toml")
    return class_page(job, check_job(job))
