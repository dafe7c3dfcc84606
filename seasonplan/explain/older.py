"""What is said of a plan that an older version made."""

from __future__ import annotations

OLDER = "This plan was made by an older version of seasonplan: run `seasonplan replan`."
JUDGED = (
    "This plan was made by an older version of seasonplan. Checked are the rules on blocks, days "
    "and hours, what you fixed and what you entered. Not checked are the sums of its weeks and the "
    "lengths of its sessions, which that version counted in another way. `seasonplan replan` makes "
    "a plan near it that is checked whole, `seasonplan plan --again` the best one from today on."
)
