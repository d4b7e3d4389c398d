"""Tests run as the program does: the arrays are small, so threads of the linear algebra cost more than they give."""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before anything loads numpy
