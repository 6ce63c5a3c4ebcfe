"""Options of the whole test suite."""

from hypothesis import HealthCheck, settings

# A busy machine is not a wrong answer: how long an example takes is measured in tests/speed, never judged here.
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")


def pytest_addoption(parser):
    parser.addoption("--write-golden", action="store_true", help="write tests/golden anew, to be read in review")
