# SPDX-License-Identifier: Apache-2.0
"""Fit a homography to readings with OpenCV, method 0.

    compare_opencv.py READINGS.json

READINGS.json: {"screen": [[u, v], ...], "mat": [[x, y], ...]}. Prints as JSON
the seconds that one fit takes, less what Python takes to hand two arrays to
OpenCV and get a number back, and the homography.
"""
import json
import sys
import time

import cv2
import numpy

cv2.setNumThreads(1)
with open(sys.argv[1], encoding="utf-8") as f:
    given = json.load(f)
screen, mat = (numpy.array(given[k], dtype=numpy.float64) for k in ("screen", "mat"))


def seconds(do, times=500):
    start = time.perf_counter()
    for _ in range(times):
        do()
    return (time.perf_counter() - start) / times


h, _ = cv2.findHomography(screen, mat, 0)
fit = seconds(lambda: cv2.findHomography(screen, mat, 0))
call = seconds(lambda: cv2.norm(screen, mat))
print(json.dumps({"Seconds": fit - call, "Homography": h.tolist(), "Version": cv2.__version__}))
