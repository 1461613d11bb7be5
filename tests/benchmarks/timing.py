"""Times by thread CPU clock, candidates in turn, the best of several rounds: to be read as ratios, in one run."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

ROUNDS = 12


@dataclass(frozen=True)
class Candidate:
    """Something to be timed: `run` does `units` of work; slow ones take part in fewer rounds."""

    run: Callable[[], Any]
    units: int = 1
    rounds: int = ROUNDS


def best_of(candidates: dict[str, Candidate]) -> dict[str, float]:
    """CPU seconds a unit of each candidate, the least of its rounds; in each round all take their turn."""
    best = dict.fromkeys(candidates, float("inf"))
    for number in range(-1, ROUNDS):  # the round before the first warms caches up and is not counted
        for name, candidate in candidates.items():
            if number >= candidate.rounds or (number < 0 and candidate.rounds < ROUNDS):
                continue
            began = time.thread_time()
            candidate.run()
            spent = (time.thread_time() - began) / candidate.units
            if number >= 0:
                best[name] = min(best[name], spent)
    return best


def of_all_threads(run: Callable[[], Any], rounds: int = ROUNDS) -> tuple[float, float]:
    """CPU seconds of the whole process, and seconds on the wall's clock: the least of some rounds of each."""
    cpu = wall = float("inf")
    for _ in range(rounds):
        worked, began = time.process_time(), time.perf_counter()
        run()
        cpu, wall = min(cpu, time.process_time() - worked), min(wall, time.perf_counter() - began)
    return cpu, wall


def cpu_of_process(code: str, rounds: int = 3, cold: bool = False) -> float:
    """CPU seconds of a new Python process that runs `code`, the least of some rounds; `cold`: nothing kept compiled."""
    best = float("inf")
    for _ in range(rounds):
        with tempfile.TemporaryDirectory() as empty:
            environment = os.environ | ({"NUMBA_CACHE_DIR": empty} if cold else {})
            ending = "\nimport time; print(time.process_time())"
            done = subprocess.run(
                [sys.executable, "-c", code + ending], env=environment, check=True, capture_output=True, text=True
            )
            best = min(best, float(done.stdout.split()[-1]))
    return best
