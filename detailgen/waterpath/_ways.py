"""The easiest ways of water into the zones of a section."""

from detailgen.catalog import RuleSet
from detailgen.section import LayeredSection
from detailgen.waterpath._model import Model
from detailgen.waterpath._net import net_of
from detailgen.waterpath._trace import Way, way_to


def ways(section: LayeredSection, rules: RuleSet) -> tuple[Way, ...]:
    """Return the easiest way into each zone of a section, in the order of its zones.

    Zones in which water reaches nothing that must stay dry are left out; where the section
    names nothing that must, there are none.
    """
    if not section.must_stay_dry:
        return ()
    net = net_of(section, Model(section, rules))
    found = [(zone, net.easiest(i)) for i, zone in enumerate(section.zones)]
    return tuple(way_to(net, zone, touch) for zone, touch in found if touch is not None)
