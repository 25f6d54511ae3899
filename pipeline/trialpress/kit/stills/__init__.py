"""The kinds of stills, a module each: what is drawn where, and what says it in words.

In:  rows of the view, already decided and rounded.
Out: a ``Still`` each, by ``standing_still``, ``runs_still``, ``pair_still``, ``claim_still``,
     ``value_still`` and ``maker_still``.
"""
