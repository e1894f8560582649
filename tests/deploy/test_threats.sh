# The threat model and the page of what is shown name tests; each of them must exist, or a row is a promise that nobody
# keeps.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

page=$PONDWRIGHT_SOURCE/deploy/THREATS.md
tests=$PONDWRIGHT_SOURCE/tests

file_of() {
	case $1 in
	tsan_*) echo "$tests/api/$1.c" ;;
	deploy_*) echo "$tests/deploy/test_${1#deploy_}.sh" ;;
	*_bench) echo "$tests/bench/$1.c" ;;
	fuzz_replay) echo "$tests/fuzz/test_replay.sh" ;;
	fuzz_*) echo "$tests/fuzz/$1.c" ;;
	contract_*) echo "$tests/contract/test_${1#contract_}.mjs" ;;
	reference_*) echo "$tests/reference/test_${1#reference_}.py" ;;
	*) echo "$tests/${1%%_*}/test_${1#*_}.c" ;;
	esac
}

sentences() {
	grep -oE '\b[a-z0-9]+(_[a-z0-9]+){3,}\b' | sort -u
}

# `test` (case, case), or of a script what it says of itself
mapfile -t claims < <(
	grep -oE '`((api|unit|tsan|deploy|fuzz|contract)_[a-z_]+|[a-z]+_bench)`( \([^)]*\))?' "$page" | sort -u
)
[ "${#claims[@]}" -ge 30 ] || fail "the page makes ${#claims[@]} claims"
for claim in "${claims[@]}"; do
	name=$(cut -d '`' -f 2 <<<"$claim")
	inside=$(sed -nE 's/.*\((.*)\)/\1/p' <<<"$claim")
	file=$(file_of "$name")
	[ -f "$file" ] || fail "there is no test $name"
	case $name in
	deploy_*) grep -qF -- "$inside" "$file" || fail "$name says nothing of $inside" ;;
	*)
		for case in $(sentences <<<"$inside"); do
			grep -qF "START_TEST($case)" "$file" || fail "there is no case $case in $name"
			printf '%s\n' "$case" >>"$scratch/cases"
		done
		;;
	esac
done
[ "$(sort -u "$scratch/cases" | wc -l)" -ge 20 ] || fail "the page names too few cases"
sort -u "$scratch/cases" | diff - <(sentences <"$page") || fail 'a case is named apart from its test'

# ---- what is shown ----
shown=$PONDWRIGHT_SOURCE/deploy/SHOWN.md
mapfile -t names < <(
	grep -oE '`((api|unit|tsan|deploy|fuzz|contract|reference)_[a-z_]+|[a-z]+_bench)\b' "$shown" | tr -d '`' | sort -u
)
[ "${#names[@]}" -ge 30 ] || fail "the page of what is shown names ${#names[@]} tests"
for name in "${names[@]}"; do
	[ -f "$(file_of "$name")" ] || fail "there is no test $name"
done
for script in "$tests"/deploy/test_*.sh "$tests"/api/test_*.c "$tests"/contract/test_*.mjs; do
	name=$(basename "$(dirname "$script")")_$(basename "${script%.*}" | sed 's/^test_//')
	grep -qF "\`$name\`" "$shown" "$page" || fail "no page says what $name shows"
done
