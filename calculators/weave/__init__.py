from calculators.weave import kinds as kinds  # enters the kinds of field of this room
