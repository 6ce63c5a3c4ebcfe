"""With the shop's own pace, a plan that is followed stays as it is: what comes next changes only where that gains."""

import pytest
from plan.replanned import changes_without_gain


@pytest.mark.parametrize("seed", [1, 4])
def test_while_a_plan_is_followed_the_next_task_is_the_one_that_it_names(seed):
    asked, changed = changes_without_gain(seed, is_paced=True)

    assert asked > 30
    assert changed == 0
