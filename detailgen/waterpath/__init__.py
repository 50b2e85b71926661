"""The water path: how much water must overcome on the easiest way to what must stay dry.

The figure of a zone counts sheets. Two means: wherever water gets in there, it has to pass
two sheets, or laps and climbs that are worth two. It argues redundancy; it does not predict
leaks, and it knows nothing of workmanship, ageing, pressure or amounts of water.

The model, exactly:

* **Weather** is water in all air that a way from the sky reaches without going up: driven
  rain, run-off and standing water, but no splash and no suction.
* **Air and dry joints** (laid dry, fastened, or touching without a joint of record): level
  and down cost nothing; up costs the rise over the lap that the rule set asks of what
  covers it: of a counterflashing (`counterflashing_lap_least`) where the section has one,
  else of a metal face (`coping_face_least`). A climb never costs more than going through
  the cover would.
* **Stuck joints** (torched, in asphalt, adhesive or cement, self-adhered): along them costs
  the length over the lap that the rule set asks of the sheet on top. A lap never costs more
  than going through that sheet would.
* **A sheet** costs 1 to enter, wherever. Inside, distance counts nothing, so that it may be
  left anywhere in the same zone; to go on in it into another zone costs 1 more.
* **A bed of cement** counts with what is set in it: its underside is the joint.
* **Metal** counts as a sheet for as much as its pieces are joined: by their lap over the
  lap asked where they lap dry, and by the reach of the plate under an open joint over the
  reach asked; at most 1. Metal whose joints no layout shows (coping, bar, cleat) counts as
  absent, as at an open joint.
* **The receiver** (metal fastened in or on the wall) is passed along its joint only: length
  over `reglet_depth_least`.
* **Sealant beads** count as absent. **Fasteners** are left out, too: each fills its hole,
  and what covers it is counted. Primer is nothing.
* **What must stay dry** ends the way: board, wood, deck and wall never count for anything,
  so the touch decides. Other masonry (the wall above its receiver, the wall under an edge)
  is not followed: what it drinks is its own affair. At the border of the drawing sheets go
  on.
* A length within 0.01 mm of what is asked is what is asked.
"""

from detailgen.waterpath._trace import How, Step, Way
from detailgen.waterpath._ways import ways

__all__ = ["How", "Step", "Way", "ways"]
