# The threat model names tests; each of them must exist, or a row of it is a promise that nobody keeps.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

page=$PONDWRIGHT_SOURCE/deploy/THREATS.md
tests=$PONDWRIGHT_SOURCE/tests

file_of() {
	case $1 in
	tsan_*) echo "$tests/api/$1.c" ;;
	deploy_*) echo "$tests/deploy/test_${1#deploy_}.sh" ;;
	*_bench) echo "$tests/bench/$1.c" ;;
	fuzz_*) echo "$tests/fuzz/$1.c" ;;
	*) echo "$tests/${1%%_*}/test_${1#*_}.c" ;;
	esac
}

mapfile -t names < <(grep -oE '`((api|unit|tsan|deploy|fuzz)_[a-z_]+|[a-z]+_bench)`' "$page" | tr -d '`' | sort -u)
[ "${#names[@]}" -ge 15 ] || fail "the page names ${#names[@]} tests"
for name in "${names[@]}"; do
	[ -f "$(file_of "$name")" ] || fail "there is no test $name"
done

# cases are what looks like a sentence in snake case
mapfile -t cases < <(grep -oE '\b[a-z0-9]+(_[a-z0-9]+){3,}\b' "$page" | sort -u)
[ "${#cases[@]}" -ge 15 ] || fail "the page names ${#cases[@]} cases"
for case in "${cases[@]}"; do
	grep -rqF "START_TEST($case)" "$tests/api" "$tests/unit" || fail "there is no case $case"
done
