# Three copies behind nginx, under load throughout: one is killed, one drains, a new edition is rolled through them.
# No client may see a failure, or two answers for one reference.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

declare -a pids ports

# more_answers N: waits until the clients have had so many more.
more_answers() {
	local goal=$(($(cat "$scratch/answers") + $1))
	within "$1 more answers" eval "[ \"\$(cat '$scratch/answers')\" -ge $goal ]"
}

# copy N [PORT]: starts the N-th copy, each with a configuration folder of its own, like a machine of its own.
copy() {
	start_copy "copy-$1-$2" "$scratch/config-$1" "${ports[$1]:-}"
	pids[$1]=$copy_pid
	ports[$1]=$copy_port
}

# add_edition N: the newest edition, dated a month later and with a larger margin.
add_edition() {
	local region=$scratch/config-$1/regions/demo-north
	jq '.from = "2026-11-01" | .shares.margin += 0.05' "$region/2026-10.json" >"$scratch/edition.json"
	mv "$scratch/edition.json" "$region/2026-11.json"
}

serving() {
	curl --silent --fail --max-time 5 "http://127.0.0.1:$1/readyz" | jq -r .config
}

serves_another() {
	[ "$(serving "$1")" != "$2" ]
}

make_certificate
for n in 1 2 3; do
	cp -r "$PONDWRIGHT_CONFIG" "$scratch/config-$n"
	copy "$n" first
done
render_site "${ports[@]}"
# here all clients share one address
replace 'rate=10r/s' 'rate=100000r/s' "$scratch/site.conf"
replace 'burst=40' 'burst=100000' "$scratch/site.conf"
start_nginx

printf 0 >"$scratch/answers"
/usr/bin/python3 -B "$(dirname "${BASH_SOURCE[0]}")/load.py" "$tls_port" "$scratch/fullchain.pem" "$enquiry" "$scratch" \
	>"$scratch/verdict.json" 2>"$scratch/load.log" &
load_pid=$!
started+=("$load_pid")
more_answers 100

# one copy dies without a word, and comes back
kill -KILL "${pids[1]}"
wait "${pids[1]}" 2>/dev/null || true
more_answers 200
copy 1 second
more_answers 100

# one copy is told to go, answers what it has accepted, and ends well
kill -TERM "${pids[2]}"
status=0
wait "${pids[2]}" || status=$?
[ "$status" -eq 0 ] || fail "a copy that was told to stop ended with status $status"
more_answers 100
copy 2 second

# a new edition, one copy after another
before=$(serving "${ports[1]}")
for n in 1 2 3; do
	add_edition "$n"
	kill -HUP "${pids[$n]}"
	within "copy $n to serve the new edition" serves_another "${ports[$n]}" "$before"
	more_answers 100
done
after=$(serving "${ports[1]}")
for n in 2 3; do
	[ "$(serving "${ports[$n]}")" = "$after" ] || fail 'the copies do not agree in the end'
done

touch "$scratch/stop"
wait "$load_pid" || fail 'the clients broke down'
jq -c . "$scratch/verdict.json"
jq -e '.failed == 0 and .answers >= 800 and .references == 50 and .configs == 2 and
	(.editions | keys) == ["2026-10", "2026-11"]' "$scratch/verdict.json" >/dev/null ||
	fail 'a client saw a failure, or not both editions'
for n in 1 2 3; do
	grep -q '"status":200' "$scratch/copy-$n-first.log" || fail "copy $n had no part in it"
done
