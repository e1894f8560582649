"""The programme by an independent forward pass: hours, waits and order of tasks from config/ and the owner's view, days by
Python's datetime. One crew; it takes the task that may begin first, of several the first of the list; waits overlap work;
a day carries what the weather leaves of it; no round begins on a free day or in a month that frost forbids."""
import collections
import datetime
import math
import os

import costs
from program import CONFIG, config_file, read_json

NEARLY = 1e-9
START = datetime.date(1970, 1, 1)


def day_of(number):
    return START + datetime.timedelta(days=number)


def number_of(text):
    return (datetime.date.fromisoformat(text) - START).days


def month_of(number):
    return day_of(number).month


class Region:
    def __init__(self, name):
        document = read_json(os.path.join(CONFIG, "regions", name, "region.json"))
        self.works, self.lost, self.frost = document["works"], document["weather_lost"], document["frost"]
        self.holidays = {number_of(text) for text in document["holidays"]}

    def capacity(self, day):
        if not self.works[day_of(day).weekday()] or day in self.holidays:
            return 0.0
        return 1 - self.lost[month_of(day) - 1]

    def first_allowed(self, moment, months):
        """First moment from this one on that is on a working day and outside the months."""
        day = math.floor(moment)
        while self.capacity(day) == 0 or month_of(day) in months:
            day += 1
            moment = day
        return moment

    def after_work(self, moment, work_days):
        day = math.floor(moment)
        used = moment - day
        while True:
            capacity = self.capacity(day)
            if work_days <= capacity * (1 - used):
                return day + used + (work_days / capacity if capacity else 0)
            work_days -= capacity * (1 - used)
            day, used = day + 1, 0.0


class Undisturbed:
    """Working days spread evenly over the week, no holidays, no weather."""

    def __init__(self, region):
        self.stretch = 7 / sum(region.works)

    def first_allowed(self, moment, months):
        return moment

    def after_work(self, moment, work_days):
        return moment + work_days * self.stretch


class Work:
    """What one task holds."""

    def __init__(self):
        self.hours = self.crew_days = self.between = self.wait = 0.0
        self.rounds = 1
        self.months, self.fills, self.active = set(), False, False


TASKS = {task["id"]: task for task in config_file("tasks.json")["tasks"]}
BUILD_UPS = costs.build_ups()


def in_order():
    """Tasks so that each follows earlier ones only; of those that could come next the first of the file."""
    left, order = list(TASKS), []
    while left:
        task = next(task for task in left if all(other in order for other in TASKS[task]["follows"]))
        order.append(task)
        left.remove(task)
    return order


ORDER = in_order()


def layer_of(shell, build_up):
    if shell is None:
        return None
    for layer in config_file("shells", shell + ".json")["layers"]:
        if layer.get("build_up") == build_up["id"] or "choose" in layer and layer["choose"] == build_up.get("choose"):
            return layer
    return None


