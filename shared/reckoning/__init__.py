"""The reckoner: the computations of the job. A module a subject; each holds its functions, their inputs and its part of
the table of them all.

The table stands in ``shared.reckoning.table``: whoever needs one subject brings in no other.
"""
