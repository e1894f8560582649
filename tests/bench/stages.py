"""The stages of a quote, in time and in instructions; what changed against the file that keeps the latter."""

import json
import os
import re
import shutil
import subprocess
import tempfile

from serving import SERVER_CORE, on_core, program

HERE = os.path.dirname(os.path.abspath(__file__))
KEPT = os.path.join(HERE, "instructions.json")
NOISE_SHARE = 0.002


def rows(text):
    return {name: float(number) for name, number in (line.split("\t") for line in text.splitlines())}


def fixed_arguments():
    return os.environ["PONDWRIGHT_CONFIG"], os.environ["PONDWRIGHT_FIXTURES"]


def times_ns(command):
    return rows(subprocess.run(command, check=True, capture_output=True, text=True, preexec_fn=on_core(SERVER_CORE)).stdout)


def stage_times_ns(part=None, config=None):
    own, fixtures = fixed_arguments()
    return times_ns([program("stages"), config or own, fixtures, "time"] + ([part] if part else []))


def under_callgrind(command, folder):
    """What the command printed, and the files that callgrind left, one for each line, in their order."""
    out = os.path.join(folder, "callgrind.out")
    result = subprocess.run(
        ["valgrind", "--tool=callgrind", "--toggle-collect=measure_call", "--dump-after=measure_end",
         f"--callgrind-out-file={out}"] + command, capture_output=True, text=True, check=False)
    if result.returncode != 0:
        raise SystemExit(f"valgrind {' '.join(command)}\n{result.stderr}")
    counts = rows(result.stdout)
    return counts, [f"{out}.{i + 1}" for i in range(len(counts))]


def instructions_of(path):
    with open(path, encoding="utf-8") as profile:
        return int(re.search(r"^summary: (\d+)", profile.read(), re.M)[1])


def instructions(command):
    """Instructions of one call of everything that the command measures."""
    with tempfile.TemporaryDirectory() as folder:
        counts, files = under_callgrind(command, folder)
        return {name: round(instructions_of(path) / times) for (name, times), path in zip(counts.items(), files)}


def stage_instructions():
    return instructions([program("stages"), *fixed_arguments(), "count"])


def made_by():
    """What instructions depend on besides the source: the compiler, and libm's choice by the processor."""
    with open("/proc/cpuinfo", encoding="utf-8") as info:
        has_fma = " fma " in info.read()
    compiler = subprocess.run(["cc", "--version"], capture_output=True, text=True, check=True).stdout.splitlines()[0]
    return {"compiler": compiler, "libc": os.confstr("CS_GNU_LIBC_VERSION"), "fused_multiply_add_in_libm": has_fma}


def keep():
    kept = {"made_by": made_by(), "instructions_of_one_call": stage_instructions()}
    with open(KEPT, "w", encoding="utf-8") as file:
        json.dump(kept, file, indent="\t", ensure_ascii=False)
        file.write("\n")
    print(f"{len(kept['instructions_of_one_call'])} stages kept in {os.path.relpath(KEPT)}")


def compare():
    """Prints what takes another number of instructions than the file says. Changes are for people to judge."""
    with open(KEPT, encoding="utf-8") as file:
        kept = json.load(file)
    if kept["made_by"] != made_by():
        print(f"kept with {kept['made_by']}, now {made_by()}: differences may be those tools'")
    then, now, changed = kept["instructions_of_one_call"], stage_instructions(), 0
    for name in list(then) + [name for name in now if name not in then]:
        was, is_now = then.get(name), now.get(name)
        if was is None or is_now is None:
            print(f"{name}: {'new' if was is None else 'gone'}")
        elif abs(is_now - was) > NOISE_SHARE * was:
            print(f"{name}: {was} -> {is_now} ({(is_now / was - 1) * 100:+.1f} %)")
        else:
            continue
        changed += 1
    print(f"{changed} of {len(now)} stages changed by more than {NOISE_SHARE * 100:g} %")


# ---- where the time goes ----

HARNESS = {"PROGRAM TOTALS", "(below main)", "__libc_start_main@@GLIBC_2.34", "main", "of_subject", "stage", "measure_count",
           "measure_call", "quote_answered", "answer"}
LINE = re.compile(r"^\s*([\d,]+) \(\s*([\d.]+)%\)\s+(.*)$")


def annotated(path, inclusive):
    """(function, instructions, share) of callgrind_annotate, the dearest first."""
    text = subprocess.run(
        ["callgrind_annotate", f"--inclusive={'yes' if inclusive else 'no'}", "--threshold=100", "--auto=no", path],
        capture_output=True, text=True, check=True).stdout
    found = []
    for number, share, where in (match.groups() for match in map(LINE.match, text.splitlines()) if match):
        function = re.sub(r"^.*?:", "", re.sub(r" \[.*\]$", "", where))
        if function.startswith("0x"):  # a library without names; the loader's start of the program is none of it
            library = re.search(r"lib(\w+)\.so", where)
            function = f"within {library[1]}" if library and "ld-linux" not in where else "main"
        if function not in HARNESS:
            found.append((function, int(number.replace(",", "")), float(share)))
    return found


def own_name(function):
    """Without what the compiler adds to a copy or a part, and callgrind to a function that calls itself."""
    return re.sub(r"(\.(isra|part|constprop|cold)(\.\d+)?)+$", "", re.sub(r"'\d+$", "", function))


def each_once(listed):
    """By name: the greatest, as calls of a part are counted within its whole. A library without names is left out: its functions
    call each other, and their sum would count them twice."""
    greatest = {}
    for function, number, share in listed:
        if function.startswith("within "):
            continue
        greatest.setdefault(own_name(function), (number, share))
    return [(name, *figures) for name, figures in greatest.items()]


def added_up(listed):
    sums = {}
    for function, number, share in listed:
        was = sums.get(own_name(function), (0, 0.0))
        sums[own_name(function)] = (was[0] + number, was[1] + share)
    return sorted(((name, *figures) for name, figures in sums.items()), key=lambda row: -row[1])


def where_it_goes(stage, kept_in, most=25):
    """The functions of one stage, by what they do themselves and with all that they call: instructions of one call."""
    with tempfile.TemporaryDirectory() as folder:
        counts, files = under_callgrind([program("stages"), *fixed_arguments(), "count", stage], folder)
        shutil.copy(files[0], os.path.join(kept_in, f"callgrind.out.{stage.split(', ')[-1].replace(' ', '-')}"))
        inclusive = each_once(annotated(files[0], True))
        exclusive = added_up(annotated(files[0], False))
        instructions_of_all = instructions_of(files[0])
    times = counts[stage]

    def of_one_call(listed):
        return [(name, number / times, share) for name, number, share in listed[:most]]

    return {"stage": stage, "instructions": instructions_of_all / times, "inclusive": of_one_call(inclusive),
            "exclusive": of_one_call(exclusive)}
