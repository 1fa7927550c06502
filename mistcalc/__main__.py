import sys

try:
    from mistcalc.cli import main

    sys.exit(main())
except KeyboardInterrupt:  # before main, which minds it itself, has begun
    sys.exit(130)
