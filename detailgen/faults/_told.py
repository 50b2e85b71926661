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
    section = bench.sound.section
    by = show_length(change.value, system)
    match change.sort:
        case Sort.PARAMETER:
            return _measure(change, bench, system)
        case Sort.LEFT_OUT:
            return f"{_name(section, change.what)}: left out."
        case Sort.STARTS_LATE:
            return f"{_name(section, change.what)}: cut {by} short at its outer end."
        case Sort.ENDS_EARLY:
            return f"{_name(section, change.what)}: cut {by} short at its inner end."
        case Sort.LAID_LATE:
            later, under = (_name(section, i) for i in (change.what, change.other))
            return f"{later}: laid after the {_small(under)}, which should lie on it."
        case Sort.LOOSE:
            return _on(section, change, "laid dry", "stuck")
        case Sort.STUCK:
            return _on(section, change, "stuck", "laid dry")
        case Sort.BARE:
            coat = next(c.name for c in section.coats if c.id == change.what)
            return f"{_plain(coat)}: left out."
        case Sort.SPARSE:
            left = "every second" if int(change.value) == 2 else "two of three"
            return f"{_view(section, change)}: {left} of a row of fasteners left out."
        case Sort.REVERSED:
            one, other = _pieces(section, change)
            return f"{one} and {_small(other)}: they lie the wrong way on one another."
        case Sort.SHORT_LAP:
            return f"{_pieces(section, change)[0]}: {by} too short to lap as it should."


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


def _on(section: LayeredSection, change: Change, how: str, instead: str) -> str:
    upper, lower = (_name(section, i) for i in (change.what, change.other))
    return f"{upper}: {how} on the {_small(lower)}, not {instead}."


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
