"""Words at the doors: every sentence the program says is made here and nowhere else."""

from mistcalc.words.sentences import is_label, label, languages, number, place, say, span, spoken, word
