#!/usr/bin/python3
"""Times 10,000 simulated years in the program and in numpy, vectorised over the draws, one after the other.

usage: bench/years.py [DESCRIPTION...]     (needs python3-numpy and a bench build: cmake --preset bench; cmake --build)

Both walk the same model with the same chance: the tables (sun, load, battery) come from the program, the draws from the
same counter. That the outcomes agree is checked before the times are compared."""

import json
import pathlib
import subprocess
import sys
import tempfile
import time

import numpy as np

root = pathlib.Path(__file__).resolve().parent.parent
program = root / "build/bench-build/bench/years"
F = np.float32


def mixed(x):
    with np.errstate(over="ignore"):
        x = x + np.uint64(0x9E3779B97F4A7C15)
        x = (x ^ (x >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        x = (x ^ (x >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
        return x ^ (x >> np.uint64(31))


class Years:
    def __init__(self, tables, draws, seed=1):
        self.t = tables
        self.draws = draws
        self.seed = np.uint64(seed)
        self.normal = np.array(tables["normal"], F)
        self.clearness = np.array(tables["clearness"], F)
        self.load, self.steady, self.air = (np.array(tables[k], F) for k in ("load", "steady", "air"))
        self.solar = [{k: np.array(v, F) if isinstance(v, list) else F(v) for k, v in s.items()} for s in tables["solar"]]
        self.bank = {k: np.array(v, F) if isinstance(v, list) else F(v) for k, v in tables["bank"].items()}
        self.drawn_from = mixed(np.arange(draws, dtype=np.uint64))
        self.file_days = [np.array(m, F) for m in tables["file_days"]]
        self.file_day = np.zeros(draws, np.int64)
        self.sky = np.zeros(draws, F)
        self.warmth = np.zeros(draws, F)

    def draw_day(self, n, day):
        t, mask = self.t, np.uint64(4095)
        r = mixed(mixed(self.seed ^ mixed(np.uint64(n))) ^ self.drawn_from)
        use = np.maximum(F(0.3), F(1) + F(t["use_sd"]) * self.normal[(r >> np.uint64(12)) & mask])
        days = self.file_days[t["month"][day]]
        if len(days):
            first = day == 0 or t["month"][day] != t["month"][day - 1]
            new_run = 4096 if first else int(F(4096) / F(t["run_days"]))
            anywhere = ((r >> np.uint64(48)) * np.uint64(len(days)) >> np.uint64(16)).astype(np.int64)
            following = np.where(self.file_day + 1 < len(days), self.file_day + 1, 0)
            self.file_day = np.where((r >> np.uint64(36)) & mask < new_run, anywhere, following)
            today = days[self.file_day]
            return today[:, 0], today[:, 1], use, today[:, 2]
        memory, warm = F(t["sky_memory"]), F(t["warmth_memory"])
        self.sky = memory * self.sky + np.sqrt(F(1) - memory * memory) * self.normal[r & mask]
        self.warmth = warm * self.warmth + np.sqrt(F(1) - warm * warm) * self.normal[(r >> np.uint64(24)) & mask]
        steps = self.clearness.shape[1] - 1
        place = np.clip((self.sky + F(4)) * F(steps / 8), F(0), F(steps - 0.001))
        i = place.astype(np.int32)
        table = self.clearness[t["month"][day]]
        k = table[i] + (place - i.astype(F)) * (table[i + 1] - table[i])
        if t["sunset_81"][day]:
            m = np.minimum(k, F(0.715))
            diffuse = np.maximum(F(0.143), F(1) + m * (F(-0.2727) + m * (F(2.4495) + m * (F(-11.9514) + m * F(9.3879)))))
        else:
            m = np.minimum(k, F(0.722))
            diffuse = np.maximum(F(0.175), F(1) + m * (F(0.2832) + m * (F(-2.5557) + m * F(0.8448))))
        return k, diffuse, use, F(t["warmth_sd"]) * self.warmth

    def walk(self):
        t, b, n = self.t, self.bank, self.draws
        q1 = np.full(n, b["well"] * b["capacity"], F)
        q0 = np.full(n, b["capacity"], F)
        per_capacity = F(1) / b["capacity"]
        share = b["well"] * (F(1) - b["keep"])
        room_most = b["well"] * b["capacity"]
        per_pull = F(1) / b["pull"]
        per_climb = F(1) / (F(1) - b["loss_onset"] + F(1e-6))
        dry = np.zeros((12, n), F)
        unserved, wasted = np.zeros((12, n), F), np.zeros((12, n), F)
        lowest, moved = np.ones((12, n), F), np.zeros(n, F)
        for d in range(365):
            day = (t["first_day"] + d) % 365
            clearness, diffuse, use, warmer = self.draw_day(d, day)
            m = t["month"][day]
            for h in range(day * 24, day * 24 + 24):
                wanted = self.load[h] * use - self.steady[h]
                for s in self.solar:
                    if s["a"][h] == 0 and s["b"][h] == 0:
                        continue
                    g = np.maximum(F(0), clearness * (s["a"][h] + diffuse * s["b"][h]))
                    wanted -= np.clip(g * (s["p0"] + s["p1"] * self.air[h] + s["p1"] * warmer + s["p2"] * g), F(0), s["most"])
                z = q0 * per_capacity
                temperature = np.maximum(F(t["coldest"]), self.air[h] + warmer)
                cold = np.maximum(F(0), F(25) - temperature)
                volt_open = np.full(n, b["volt0"], F)
                for first, width, slope in zip(b["from"], b["width"], b["slope"]):
                    volt_open += slope * np.clip(z - first, F(0), width)
                resistance = b["resistance"] * (F(1) + b["colder"] * cold)
                volt = np.maximum(F(0.7) * volt_open, volt_open - resistance * (wanted / volt_open))
                amperes = wanted / volt
                ready = b["keep"] * q1 + share * q0
                stays = np.maximum(b["floor"], b["capacity"] * b["fade_in_cold"] * cold)
                give = np.clip(np.minimum(q0 - stays, ready * per_pull), F(0), b["most_discharge"])
                by_volt = (b["volt_full"] - volt_open) / resistance
                by_room = (room_most - ready) * per_pull
                warm = np.where(temperature > b["charge_from"], b["most_charge"], F(0))
                take = np.maximum(F(0), np.minimum(np.minimum(by_volt, by_room), np.minimum(warm, b["capacity"] - q0)))
                current = np.clip(amperes, -take, give)
                short = np.maximum(F(0), amperes - current)
                climb = np.clip((z - b["loss_onset"]) * per_climb, F(0), F(1))
                kept = F(1) - b["loss"] * (b["loss_floor"] + (F(1) - b["loss_floor"]) * climb)
                drawn = np.maximum(current, F(0))
                out = drawn + np.minimum(current, F(0)) * kept + b["self"]
                q0 = np.clip(q0 - out, F(0), b["capacity"])
                q1 = np.clip(ready - out * b["pull"], F(0), room_most)
                unserved[m] += short * volt
                dry[m] += np.minimum(F(1), short * F(1e3))
                wasted[m] += np.maximum(F(0), current - amperes) * volt
                np.minimum(lowest[m], q0 * per_capacity, out=lowest[m])
                moved += drawn
        return [float((dry[m] > 0).mean()) for m in range(12)]


def compare(description):
    with tempfile.NamedTemporaryFile(suffix=".json") as file:
        ours = json.loads(subprocess.run([program, description, file.name], check=True, capture_output=True, text=True).stdout)
        tables = json.load(open(file.name))
    years = Years(tables, ours["years"])
    start, busy_from = time.perf_counter(), time.process_time()
    theirs = years.walk()
    seconds, busy = time.perf_counter() - start, time.process_time() - busy_from
    apart = max(abs(a - b) for a, b in zip(ours["runs_dry"], theirs))
    ours_busy = ours["processor_seconds"]
    print(f"{pathlib.Path(description).stem:<18}{ours['years']:>7}{ours['seconds']:>9.3f} s{seconds:>8.2f} s"
          f"{seconds / ours['seconds']:>6.0f} x{ours_busy:>10.3f} s{busy:>8.2f} s{busy / ours_busy:>6.0f} x{apart:>10.4f}")
    return apart < 0.01


if __name__ == "__main__":
    descriptions = sys.argv[1:] or sorted(str(p) for p in (root / "examples").glob("*.toml"))
    print(f"{'':<25}{'-- time on the clock --':^29}{'-- processor time --':^30}{'dry share':>10}")
    print(f"{'':<18}{'years':>7}{'program':>11}{'numpy':>10}{'ratio':>8}{'program':>12}{'numpy':>10}{'ratio':>8}{'apart':>10}")
    sys.exit(0 if all([compare(d) for d in descriptions]) else 1)
