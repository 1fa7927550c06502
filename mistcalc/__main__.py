import sys

from mistcalc.cli import main

sys.exit(main())
