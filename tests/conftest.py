"""Options of the whole test suite."""


def pytest_addoption(parser):
    parser.addoption("--write-golden", action="store_true", help="write tests/golden anew, to be read in review")
