"""The whole patio by another method: a general-purpose solver of flow, heat, vapor and drops beside ours.

Nothing here is a test that pytest collects, and nothing of it runs in CI: it takes hours and Debian's package
`openfoam` (1912). `README.md` says how to run a case.
"""
