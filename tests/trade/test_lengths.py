from benchbell.trade.lengths import in_both


def test_lengths_are_told_in_both_units():
    # By hand: 90 / 25.4 = 3.543, 300 / 25.4 = 11.81, 50 / 25.4 = 1.969.
    assert in_both(90) == "90 mm (3.54 in)"
    assert in_both(300, 50) == "300 × 50 mm (11.8 × 1.97 in)"
    assert in_both(69.99999) == "70 mm (2.76 in)"
