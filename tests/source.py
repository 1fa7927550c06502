"""Source read as a tree, once for all the tests that walk it."""

from __future__ import annotations

import ast
from functools import cache

parsed = cache(ast.parse)
