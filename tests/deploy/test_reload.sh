# Which members of service.json a reload takes up and which wait for a restart: deploy/README.md says it, and each of
# them is tried. All are changed at once; then the service is reloaded, and started again.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

config=$scratch/config
first_token=demo-token-of-no-value-whatever
second_token=demo-token-of-no-value-either
pond='{"pond":{"outline":{"kind":"rectangle","length_m":4,"width_m":3},"depth_m":1}'

cp -r "$PONDWRIGHT_FIXTURES/config-small" "$config"
cp "$PONDWRIGHT_CONFIG/practice.json" "$config"
printf %s "$first_token" >"$config/token-1"
printf %s "$second_token" >"$config/token-2"

settings() {
	jq "$1" "$config/service.json" >"$scratch/service.json"
	mv "$scratch/service.json" "$config/service.json"
}

here() { printf 'http://127.0.0.1:%s%s' "$copy_port" "$1"; }
post() { curl --silent --max-time 60 --header 'Content-Type: application/json' "$@"; }
status() { post --output /dev/null --write-out '%{http_code}' "$@"; }
header() { curl --silent --max-time 60 --dump-header - --output /dev/null "$@" | tr -d '\r'; }
quote() { post --data "$pond,\"region\":\"small-a\"}" "$(here /v1/quote)"; }

# is WHAT WANTED FOUND
is() {
	[ "$2" = "$3" ] || fail "$1: '$3' instead of '$2'"
}

owners() {
	status --data "$pond,\"region\":\"small-a\"}" --header "Authorization: Bearer $1" "$(here /v1/quote)"
}

allows() {
	header --header "Origin: $1" "$(here /v1/regions)" | grep -ic '^access-control-allow-origin' || true
}

# taken N: what a reload takes up is as in the N-th settings; the words are those of the page
taken() {
	local other=$((3 - $1))
	is firm 1 "$(post --header 'Accept: text/html' --data "$pond,\"region\":\"small-a\"}" "$(here /v1/survey)" |
		grep -c "demo-firm no. $1" || true)"
	is disclaimer "demo words $1" "$(quote | jq -r .disclaimer)"
	is default_region "$([ "$1" = 1 ] && echo small-a || echo small-b)" \
		"$(curl --silent "$(here /v1/regions)" | jq -r .default_region)"
	is 'colour_light and colour_dark' "#00000$1 #fffff$1" \
		"$(curl --silent "$(here /v1/regions)" | jq -r '"\(.colour_light) \(.colour_dark)"')"
	is public_detail "$([ "$1" = 1 ] && echo true || echo false)" "$(quote | jq '(.sections | length) > 0')"
	is allowed_origins 1 "$(allows "https://www-$1.example.test")"
	is 'allowed_origins, the others' 0 "$(allows "https://www-$other.example.test")"
	is owner_token_file 200 "$(owners "$([ "$1" = 1 ] && echo "$first_token" || echo "$second_token")")"
	is 'owner_token_file, the other' 401 "$(owners "$([ "$1" = 2 ] && echo "$first_token" || echo "$second_token")")"
}

# cut_by_deadline: half a request is cut for that reason; the library's own 15 s for a silent client would be another
cut_by_deadline() {
	exec 3<>"/dev/tcp/127.0.0.1/$copy_port"
	printf 'GET / HTTP/1.1\r\n' >&3
	timeout 60 cat <&3 >/dev/null || true
	exec 3>&-
	curl --silent "$(here /metrics)" | grep -c '^pondwright_http_connections_cut_total{reason="deadline"} 1$' || true
}

# twenty connections of one address, made first and used then: how many are served; over the limit they are reset
connections_served() {
	/usr/bin/python3 - "$copy_port" <<-'END'
		import socket, sys
		def served(connection):
		    try:
		        connection.sendall(b"GET /healthz HTTP/1.1\r\nHost: x\r\n\r\n")
		        return connection.recv(1024).startswith(b"HTTP/1.1 200 ")
		    except ConnectionError:
		        return False
		all = [socket.create_connection(("127.0.0.1", int(sys.argv[1])), 60) for _ in range(20)]
		print(sum([served(connection) for connection in all]))
	END
}

