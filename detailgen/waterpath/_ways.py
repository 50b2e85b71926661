"""The easiest ways of water into the zones of a section, as built and at its stages."""

from functools import cached_property

from detailgen.catalog import RuleSet
from detailgen.geometry.arrangement import Arrangement
from detailgen.section import LayeredSection
from detailgen.waterpath._model import Model
from detailgen.waterpath._net import drawing_of, net_of
from detailgen.waterpath._trace import Way, way_to


def ways(section: LayeredSection, rules: RuleSet) -> tuple[Way, ...]:
    """Return the easiest way into each zone of a section, in the order of its zones.

    Zones in which water reaches nothing that must stay dry are left out; where the section
    names nothing that must, there are none.
    """
    return Waters(section, rules).built


class Waters:
    """The ways of water into one section: as it is built, and as it stands at a stage.

    What stands at a stage is part of what is built, so that its outlines need not be cut
    at one another once more.
    """

    def __init__(self, section: LayeredSection, rules: RuleSet) -> None:
        """Take what is to be examined."""
        self._section = section
        self._rules = rules

    @cached_property
    def built(self) -> tuple[Way, ...]:
        """The easiest way into each zone, as `ways` tells them."""
        if not self._section.must_stay_dry:
            return ()
        return _ways(self._section, self._model, self._drawing)

    def at_stage(self, number: int) -> tuple[Way, ...]:
        """Return the same of the section as it stands when a stage has been built."""
        section = self._section.at_stage(number)
        if not section.must_stay_dry:
            return ()
        model = Model(section, self._rules)
        return _ways(section, model, self._part(section, model))

    @cached_property
    def _model(self) -> Model:
        return Model(self._section, self._rules)

    @cached_property
    def _drawing(self) -> Arrangement:
        return drawing_of(self._section, self._model)

    def _part(self, section: LayeredSection, model: Model) -> Arrangement:
        """Return the drawing of a stage: of what is built, where all of it is there."""
        number = {b.id: i for i, b in enumerate(self._model.bodies)}
        every = self._model.bodies
        kept = [number.get(b.id, -1) for b in model.bodies]
        same = all(
            i >= 0 and every[i].region is b.region
            for i, b in zip(kept, model.bodies, strict=True)
        )
        if same and kept == sorted(kept) and section.extent is self._section.extent:
            return self._drawing.of(kept)
        return drawing_of(section, model)


def _ways(section: LayeredSection, model: Model, drawing: Arrangement) -> tuple[Way, ...]:
    net = net_of(section, model, drawing)
    found = [(zone, net.easiest(i)) for i, zone in enumerate(section.zones)]
    return tuple(way_to(net, zone, touch) for zone, touch in found if touch is not None)
