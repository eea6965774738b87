"""Small drawings for the help, in plain letters: where a picture says more than a sentence.

Each says nothing that the text beside it does not say, for those who have the screen read out.
"""

from __future__ import annotations

import re

LEVELS = r"""
                  waist
         ________________________
        |        :        |      \
  hip   |--------+--------|-------|     Draw the grainline down the panel,
        |        :                 \    then a line square across it at
 crotch |--------+------------------|   each level.
         \       :                 /
  knee    |------+--------|             At a level, measure from the
          |<---->:<------>|             grainline to each stitching line.
          |      :        |
  hem     |______:________|             The hem line is height 0; heights
     outseam  grainline  inseam         run up the grainline.
"""

FOOT = r"""
            |      |
            |      |
            |      |
            |      *_               * * *  the tape: from the back of
           /     *   \                     the heel, over the instep,
          |    *      \__                  and under again
           \_*           \___
              \_____         \__
                    \___________)   toes pointed, as going into the leg
"""

FLAT = r"""
           _______________
          |       :       |
    knee  |<------:------>|   laid flat: seam to seam, straight across,
          |       :       |   square to the crease; it is doubled here.
           |      :      |
    hem    |<-----:----->|
            inseam  outseam
"""

TAKE_IN = r"""
           front              back
         |       |         |        |
      -> |:     :| <-   -> |:      :| <-   the same off each edge:
      -> | :   : | <-   -> | :    : | <-   four edges make the leg
      -> |_:___:_| <-   -> |_:____:_| <-
           5/8 in each = 2 1/2 in round the leg
"""

BLEND = r"""
         |            above the blend: the old seam, as it was
         o            blend: the new seam leaves the old one
         |\
         | \          curve: it eases away, without a corner
         |  \
         |   \        below the curve: the line that was asked for
         |    |
      ---+----+---    hem
        old  new
"""

SLIT = r"""
          |            |
          |            |
          |            |        The slit reaches up to where the leg
          |            | <--    is as wide as the foot needs.
           |          /:
           |         / :
      hem  |________/  :  outseam, open below the arrow
"""

FOLD = r"""
             \            /
              \   leg    /          The leg narrows towards its hem.
               \        /
      fold      |======|            Folded up here, the hem must lie on
               /        \           the wider leg above. So below the
              /   hem    \          fold it widens again: the mirror
             /____________\         image of the leg.
"""

PINCH = r"""
              seam
   front ======*====== back       as sewn, looking along the leg

               *
               |  p               pinched: the fold stands out by p,
   front ======+====== back       from the pins to the seam, so p comes
                                  off the front edge and p off the back
"""

SEAM = r"""
          :       |
          :       |           the stitching line is drawn; the cut line
      cut :<----->| stitching  lies outside it by the allowance
          :       |
          :_______|______
                 hem
"""

_OF_KEYS = (
    (r"wearer\.foot_(?:entry|length)", FOOT),
    (r"block\.(?:height|front|back)\..+", LEVELS),
    (r"liked\.\d+\..*width\..+", FLAT),
    (r"(?:round|fitting|pinch)\b.*", PINCH),
    (r"design\.slit\..+", SLIT),
    (r"design\.blend\..+", BLEND),
    (r"allowance\..+", SEAM),
)
_OF_STEPS = {
    "block": LEVELS, "liked": FLAT, "narrowing": TAKE_IN, "blend": BLEND, "foot": SLIT,
    "hem": FOLD, "fitting": PINCH,
}  # fmt: skip


def help_drawing(step_id: str, field_key: str | None = None) -> tuple[str, ...]:
    """Return the rows of the drawing for a question, else for its step; none where none helps."""
    of_key = (drawing for pattern, drawing in _OF_KEYS if re.fullmatch(pattern, field_key or ""))
    drawing = next(of_key, _OF_STEPS.get(step_id, ""))
    return tuple(drawing.strip("\n").split("\n")) if drawing else ()
