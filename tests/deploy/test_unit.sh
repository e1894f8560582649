# The systemd units: known to systemd, well shut in, and the socket that they pass in is really used.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

units=$PONDWRIGHT_SOURCE/deploy/systemd
root=$scratch/root
most_exposed=15 # tenths; the scale goes to 10.0

# A root as the package makes it: systemd's own units, ours, and the program.
mkdir -p "$root/usr/bin" "$root/usr/lib/systemd/system" "$root/etc/systemd/system/pondwright.service.d" "$root/bin"
cp -r /lib/systemd/system/. "$root/usr/lib/systemd/system"
cp -r "$units/." "$root/usr/lib/systemd/system"
cp "$PONDWRIGHT_BIN" "$root/usr/bin/pondwright"
cp /bin/sh "$root/bin/sh"

verify() {
	local said
	said=$(systemd-analyze --man=no --recursive-errors=no --root="$root" verify pondwright.service pondwright.socket 2>&1) ||
		fail "systemd-analyze verify ended with $?: $said"
	[ -z "$said" ] || fail "systemd-analyze verify: $said"
}

# exposure WHAT: the score in tenths, out of ten.
exposure() {
	local said score
	said=$(systemd-analyze --root="$root" security --offline=true --no-pager pondwright.service) || true
	score=$(sed -n 's/.*Overall exposure level for pondwright.service: \([0-9]*\)\.\([0-9]\).*/\1\2/p' <<<"$said")
	[ -n "$score" ] || fail "no score in: $said"
	printf '%s: exposure %s.%s\n' "$1" "${score%?}" "${score#"${score%?}"}"
	[ "$score" -le "$most_exposed" ] || fail "$1 is too exposed: $said"
}

verify
exposure 'with the socket passed in'
# as pondwright.service.d/10-socket.conf says
ln -s /dev/null "$root/etc/systemd/system/pondwright.service.d/10-socket.conf"
verify
exposure 'with an address of its own'
printf 'NoSuchSetting=yes\n' >>"$root/usr/lib/systemd/system/pondwright.socket"
if (verify) 2>/dev/null; then fail 'verify passes anything'; fi

# ---- the commands in the unit are ones that the program takes ----
check=$(sed -n 's/^ExecStartPre=//p' "$units/pondwright.service")
[ "$check" = '/usr/bin/pondwright check --config /etc/pondwright' ] || fail "ExecStartPre is $check"
[ "$(sed -n 's/^ExecReload=//p' "$units/pondwright.service" | head -n 1)" = "$check" ] ||
	fail 'a reload does not begin with a check'
"$PONDWRIGHT_BIN" check --config "$PONDWRIGHT_CONFIG" >"$scratch/check.log" 2>&1 || fail 'check refuses the demo configuration'
cp -r "$PONDWRIGHT_CONFIG" "$scratch/broken"
printf '{' >"$scratch/broken/service.json"
if "$PONDWRIGHT_BIN" check --config "$scratch/broken" >"$scratch/broken.log" 2>&1; then
	fail 'check passes half a service.json'
fi

# ---- a socket that is passed in is served, and outlives the service ----
port=$(free_port)
systemd-socket-activate --listen="127.0.0.1:$port" "$PONDWRIGHT_BIN" serve --config "$PONDWRIGHT_CONFIG" \
	--listen 127.0.0.1:1 2>"$scratch/activated.log" &
started+=("$!")
within 'the activated service to answer' curl --silent --fail --max-time 20 "http://127.0.0.1:$port/readyz"
[ "$(jq -rR 'fromjson? | select(.event == "listening").address' "$scratch/activated.log")" = "127.0.0.1:$port" ] ||
	fail 'the service does not listen on the socket that it was given'
