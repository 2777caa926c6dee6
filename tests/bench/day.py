"""The benchmark's day in Python, twice: with an event heap by hand and, if it is installed, with SimPy.

The day: 120 quarts pass wash, slice, cook, strain and fill, where helpers take one quart each; then
two canners that take seven and run for 25 minutes (less than seven only when no more can come); then
they cool for 30 minutes. A service takes its station's minutes over its helper's speed, times an
Erlang-4 number of mean 1.

usage: python3 day.py SECONDS     prints one JSON object: per engine, days for each second of
process time and the mean finish.
"""

import heapq
import json
import random
import sys
import time
from collections import deque

QUARTS = 120
MINUTES = (0.8, 1.6, 1.35, 1.0, 1.2)
STAFF = (((0, 1.0),), ((1, 1.0), (2, 0.6)), ((3, 0.9),), ((4, 0.8),), ((5, 1.0),))
CANNERS, FITS, PROCESS, COOLING = 2, 7, 25.0, 30.0


def chances(seed):
    """One multiplier for each quart at each station, drawn up front like a careful study would."""
    draw = random.Random(seed).gammavariate
    return [[draw(4, 0.25) for _ in range(QUARTS)] for _ in MINUTES]


class HeapDay:
    """Event by event: a heap of (minute, order, station, helper)."""

    def __init__(self, factors):
        self.factors = factors
        self.free = [list(staff) for staff in STAFF]
        self.waiting = [QUARTS, 0, 0, 0, 0]
        self.begun = [0] * len(MINUTES)
        self.filled = self.loaded = 0
        self.free_canners = CANNERS
        self.heap = []
        self.order = 0

    def at(self, minute, station, helper):
        self.order += 1
        heapq.heappush(self.heap, (minute, self.order, station, helper))

    def work(self, station, now):
        free = self.free[station]
        while free and self.waiting[station]:
            helper = heapq.heappop(free)
            self.waiting[station] -= 1
            factor = self.factors[station][self.begun[station]]
            self.begun[station] += 1
            self.at(now + MINUTES[station] / helper[1] * factor, station, helper)

    def load(self, now):
        while self.free_canners:
            ready = self.filled - self.loaded
            if ready < FITS and (self.filled < QUARTS or not ready):
                return
            self.loaded += min(ready, FITS)
            self.free_canners -= 1
            self.at(now + PROCESS, -1, None)

    def finish(self):
        self.work(0, 0.0)
        end = 0.0
        while self.heap:
            now, _, station, helper = heapq.heappop(self.heap)
            if station < 0:
                self.free_canners += 1
                end = now
                self.load(now)
                continue
            heapq.heappush(self.free[station], helper)
            if station + 1 < len(MINUTES):
                self.waiting[station + 1] += 1
                self.work(station + 1, now)
            else:
                self.filled += 1
                self.load(now)
            self.work(station, now)
        return end + COOLING


def simpy_finish(simpy, factors):
    """The same day as processes."""
    world = simpy.Environment()
    staff = [simpy.PriorityStore(world) for _ in MINUTES]
    for store, helpers in zip(staff, STAFF):
        for helper in helpers:
            store.put(helper)
    begun = [0] * len(MINUTES)
    jars = {"waiting": 0, "filled": 0, "free": CANNERS}
    end = [0.0]

    def run():
        yield world.timeout(PROCESS)
        jars["free"] += 1
        load()
        yield world.timeout(COOLING)
        end[0] = world.now

    def load():
        while jars["free"] and jars["waiting"]:
            if jars["waiting"] < FITS and jars["filled"] < QUARTS:
                return
            jars["waiting"] -= min(FITS, jars["waiting"])
            jars["free"] -= 1
            world.process(run())

    def quart():
        for station, minutes in enumerate(MINUTES):
            helper = yield staff[station].get()
            factor = factors[station][begun[station]]
            begun[station] += 1
            yield world.timeout(minutes / helper[1] * factor)
            staff[station].put(helper)
        jars["waiting"] += 1
        jars["filled"] += 1
        load()

    for _ in range(QUARTS):
        world.process(quart())
    world.run()
    return end[0]


def measure(finish, seconds):
    finish(0)
    days, total, start = 0, 0.0, time.process_time()
    while time.process_time() - start < seconds:
        days += 1
        total += finish(days)
    spent = time.process_time() - start
    return {"days_per_cpu_s": days / spent, "mean": total / days}


def main():
    seconds = float(sys.argv[1])
    found = {"heap": measure(lambda seed: HeapDay(chances(seed)).finish(), seconds)}
    try:
        import simpy
    except ImportError:
        simpy = None
    if simpy:
        for seed in range(20):
            by_heap = HeapDay(chances(seed)).finish()
            by_processes = simpy_finish(simpy, chances(seed))
            if abs(by_heap - by_processes) > 1e-9:
                sys.exit(f"the two engines differ on day {seed}: {by_heap}, {by_processes}")
        found["simpy"] = measure(lambda seed: simpy_finish(simpy, chances(seed)), seconds)
        found["simpy"]["version"] = simpy.__version__
    print(json.dumps(found))


if __name__ == "__main__":
    main()
