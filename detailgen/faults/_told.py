"""What was made wrong, in words for the trainer."""

from detailgen.conditions import Condition
from detailgen.faults._bench import Bench
from detailgen.faults._change import Change, Sort
from detailgen.section import LayeredSection
from detailgen.units import UnitSystem, show_length


def told(change: Change, bench: Bench, system: UnitSystem) -> str:
    """Return in a sentence what a change did to the detail.

    Args:
        change: The change.
        bench: The condition.
        system: In which units.
    """
    if change.sort is Sort.PARAMETER:
        return _measure(change, bench, system)
    section = bench.sound.section
    by = show_length(change.value, system)
    if change.sort in {Sort.SPARSE, Sort.REVERSED, Sort.SHORT_LAP}:
        return _in_view(section, change, by)
    if change.sort is Sort.BARE:
        coat = next(c.name for c in section.coats if c.id == change.what)
        return f"{_plain(coat)}: left out."
    other = _small(_name(section, change.other))
    how = {
        Sort.LEFT_OUT: "left out.",
        Sort.STARTS_LATE: f"cut {by} short at its outer end.",
        Sort.ENDS_EARLY: f"cut {by} short at its inner end.",
        Sort.LAID_LATE: f"laid after the {other}, which should lie on it.",
        Sort.LOOSE: f"laid dry on the {other}, not stuck.",
        Sort.STUCK: f"stuck on the {other}, not laid dry.",
    }[change.sort]
    return f"{_name(section, change.what)}: {how}"


def _in_view(section: LayeredSection, change: Change, by: str) -> str:
    """Return what is wrong with fasteners or pieces of a plan or an elevation."""
    if change.sort is Sort.SPARSE:
        left = "every second" if int(change.value) == 2 else "two of three"
        return f"{_view(section, change)}: {left} of a row of fasteners left out."
    one, *others = _pieces(section, change)
    if change.sort is Sort.REVERSED:
        other = _small(others[0])
        return f"{one} and {other}: they lie the wrong way on one another."
    return f"{one}: {by} too short to lap as it should."


def _measure(change: Change, bench: Bench, system: UnitSystem) -> str:
    """Return a measure with what it is and what it should be, and its key."""
    now = getattr(bench.parameters, change.what)
    about = _about(bench.condition, change.what)
    if isinstance(now, int):
        return f"{about} {int(change.value)} instead of {now} ({change.what})."
    shown = [show_length(v, system) for v in (change.value, float(now))]
    return f"{about} {shown[0]} instead of {shown[1]} ({change.what})."


def _about(condition: Condition, key: str) -> str:
    text = condition.parameters.model_fields[key].description or key
    return text.partition(". ")[0].rstrip(".") + ":"


def _name(section: LayeredSection, body_id: str) -> str:
    body = section.body(body_id)
    return _plain(body.name if body else body_id)


def _plain(name: str) -> str:
    return name.partition(",")[0]


def _small(name: str) -> str:
    return name[:1].lower() + name[1:]


def _view(section: LayeredSection, change: Change) -> str:
    view = section.layout(change.what)
    return _plain(view.title if view else change.what)


def _pieces(section: LayeredSection, change: Change) -> list[str]:
    view = section.layout(change.what)
    names = {p.id: p.name for p in view.parts} if view else {}
    return [names.get(i, i) for i in change.other.split("+")]
