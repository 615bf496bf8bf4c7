# SPDX-License-Identifier: Apache-2.0
"""Find corners with OpenCV.

    opencv_corners.py chessboards FOLDER: the 9 x 6 inner corners of the
        chessboards left01.jpg to left14.jpg of Debian's opencv-doc.
    opencv_corners.py crosses PHOTO.png X,Y ...: cornerSubPix at crosses, from
        where they about are.

Prints lists of [x, y], whole numbers between pixels, as JSON.
"""
import glob
import json
import sys

import cv2
import numpy

stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 100, 1e-4)


def refined(image, corners, window):
    corners = cv2.cornerSubPix(image, numpy.array(corners, dtype=numpy.float32).reshape(-1, 1, 2), (window, window), (-1, -1), stop)
    # OpenCV has whole numbers in the middle of pixels.
    return (corners.reshape(-1, 2).astype(float) + 0.5).tolist()


if sys.argv[1] == "chessboards":
    out = []
    for name in sorted(glob.glob(sys.argv[2] + "/left[0-9][0-9].jpg")):
        image = cv2.imread(name, cv2.IMREAD_GRAYSCALE)
        found, corners = cv2.findChessboardCorners(image, (9, 6))
        if found:
            out.append(refined(image, corners, 5))
else:
    image = cv2.imread(sys.argv[2], cv2.IMREAD_GRAYSCALE)
    places = [[float(v) - 0.5 for v in a.split(",")] for a in sys.argv[3:]]
    # The best of several windows: nobody knows beforehand which.
    out = [refined(image, places, window) for window in (4, 6, 9, 12, 16)]
json.dump(out, sys.stdout)
