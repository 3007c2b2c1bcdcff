"""The pure core that the phone and the server both use: words, rules, computations, sync, wire contract.

Nothing in here reads a clock, a disk, a network, the environment or a source of randomness.
"""
