#!/usr/bin/env bash
# The worked examples of config/README.md, performed to the letter on copies of config/.
exec python3 -B "$(dirname "${BASH_SOURCE[0]}")/readme_examples.py"
