"""A call-back: from what is read on a running line to what is likely wrong with it.

`case` is the sound line, `faults` what can be wrong, `readings` the table of what faults show; `diagnose`
holds readings against it, `isolate` orders the search for a leak, `log` finds readings in the site log.
"""
