"""What a printed plan calls builds, operations and setups."""

from collections.abc import Iterable, Sequence

from benchbell.plan.report.messages import PlannedTask
from benchbell.plan.tasks.task import OpenBuild


class Names:
    """What builds, operations and setups are called."""

    def __init__(self, builds: Sequence[OpenBuild]) -> None:
        self.builds = {build.id: build.name for build in builds}
        self.operations = {(build.id, op.id): op for build in builds for op in build.sheet.operations}
        self.pieces = {build.id: len(build.sheet.pieces) for build in builds}
        self.setups = {(build.id, setup.id): setup.title for build in builds for setup in build.sheet.setups}

    def build(self, id: str) -> str:
        """The build's name."""
        return self.builds[id]

    def setup(self, step: PlannedTask) -> str:
        """The title of the setup that a step needs."""
        return self.setups[step.build, step.setup]

    def listed(self, build: str, operations: Iterable[str]) -> str:
        """The titles of a build's operations, each once with its pieces: "Rip, A, B; Glue, A"; "" for none."""
        pieces: dict[str, list[str]] = {}
        for id in filter(None, operations):
            op = self.operations[build, id]
            pieces.setdefault(op.title, []).extend([op.piece] if op.piece and self.pieces[build] > 1 else [])
        return "; ".join(", ".join((title, *of)) for title, of in pieces.items())

    def listed_by_build(self, operations: Iterable[tuple[str, str]]) -> str:
        """The same for operations of several builds, each build by its name where there is more than one."""
        of_build: dict[str, list[str]] = {}
        for build, operation in operations:
            of_build.setdefault(build, []).append(operation)
        several = len(self.builds) > 1
        return ". ".join(
            f"{self.build(build)}: {self.listed(build, ids)}" if several else self.listed(build, ids)
            for build, ids in of_build.items()
        )
