"""What goes with good results, over machines made up for it."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np

from trialpress.analyses.associations import associations
from trialpress.analyses.claims import StatedClaim
from trialpress.analyses.codes import Why
from trialpress.analyses.machines import MachineValue
from trialpress.analyses.makers import makers_against_field
from trialpress.analyses.records import AssociationGroupRow, AssociationRow
from trialpress.analyses.working import looks_at
from trialpress.cache import Cache, keeping

PLAIN = MachineValue(
    protocol="rug",
    version=1,
    machine="one",
    maker="a",
    value=0.0,
    kind="stick",
    head="roller",
    mop=None,
    price=None,
    price_band=None,
    price_band_from=None,
    released_year=None,
    higher_is_better=True,
    unit="%",
    decimals=1,
)
NO_CLAIMS: list[StatedClaim] = []


def factor_of(machines: list[MachineValue], name: str) -> AssociationRow:
    rows, _, _ = looks_at([machines], NO_CLAIMS, 0.95)
    return next(row for row in rows if row.factor == name)


def groups_of(machines: list[MachineValue], name: str) -> list[AssociationGroupRow]:
    _, groups, _ = looks_at([machines], NO_CLAIMS, 0.95)
    return [row for row in groups if row.factor == name]


def dearer_kinds_do_worse(slope: float) -> list[MachineValue]:
    """Ten makers with a machine of each of three kinds; within a kind the price counts ``slope``.

    The dearer the kind the lower its level; prices within a kind vary from maker to maker.
    """
    return [
        replace(
            PLAIN,
            machine=f"{maker}-{kind}",
            maker=maker,
            kind=kind,
            price=1000.0 * number + 10 * own,
            value=-50.0 * number + slope * own + (7 * own * number % 5) / 4,
        )
        for (own, maker), (number, kind) in product(
            enumerate("abcdefghij"), enumerate(("robot", "stick", "upright"))
        )
    ]


def test_a_reversal_within_kinds_is_told_beside_what_all_kinds_say() -> None:
    row = factor_of(dearer_kinds_do_worse(1.0), "price")

    assert row.effect is not None
    assert row.raw_effect is not None
    assert row.effect > 0.9
    assert row.raw_effect < -0.5
    assert row.differs_from_raw
    assert (row.relation, row.machines, row.makers) == ("goes with", 30, 10)


def test_what_only_kinds_have_in_common_goes_with_nothing() -> None:
    row = factor_of(dearer_kinds_do_worse(0.0), "price")

    assert row.relation == "cannot tell"
    assert row.raw_p is not None
    assert row.raw_p < 0.05  # over all kinds it looks like something
    assert row.differs_from_raw


def test_a_group_that_one_maker_supplies_alone_is_not_told() -> None:
    machines = [
        replace(
            PLAIN,
            machine=f"m{i}",
            maker="a" if i < 10 else "bcdefghij"[i % 9],
            head="turbine" if i < 10 else "roller",
            value=90.0 + i / 10 if i < 10 else 50 + i / 10,
        )
        for i in range(40)
    ]

    row = factor_of(machines, "head")
    turbine = next(one for one in groups_of(machines, "head") if one.level == "turbine")

    assert (row.relation, row.why) == ("cannot tell", Why.ONE_MAKER_DECIDES)
    assert (turbine.relation, turbine.why, turbine.only_maker) == (
        "cannot tell",
        Why.ONE_MAKER_DECIDES,
        "a",
    )
    assert turbine.warning == "one-maker|one-kind"
    assert turbine.shift == 38.0  # 90.45 less 52.45


def test_a_group_of_many_makers_is_told_with_its_factor() -> None:
    machines = [
        replace(PLAIN, machine=f"{maker}{head}", maker=maker, head=head, value=level + own / 10)
        for (own, maker), (head, level) in product(
            enumerate("abcdefghijkl"), (("turbine", 90.0), ("roller", 50.0))
        )
    ]

    row = factor_of(machines, "head")
    relations = {one.level: one.relation for one in groups_of(machines, "head")}

    assert (row.relation, row.why) == ("goes with", Why.SHARE_WITHOUT_INTERVAL)
    assert relations == {"turbine": "better", "roller": "worse"}


def test_lower_can_be_better() -> None:
    machines = [
        replace(
            PLAIN, machine=f"{maker}{head}", maker=maker, head=head, value=level + own / 10,
            higher_is_better=False,
        )
        for (own, maker), (head, level) in product(
            enumerate("abcdefghijkl"), (("turbine", 90.0), ("roller", 50.0))
        )
    ]  # fmt: skip

    relations = {one.level: one.relation for one in groups_of(machines, "head")}

    assert relations == {"turbine": "worse", "roller": "better"}


def test_where_each_kind_has_a_head_of_its_own_nothing_is_compared() -> None:
    machines = [
        replace(PLAIN, machine=f"{maker}{kind}", maker=maker, kind=kind, head=head, value=value)
        for maker, (kind, head, value) in product(
            "abcdefgh", (("robot", "roller", 50.0), ("stick", "bristles", 80.0))
        )
    ]

    row = factor_of(machines, "head")
    group, _ = groups_of(machines, "head")

    assert (row.relation, row.effect, row.why) == ("cannot tell", None, Why.SAME_WITHIN_KINDS)
    assert row.differs_from_raw
    assert (group.others, group.shift, group.why) == (0, None, Why.NO_OTHER_OF_ITS_KINDS)
    assert group.raw_shift == 30.0  # bristles come first


def test_few_machines_are_not_asked() -> None:
    rows, _ = associations([replace(PLAIN, machine=f"m{i}", value=i) for i in range(4)], 0.95)

    assert {row.why for row in rows} == {Why.TOO_FEW_MACHINES}
    assert {row.p for row in rows} == {None}


def test_more_looks_make_each_harder_to_tell() -> None:
    one_series = dearer_kinds_do_worse(0.3)
    draws = np.random.default_rng(20310308)
    noise = [
        [replace(row, protocol=f"p{i}", value=float(draws.normal())) for row in one_series]
        for i in range(12)
    ]

    with keeping(Cache()):
        alone = looks_at([one_series], NO_CLAIMS, 0.95)[0]
        assert looks_at([one_series], NO_CLAIMS, 0.95)[0] == alone  # as it was kept
        assert looks_at([one_series], NO_CLAIMS, 0.8)[0] != alone
    among = looks_at([one_series, *noise], NO_CLAIMS, 0.95)[0][: len(alone)]

    pairs = [(a.p_fdr, b.p_fdr) for a, b in zip(alone, among, strict=True) if a.p is not None]
    assert pairs
    assert all(b is not None and a is not None and b >= a for a, b in pairs)
    assert [row.p for row in alone] == [row.p for row in among]


def test_a_maker_is_compared_with_others_of_its_kinds() -> None:
    # Maker z makes robots alone, which all do worse than sticks; among robots it is the best.
    robots = [
        replace(PLAIN, machine=f"r{i}", maker="z" if i < 6 else "y", kind="robot", value=60.0 - i)
        for i in range(12)
    ]
    sticks = [replace(PLAIN, machine=f"s{i}", maker="x", value=90.0 + i) for i in range(12)]

    rows = {row.maker: row for row in makers_against_field([*robots, *sticks], {}, 0.95)}

    # Two of the 924 ways of picking six robots of twelve are as far apart; two makers are tested.
    assert (rows["z"].p, rows["z"].p_holm) == (round(2 / 924, 4), round(4 / 924, 4))
    assert (rows["z"].relation, rows["z"].others, rows["z"].shift) == ("better", 6, 6.0)
    assert rows["z"].raw_shift is not None
    assert rows["z"].raw_shift < 0
    assert rows["z"].differs_from_raw
    assert (rows["x"].relation, rows["x"].why) == ("cannot tell", Why.NO_OTHER_OF_ITS_KINDS)
