"""What lies ahead, as values and rules: wishes, plans and what is amiss with them, growth, trends, feeding, money.

Nothing here solves or fits: that is ``server/ahead``. What it finds is checked by these rules.
"""
