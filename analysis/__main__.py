"""`python -m analysis VERB FOLDER`; see `analysis.command_line`."""

import sys

from analysis.command_line import main

if __name__ == "__main__":
    sys.exit(main())
