"""python -m fillfirst: the same as the command fillfirst."""

import sys

from fillfirst.cli import main

sys.exit(main())
