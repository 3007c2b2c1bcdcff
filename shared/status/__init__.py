"""Folds over entries: what stands, where each field is, what it needs next, what the registers say.

Each is a pure function of a set of entries (their book numbers are part of them), so that no order of
feeding and no repetition changes an answer. The server folds its book with this code, and the phone its own
copy.
"""