class Pass:
    def __init__(self, answer):
        self.answer = answer
        self.edition = read_json(os.path.join(CONFIG, "regions", answer["region"], answer["edition"] + ".json"))
        self.region = Region(answer["region"])
        self.crew = self.edition["crew"]["people"]
        self.crew_day = self.crew * self.edition["crew"]["productive_h"]
        self.work = collections.defaultdict(Work)
        self.gather()
        self.follows = self.links()

    def gather(self):
        takeoff = self.answer["takeoff"]
        for line in self.answer["costing"]["lines"]:
            build_up = BUILD_UPS.get(line["build_up"])
            if build_up is None:
                continue
            layer = layer_of(self.answer.get("shell"), build_up)
            work, hours = self.work[build_up["task"]], sum(line["hours"].values())
            people = min(self.crew, build_up.get("crew_most", self.crew))
            work.active = True
            work.hours += hours
            work.crew_days += hours / (people * self.edition["crew"]["productive_h"])
            rounds = layer.get("coats", 1) if layer else max(1, math.floor(takeoff.get(build_up["rounds"], 0))) if "rounds" in build_up else 1
            work.rounds = max(work.rounds, rounds)
            own = layer or {}
            work.between = max(work.between, own.get("between_days", build_up.get("between_days", 0)))
            work.wait = max(work.wait, own.get("wait_days", build_up.get("wait_days", 0)))
            if "wait_hours" in build_up:
                work.wait = max(work.wait, takeoff[build_up["wait_hours"]] / 24)
            work.months |= set(self.region.frost[build_up["frost"]]) if "frost" in build_up else set()
            work.fills |= build_up["measured_by"] == "fill_m3"

    def takes_part(self, task):
        return self.work[task].active and not TASKS[task].get("after_handover")

    def links(self):
        """Tasks for which nothing is done are replaced by what those follow."""
        follows = {}
        for task in ORDER:
            follows[task] = set()
            for other in TASKS[task]["follows"]:
                follows[task] |= {other} if self.takes_part(other) else follows[other]
        return follows

    def run(self, clock, start):
        """[(task, began, ended)] of every round, and when the crew is done."""
        now, finish, rounds = start, {}, {task: 0 for task in ORDER if self.takes_part(task)}
        ready, log, idle = {}, [], 0.0
        while rounds:
            best = None
            for task in rounds:
                if any(other not in finish for other in self.follows[task]):
                    continue
                if rounds[task] == 0:
                    ready[task] = max([finish[other] for other in self.follows[task]], default=0)
                moment = max(now, ready[task])
                if isinstance(clock, Region) and self.work[task].months:
                    moment = self.out_of_frost(moment, self.work[task].months)
                if best is None or moment < best[0]:
                    best = (moment, task)
            moment, task = best
            work = self.work[task]
            idle = moment - now
            began = clock.first_allowed(moment, work.months)
            ended = clock.after_work(began, work.crew_days / work.rounds)
            log.append((task, began, ended, idle))
            rounds[task] += 1
            ready[task] = ended + work.between
            if rounds[task] == work.rounds:
                del rounds[task]
                finish[task] = ended + work.wait
            now = ended
        return log, now

    @staticmethod
    def out_of_frost(moment, months):
        day = math.floor(moment)
        while month_of(day) in months:
            day += 1
            moment = day
        return moment

    def undisturbed(self):
        """Visits, half-days and weeks that the price counts."""
        gap = config_file("practice.json")["practice"]["visit_gap_days"]["value"]
        log, end = self.run(Undisturbed(self.region), 0.0)
        visits = []
        for task, _, _, idle in log:
            if not visits or idle > gap:
                visits.append(0.0)
            visits[-1] += self.work[task].hours / self.work[task].rounds
        for task in ORDER:
            if TASKS[task].get("after_handover") and self.work[task].hours > 0:
                visits += [self.work[task].hours / self.work[task].rounds] * self.work[task].rounds
        half_days = [math.ceil(hours / (self.crew_day / 2) - NEARLY) for hours in visits]
        return {"visits": len(visits), "crew_half_days": sum(half_days), "elapsed_weeks": math.ceil(end / 7 - NEARLY),
                "crew_days": sum(math.ceil(count / 2) for count in half_days)}

    def dates(self, rules_wait):
        asked = self.answer["enquiry"]["start_on"]
        start = self.region.first_allowed(number_of(asked) + math.ceil(rules_wait), set())
        log, end = self.run(self.region, start)
        began, ended, tasks = {}, {}, {}
        for task, begin, finish, _ in log:
            began.setdefault(task, begin)
            ended[task] = finish
        for task in began:
            first = math.floor(began[task])
            tasks[task] = (day_of(first).isoformat(), day_of(max(first, math.ceil(ended[task] - NEARLY) - 1)).isoformat())
        filled = [day_of(max(math.floor(began[task]), math.ceil(ended[task] + self.work[task].wait - NEARLY) - 1)).isoformat()
                  for task in tasks if self.work[task].fills]
        on_site = sum(self.work[task].crew_days / max(0.1, 1 - self.region.lost[month_of(math.floor(began[task])) - 1]) for task in began)
        return {"start_on": day_of(start).isoformat(), "finish_on": day_of(max(start, math.ceil(end - NEARLY) - 1)).isoformat(),
                "water_in_on": filled[0] if filled else None, "tasks": tasks,
                "on_site_days": math.ceil(max(on_site, self.undisturbed()["crew_days"]) - NEARLY)}

    def frost_broken(self, programme):
        """Tasks that the answer lets begin in a month that frost forbids, or on a free day."""
        wrong = []
        for task in programme["tasks"]:
            if task["from"]:
                day = number_of(task["from"])
                if month_of(day) in self.work[task["id"]].months or self.region.capacity(day) == 0:
                    wrong.append((task["id"], task["from"]))
        return wrong
