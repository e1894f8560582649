#!/usr/bin/env bash
# The core allocates nothing, prints nothing, asks nobody the time and keeps no state: its archive may
# need nothing but libm and a few memory and string functions, and may hold no writable data.
# PONDWRIGHT_CORE names the archive, built without sanitizers; PONDWRIGHT_SOURCE the source folder.
set -euo pipefail

# From its own folder: the tools print the path they were given, and a path may hold spaces.
cd "$(dirname "$PONDWRIGHT_CORE")"
archive=$(basename "$PONDWRIGHT_CORE")

# qsort is missing on purpose: glibc's allocates.
allowed='
	memchr memcmp memcpy memmove memset strchr strcmp strlen strncmp strrchr
	__memcpy_chk __memmove_chk __memset_chk __stack_chk_fail __assert_fail
	__divmodti4 __divti3 __modti3 __udivmodti4 __udivti3 __umodti3
	_GLOBAL_OFFSET_TABLE_
	acos acosh asin asinh atan atan2 atanh cbrt ceil copysign cos cosh exp exp2 expm1 fabs fdim floor fma fmax fmin fmod
	frexp hypot ldexp llrint llround log log10 log1p log2 logb lrint lround modf nearbyint nextafter pow
	remainder rint round scalbn sin sinh sqrt tan tanh trunc
'
faults=0

fault() {
	printf 'core: %s\n' "$1"
	faults=$((faults + 1))
}

defined=$(nm --defined-only --extern-only --format=posix "$archive" | awk 'NF > 1 { print $1 }' | sort -u)
needed=$(nm --undefined-only --format=posix "$archive" | awk 'NF > 1 { print $1 }' | sort -u)
if [ -z "$defined" ]; then
	fault "$archive defines nothing"
fi
outside=$(comm -23 <(printf '%s\n' "$needed") <(printf '%s\n' "$defined"))
for symbol in $outside; do
	case " ${allowed//[$'\n\t']/ } " in
	*" $symbol "*) ;;
	*) fault "needs $symbol, which is not on the list of tests/alone/test_core_symbols.sh" ;;
	esac
done

# Constant tables of pointers live in .data.rel.ro: written once by the loader, then read-only.
writable=$(objdump --syms "$archive" | awk '
	{ section = $4 ~ /^[.*]/ ? $4 : $3 }
	section ~ /^(\.data|\.bss|\.tdata|\.tbss|\*COM\*)/ && section !~ /^\.data\.rel\.ro/ && $NF !~ /^\./ { print $NF }')
for symbol in $writable; do
	fault "keeps writable data: $symbol"
done

cd "$PONDWRIGHT_SOURCE/core"
while IFS=: read -r file line text; do
	header=$(printf '%s' "$text" | sed -E 's/^[^<]*<([^>]*)>.*/\1/')
	case $header in
	assert.h | float.h | limits.h | math.h | stdbool.h | stddef.h | stdint.h | string.h) ;;
	*) fault "$file:$line includes <$header>" ;;
	esac
done < <(grep -nE '^[[:space:]]*#[[:space:]]*include[[:space:]]*<' -- *.c *.h /dev/null)
while IFS=: read -r file line text; do
	header=$(printf '%s' "$text" | sed -E 's/^[^"]*"([^"]*)".*/\1/')
	[ -f "${header#core/}" ] || fault "$file:$line includes \"$header\", which is not in core/"
done < <(grep -nE '^[[:space:]]*#[[:space:]]*include[[:space:]]*"' -- *.c *.h *.def /dev/null)

printf 'core: %d symbols defined, %d needed from outside, %d faults\n' \
	"$(printf '%s\n' "$defined" | wc -l)" "$(printf '%s\n' "$outside" | grep -c . || true)" "$faults"
[ "$faults" -eq 0 ]
