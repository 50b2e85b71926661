"""The water path: how much water must overcome on the easiest way to what must stay dry.

The figure of a zone counts sheets. Two means: wherever water gets in there, it has to pass
two sheets, or laps and climbs that are worth two. It argues redundancy; it does not predict
leaks, and knows nothing of workmanship, ageing, pressure or amounts of water.

The model, exactly:

* **Weather** is water in all air that a way from the sky reaches without going up: driven
  rain, run-off and standing water; no splash and no suction.
* **Air and dry joints** (laid dry, fastened, or touching without a joint of record): level
  and down cost nothing; up costs the rise over the lap that is asked of what covers it: of
  a counterflashing (`counterflashing_lap_least`) where the section has one, else of a face
  of metal (`coping_face_least`). Going through the cover is a way as well, so that a climb
  behind it never costs more than 1.
* **Stuck joints** (torched, in asphalt, adhesive or cement, self-adhered): along them costs
  the length over the lap that is asked of the sheet on top. Going through that sheet is a
  way as well, so that a lap never costs more than 1.
* **A sheet** costs 1 to enter, wherever. Inside, distance counts nothing: it may be left
  anywhere in the same zone. To go on in it into another zone costs 1 more.
* **A bed of cement** counts with what is set in it: its underside is the joint.
* **Metal in lengths** (edge metal, counterflashing, joint cover) counts as a sheet for as
  much as its pieces are joined: by their lap over the lap asked where they lap dry, by the
  reach of the plate under an open joint over the reach asked; at most 1. Where no layout
  shows its joints (coping) it counts as absent, as it is at an open joint. **Metal in one
  piece** (sleeve, pan, liner, sheet at a drain) counts as a sheet. What only holds or
  strains (bar, cleat, plate, strainer) is absent.
* **A receiver** (counterflashing fastened in or on a wall) is passed along its joint:
  length over `reglet_depth_least`. A collar clamped round a pipe, a fill of pourable
  sealant and the lap under the ring of a drain count 1 as a whole: there the argument ends.
* **Beads of sealant** are absent. **Fasteners** are left out: each fills its hole, and what
  covers it counts. Primer is nothing. A metal's open hook is air.
* **What must stay dry** ends a way where it is first touched. Board, wood, deck and wall
  count for nothing and carry nothing on: what they drink is not followed, be it the wall
  above its receiver or the wall under an edge. Flutes of a deck are closed at its ends.
* **Zones** are told each by itself; a way counts in the zone in which it ends.
* At the border of the drawing sheets go on. Side laps, end laps and seams of sheets lie
  outside of the section: other rules ask for them.
* A length within 0.05 mm of what is asked is what is asked.
"""

from detailgen.waterpath._trace import How, Step, Way
from detailgen.waterpath._ways import Waters, ways

__all__ = ["How", "Step", "Waters", "Way", "ways"]