# a hundred requests of one client behind a proxy
refused_for_haste() {
	curl --silent --max-time 60 --output /dev/null --write-out '%{http_code}\n' --header 'X-Forwarded-For: 192.0.2.7' \
		"$(here '/v1/regions?[1-100]')" | grep -q 429 && echo yes || echo no
}

# kept N: what waits for a restart is as in the N-th settings
kept() {
	local log=$scratch/$2.log
	is body_limit_bytes "$([ "$1" = 1 ] && echo 422 || echo 413)" \
		"$(status --data "{\"x\":\"$(head -c 3000 /dev/zero | tr '\0' a)\"}" "$(here /v1/quote)")"
	is frame_ancestors 1 "$(header "$(here /)" | grep -c "frame-ancestors https://frame-$1.example.test" || true)"
	is 'requests_per_minute and trusted_proxies' "$([ "$1" = 1 ] && echo yes || echo no)" "$(refused_for_haste)"
	is log_addresses "$([ "$1" = 1 ] && echo yes || echo no)" "$(grep '"event":"request"' "$log" | tail -n 1 |
		grep -q '"network"' && echo yes || echo no)"
	is per_ip_limit "$([ "$1" = 1 ] && echo some || echo 20)" "$(connections_served | sed -E 's/^[1-8]$/some/')"
	is 'connection_limit and deadline_s' "[$((100 * $1)),$([ "$1" = 1 ] && echo 1000 || echo 600000)]" \
		"$(jq -rR 'fromjson? | select(.event == "listening") | [.connection_limit, .deadline_ms] | @text' "$log")"
}

settings '. + {firm: "demo-firm no. 1", disclaimer: "demo words 1", allowed_origins: ["https://www-1.example.test"],
	owner_token_file: "token-1", body_limit_bytes: 65536, frame_ancestors: ["https://frame-1.example.test"],
	connection_limit: 100, deadline_s: 1, requests_per_minute: 60, per_ip_limit: 8, trusted_proxies: ["127.0.0.1"], log_addresses: true,
	colour_light: "#000001", colour_dark: "#fffff1"}'
start_copy first "$config"
taken 1
kept 1 first

settings '. + {firm: "demo-firm no. 2", disclaimer: "demo words 2", allowed_origins: ["https://www-2.example.test"],
	owner_token_file: "token-2", body_limit_bytes: 2048, frame_ancestors: ["https://frame-2.example.test"],
	connection_limit: 200, deadline_s: 600, requests_per_minute: 0, per_ip_limit: 0, trusted_proxies: [], log_addresses: false,
	public_detail: "headline", default_region: "small-b", colour_light: "#000002", colour_dark: "#fffff2"}'
kill -HUP "$copy_pid"
within 'the reload' grep -q '"event":"reload","msg":"now serving' "$scratch/first.log"
taken 2
kept 1 first
is 'deadline_s' 1 "$(cut_by_deadline)"

stop "$copy_pid"
start_copy second "$config"
taken 2
kept 2 second

# ---- the page says the same ----
page=$PONDWRIGHT_SOURCE/deploy/README.md
said() {
	sed -nE "s/^\| $1 \| (.*) \|$/\1/p" "$page" | grep -oE '`[a-z_]+`' | tr -d '`' | sort | paste -sd' '
}
at_reload='allowed_origins colour_dark colour_light default_region disclaimer firm owner_token_file public_detail'
at_restart='body_limit_bytes connection_limit deadline_s frame_ancestors log_addresses per_ip_limit requests_per_minute'
is 'the page, at a reload' "$at_reload" "$(said 'a reload')"
is 'the page, at a restart' "$at_restart trusted_proxies" "$(said 'a restart')"
# and no member is left out: what the loader takes, but for the note
is 'members of service.json' "$(tr ' ' '\n' <<<"$at_reload $at_restart trusted_proxies" | sort)" \
	"$(jq -r 'keys[] | select(. != "demo")' "$config/service.json")"
is 'members that the loader takes' "$(tr ' ' '\n' <<<"$at_reload $at_restart trusted_proxies" | sort)" \
	"$(grep -oE '(document\.top|top), "[a-z_]+"' "$PONDWRIGHT_SOURCE/server/compile_service.c" | cut -d '"' -f 2 | sort -u)"
