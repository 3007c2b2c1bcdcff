"""An invented farm and its season, generated from a seed number, and what must come out of it.

Nobody in it is real, and no place in it is real by name. Its coordinates lie in open country and mean
nothing.
"""
