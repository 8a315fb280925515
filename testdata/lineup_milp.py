"""Write small seat-order problems as mixed-integer programs, solve them with CBC
and print the squads with the optima found as JSON.

One variable for each crew carries its exact pace, so that nothing is
approximated; products of two seats are variables of their own, bounded from both
sides. Usage: python3 lineup_milp.py > lineup_milp.json
"""
import itertools
import json
import random
import subprocess
import tempfile

NODES = 101
ARC = (-55.0, 34.0)  # degrees
SPACING = 1.4  # m


def mean(values):
    return sum((a + b) / 2 for a, b in zip(values, values[1:])) / (len(values) - 1)


def shape(athlete):
    grid = [k / 100 for k in range(NODES)]
    force = [x ** athlete["rise"] * (1 - x) ** athlete["fall"] for x in grid]
    area = mean(force)
    return [f / area for f in force]


def closeness(sides, s, t):
    if not sides:
        return 1.0 if t == s + 1 else 0.1
    if sides[s] == sides[t]:
        return 1.0 if sides[s] not in sides[s + 1:t] else 0.1
    return 0.5 if t == s + 1 else 0.1


def costs(p):
    """Unary costs [seat][athlete], pair costs {(s, i, t, j)} and pace by crew."""
    import math
    people, seats = p["athletes"], p["seats"]
    shapes = [shape(a) for a in people]
    n = len(people)
    unlike = [[mean([abs(f - g) / 2 for f, g in zip(shapes[i], shapes[j])]) for j in range(n)] for i in range(n)]
    square = [math.sin(math.radians(ARC[0] + (ARC[1] - ARC[0]) * k / 100)) ** 2 for k in range(NODES)]
    average = [sum(s[k] for s in shapes) / n for k in range(NODES)]
    power = sum(a["power"] for a in people) / n
    arm = [(s - (seats - 1) / 2) * SPACING for s in range(seats)]
    sides = p["sides"]
    sign = {"S": 1, "P": -1}
    usual = sum(arm[s] * (1 if s % 2 == 0 else -1) for s in range(seats))
    unit = p["yaw"] / (usual ** 2 * mean([a * a * w for a, w in zip(average, square)])) if sides else 0
    total = sum(closeness(sides, s, t) for s in range(seats) for t in range(s + 1, seats))

    def turn(i, j):
        overlap = mean([f * g * w for f, g, w in zip(shapes[i], shapes[j], square)])
        return unit * overlap * people[i]["power"] * people[j]["power"] / power ** 2

    lever = [sign[sides[s]] * arm[s] for s in range(seats)] if sides else [0] * seats
    unary = [[lever[s] ** 2 * turn(i, i) + (people[i]["cost"].get(sides[s]) if sides and sides[s] in people[i]["cost"] else 0)
              if not sides or sides[s] in people[i]["cost"] else None for i in range(n)] for s in range(seats)]
    pair = {}
    for s, t in itertools.combinations(range(seats), 2):
        for i, j in itertools.permutations(range(n), 2):
            pair[s, i, t, j] = p["likeness"] * closeness(sides, s, t) / total * unlike[i][j] + 2 * lever[s] * lever[t] * turn(i, j)
    pace = {}
    for crew in itertools.combinations(range(n), seats):
        watts, mass = sum(people[i]["power"] for i in crew), sum(people[i]["mass"] for i in crew) + p["fixed_mass"]
        drag = p["drag"] * (mass / p["reference_mass"]) ** 0.5
        pace[crew] = 2000 / (p["efficiency"] * watts / drag) ** (1 / 3)
    return unary, pair, pace


