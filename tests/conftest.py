"""Options of the whole test suite."""

from hypothesis import HealthCheck, settings

# A busy machine is not a wrong answer: how long an example takes is measured in tests/speed, never judged here.
# The same examples each time, to judge a change by what it changed; --hypothesis-profile=roaming looks further.
settings.register_profile("roaming", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("unhurried", settings.get_profile("roaming"), derandomize=True)
settings.load_profile("unhurried")


def pytest_addoption(parser):
    parser.addoption("--write-golden", action="store_true", help="write tests/golden anew, to be read in review")
