"""The pseudorandom generator: the same numbers from the same seed."""

from benchbell.plan.search.random import Random


def test_the_same_seed_gives_the_same_numbers_and_another_one_others():
    draws = [[Random(seed).below(1 << 30) for _ in range(1)] + [c.below(100) for _ in range(20)] for seed in (1, 1, 2)
             for c in [Random(seed)]]  # fmt: skip

    assert draws[0] == draws[1] != draws[2]


def test_seed_0_works_like_any_other():
    random = Random(0)

    assert len({random.below(1 << 30) for _ in range(50)}) > 40


def test_all_numbers_come_about_equally_often():
    random = Random(7)
    counts = [0] * 6
    for _ in range(6000):
        counts[random.below(6)] += 1

    assert min(counts) > 850  # six standard deviations below 1,000
    assert max(counts) < 1150


def test_around_goes_both_ways_and_no_further():
    random = Random(3)

    assert {random.around(2) for _ in range(200)} == {-2, -1, 0, 1, 2}
