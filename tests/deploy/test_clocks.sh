# The wall clock of a service jumps more than a year ahead, as far back, and home again, under its requests: clocks.py.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

here=$(dirname "${BASH_SOURCE[0]}")
cc -std=c17 -O2 -Wall -Wextra -Werror -shared -fPIC -o "$scratch/clock.so" "$here/clock.c"
cp -r "$PONDWRIGHT_FIXTURES/config-small" "$scratch/config"
cp "$PONDWRIGHT_CONFIG/practice.json" "$scratch/config"
/usr/bin/python3 -B "$here/clocks.py" "$PONDWRIGHT_BIN" "$scratch/clock.so" "$scratch/config" "$scratch" ||
	fail 'the service does not keep right when the clock jumps'
