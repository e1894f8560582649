#!/usr/bin/env bash
# The seeds of every fuzzer through its code, without the fuzzing engine and with this build's sanitizers.
set -euo pipefail

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$PONDWRIGHT_SOURCE"
for fuzzer in tests/fuzz/fuzz_*.c; do
	name=$(basename "$fuzzer" .c)
	tests/fuzz/seeds "$name" "$work/$name"
	printf '%s: ' "$name"
	"$PONDWRIGHT_PROGRAMS/replay_$name" "$work/$name"
done
