"""The worked example: six cotton napkins of the invented Wendlewater guild."""

from calculators.plan.plan import Project
from calculators.quantities.interval import Range
from calculators.weave.library import weave
from calculators.yarn.yarn import parse_yarn

NAPKINS = Project(
    finished_width=48,
    finished_length=48,
    pieces=6,
    warp_yarn=parse_yarn("30/2", "cotton"),
    weft_yarn=parse_yarn("30/2", "cotton"),
    weave=weave("satin_5"),
    sett=24,
    picks=None,
    ends_per_unit=5,
    picks_per_unit=5,
    hem=4,
    gap=1,
    sample=30,
    loom_waste=140,
    turn_share=0.02,
    turn_length=0,
    selvedge_ends=8,
    width_shrinkage=Range.exactly(0.05),
    length_shrinkage=Range.exactly(0.08),
    draw_in=Range.exactly(0.04),
    take_up=Range.exactly(0.06),
    threads_in_hand=2,
    bout_ends=100,
    circumference=200,
    ground_shafts=5,
    weight_each=25,
    temple_step=2.5,
    advance_step=5,
    picks_per_minute=8,
    picks_per_pirn=120,
)
