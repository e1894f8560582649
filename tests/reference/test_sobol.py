"""The first points of core/sobol.c against scipy.stats.qmc.Sobol, unscrambled: every dimension that the core knows.

scipy has the direction numbers of Joe and Kuo 2008 and the Gray-code order of its own; core/sobol.c is compiled by itself."""

import ctypes
import os
import subprocess
import tempfile

import numpy
from scipy.stats import qmc

SOURCE = os.environ["PONDWRIGHT_SOURCE"]
POINTS = 100
DIMENSIONS = 128
ROOM_BYTES = 4 * (2 + DIMENSIONS + 32 * DIMENSIONS)


def compiled(folder):
    library = os.path.join(folder, "sobol.so")
    source = os.path.join(SOURCE, "core", "sobol.c")
    subprocess.run(["cc", "-std=c17", "-O1", "-shared", "-fPIC", "-o", library, source], check=True)
    return ctypes.CDLL(library)


def points_of_the_core(core, dimensions):
    room = ctypes.create_string_buffer(ROOM_BYTES)
    point = (ctypes.c_double * dimensions)()
    points = numpy.empty((POINTS, dimensions))
    core.sobol_begin(room, ctypes.c_uint32(dimensions))
    for row in points:
        core.sobol_point(room, point)
        row[:] = point
    return points


def main():
    failed = 0
    with tempfile.TemporaryDirectory() as folder:
        core = compiled(folder)
        for dimensions in (1, 2, 22, 64, DIMENSIONS):
            ours = points_of_the_core(core, dimensions)
            theirs = qmc.Sobol(d=dimensions, scramble=False, bits=32).random(128)[:POINTS]
            if not numpy.array_equal(ours, theirs):
                print(f"{dimensions} dimensions: off by {numpy.abs(ours - theirs).max()}")
                failed += 1
    print(f"{5 - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main())