def program(p):
    unary, pair, pace = costs(p)
    seats, n = p["seats"], len(p["athletes"])
    least = min(pace.values())
    free = [(s, i) for s in range(seats) for i in range(n) if unary[s][i] is not None]
    crews = list(pace)
    objective, rows, names = [], [], []
    for s, i in free:
        objective.append(f"{unary[s][i]:+.15g} x{s}_{i}")
        names.append(f"x{s}_{i}")
    for k, crew in enumerate(crews):
        objective.append(f"{pace[crew] - least:+.15g} z{k}")
        names.append(f"z{k}")
    for (s, i, t, j), c in pair.items():
        if unary[s][i] is None or unary[t][j] is None:
            continue
        y = f"y{s}_{i}_{t}_{j}"
        objective.append(f"{c:+.15g} {y}")
        rows += [f"{y} - x{s}_{i} <= 0", f"{y} - x{t}_{j} <= 0", f"{y} - x{s}_{i} - x{t}_{j} >= -1"]
    for s in range(seats):
        rows.append(" + ".join(f"x{a}_{i}" for a, i in free if a == s) + " = 1")
    for s, t in itertools.combinations(range(seats), 2):
        for i in range(n):
            if unary[s][i] is None:
                continue
            others = [f"y{s}_{i}_{t}_{j}" for j in range(n) if j != i and unary[t][j] is not None]
            rows.append(" + ".join(others) + f" - x{s}_{i} = 0")
    rows.append(" + ".join(f"z{k}" for k in range(len(crews))) + " = 1")
    for i in range(n):
        rowing = [f"x{s}_{a}" for s, a in free if a == i]
        rows.append(" + ".join(rowing) + "".join(f" - z{k}" for k, crew in enumerate(crews) if i in crew) + " = 0")
    text = "Minimize\n cost: " + "\n ".join(objective) + "\nSubject To\n " + "\n ".join(f"r{k}: {r}" for k, r in enumerate(rows))
    return text + "\nBinaries\n " + "\n ".join(names) + "\nEnd\n", least


def solve(p):
    text, least = program(p)
    with tempfile.TemporaryDirectory() as folder:
        with open(folder + "/m.lp", "w") as f:
            f.write(text)
        subprocess.run(["cbc", folder + "/m.lp", "ratioGap", "0", "allowableGap", "1e-10", "solve", "solution", folder + "/m.txt"],
                       check=True, stdout=subprocess.DEVNULL)
        lines = open(folder + "/m.txt").read().splitlines()
    assert lines[0].startswith("Optimal"), lines[0]
    seated = sorted((int(s), int(i)) for s, i in
                    (w.split()[1][1:].split("_") for w in lines[1:] if w.split()[1][0] == "x" and float(w.split()[2]) > 0.5))
    return float(lines[0].split()[-1]) + least, [p["athletes"][i]["id"] for _, i in seated]


def squad(seed, seats, n, sides, likeness, yaw):
    r = random.Random(seed)
    people = []
    for i in range(n):
        cost = {"P": round(r.random(), 3), "S": round(r.random(), 3)}
        if r.random() < 0.4:
            del cost[r.choice("PS")]
        people.append({"id": f"a{i}", "power": round(400 + 25 * r.gauss(0, 1), 1), "mass": round(85 + 7 * r.gauss(0, 1), 1),
                       "rise": round(max(0.4, 1 + 0.25 * r.gauss(0, 1)), 3), "fall": round(max(0.4, 1 + 0.25 * r.gauss(0, 1)), 3), "cost": cost})
    return {"seats": seats, "sides": sides, "likeness": likeness, "yaw": yaw, "fixed_mass": 20.0 * seats, "reference_mass": 105.0 * seats,
            "drag": 7.9, "efficiency": 0.742, "athletes": people}


if __name__ == "__main__":
    out = []
    for seed, (seats, n, sides, likeness, yaw) in enumerate([
            (4, 6, "SPSP", 5, 0.5), (4, 7, "SPPS", 5, 0.5), (4, 7, "SPSP", 25, 5), (4, 7, "", 5, 0), (4, 8, "", 25, 0),
            (2, 8, "SP", 5, 0.5), (2, 9, "", 25, 0), (4, 7, "PSPS", 0, 5), (4, 7, "SPSP", 100, 0), (4, 8, "SPPS", 10, 1)]):
        p = squad(seed, seats, n, sides, likeness, yaw)
        p["optimum"], p["best"] = solve(p)
        out.append(p)
    print(json.dumps(out, indent=1))
