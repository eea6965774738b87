"""The one command that checks everything: lint, format, types, tests. CI runs just this."""

import subprocess
import sys

CHECKS = (
    ("lint", ["ruff", "check", "."]),
    ("format", ["ruff", "format", "--check", "."]),
    ("types", ["mypy"]),
    ("tests", ["pytest", "-n", "auto", "--dist", "worksteal"]),
)


def main() -> int:
    """Run every check even when an earlier one failed; return 1 if any did."""
    failed = []
    for name, command in CHECKS:
        print(f"== {name}: {' '.join(command)}", flush=True)
        arguments = sys.argv[1:] if name == "tests" else []
        if subprocess.run([sys.executable, "-m", *command, *arguments], check=False).returncode:
            failed.append(name)
    print(f"failed: {', '.join(failed)}" if failed else "all checks passed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
