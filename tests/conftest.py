"""Options of the whole test suite, and what the name of a test may be."""

import pytest
from hypothesis import HealthCheck, settings

# A busy machine is not a wrong answer: how long an example takes is measured in tests/speed, never judged here.
# The same examples each time, to judge a change by what it changed; --hypothesis-profile=roaming looks further.
settings.register_profile("roaming", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("unhurried", settings.get_profile("roaming"), derandomize=True)
settings.load_profile("unhurried")

LONGEST_NAME = 220
"""A longer name holds the data of its case, and perhaps the time of day: then nobody can ask for the test again."""


def pytest_addoption(parser):
    parser.addoption("--write-golden", action="store_true", help="write tests/golden anew, to be read in review")


def pytest_collection_modifyitems(items):
    long = next((item.nodeid for item in items if len(item.name) > LONGEST_NAME), None)
    if long is not None:
        raise pytest.UsageError(f"A name is longer than {LONGEST_NAME} characters: {long[:200]}… Give its cases ids.")
