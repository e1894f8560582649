# Sourced by the tests of this folder: a scratch folder, servers on free ports of 127.0.0.1, and the nginx site of
# deploy/ in front of them. Everything that was started is stopped by its pid at the end.
set -euo pipefail

site=$PONDWRIGHT_SOURCE/deploy/nginx/pondwright.conf
site_name=quotes.example.com
# shellcheck disable=SC2034 # used by the tests
enquiry=$PONDWRIGHT_FIXTURES/2-new-garden-pond/enquiry.json

scratch=$(mktemp -d)
started=()

fail() {
	printf 'FAILED: %s\n' "$*" >&2
	exit 1
}

stop() {
	kill -TERM "$1" 2>/dev/null || return 0
	wait "$1" 2>/dev/null || true
}

clean_up() {
	local status=$? pid
	for pid in "${started[@]}"; do stop "$pid"; done
	if [ "$status" -ne 0 ]; then tail -n 15 "$scratch"/*.log >&2 || true; fi
	rm -rf "$scratch"
}
trap clean_up EXIT

free_port() {
	/usr/bin/python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])'
}

# within WHAT COMMAND...: runs the command again until it succeeds; after a minute something is broken.
within() {
	local what=$1 _
	shift
	for _ in $(seq 600); do
		if "$@" >/dev/null 2>&1; then return 0; fi
		sleep 0.1
	done
	fail "waited a minute for $what"
}

# start_copy NAME CONFIG [PORT]: a server whose log is NAME.log; sets copy_pid and copy_port.
start_copy() {
	local log=$scratch/$1.log
	: >"$log"
	"$PONDWRIGHT_BIN" serve --config "$2" --listen "127.0.0.1:${3:-0}" 2>"$log" &
	copy_pid=$!
	started+=("$copy_pid")
	within "$1 to listen" grep -q '"event":"listening"' "$log"
	copy_port=$(jq -r 'select(.event == "listening").address | split(":")[1]' "$log")
	within "$1 to be ready" curl --silent --fail --max-time 5 "http://127.0.0.1:$copy_port/readyz"
}

make_certificate() {
	openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 -subj "/CN=$site_name" \
		-addext "subjectAltName=DNS:$site_name" -keyout "$scratch/privkey.pem" -out "$scratch/fullchain.pem" \
		2>"$scratch/openssl.log"
}

# replace PATTERN TEXT FILE: every match; a pattern that no longer matches the site is a fault of the test.
replace() {
	grep -q -- "$1" "$3" || fail "nothing in the site matches $1"
	sed -i "s|$1|$2|" "$3"
}

# render_site UPSTREAM_PORT...: the site as it is in deploy/, but for addresses, paths and copies.
render_site() {
	local conf=$scratch/site.conf servers='' port
	for port in "$@"; do servers+="server 127.0.0.1:$port max_fails=1 fail_timeout=2s; "; done
	http_port=$(free_port)
	tls_port=$(free_port)
	cp "$site" "$conf"
	replace 'server 127.0.0.1:8080 max_fails=1 fail_timeout=2s;' "$servers" "$conf"
	replace '^.listen \[::\].*' '' "$conf"
	replace 'listen 80;' "listen 127.0.0.1:$http_port;" "$conf"
	replace 'listen 443 ' "listen 127.0.0.1:$tls_port " "$conf"
	replace '/etc/ssl/pondwright/' "$scratch/" "$conf"
	replace '/var/cache/nginx/pondwright' "$scratch/cache" "$conf"
	replace '/var/log/nginx/pondwright.log' "$scratch/access.jsonl" "$conf"
}

start_nginx() {
	local user=
	if [ "$(id -u)" -eq 0 ]; then user='user root;'; fi
	cat >"$scratch/nginx.conf" <<-END
		$user
		daemon off;
		worker_processes 1;
		pid $scratch/nginx.pid;
		error_log $scratch/nginx.log info;
		events { worker_connections 512; }
		http {
			access_log off;
			client_body_temp_path $scratch/nginx-body;
			proxy_temp_path $scratch/nginx-proxy;
			fastcgi_temp_path $scratch/nginx-fastcgi;
			uwsgi_temp_path $scratch/nginx-uwsgi;
			scgi_temp_path $scratch/nginx-scgi;
			include $scratch/site.conf;
		}
	END
	/usr/sbin/nginx -t -q -e "$scratch/nginx.log" -p "$scratch" -c "$scratch/nginx.conf" || fail 'nginx refuses the site'
	/usr/sbin/nginx -e "$scratch/nginx.log" -p "$scratch" -c "$scratch/nginx.conf" 2>"$scratch/nginx-start.log" &
	nginx_pid=$!
	started+=("$nginx_pid")
	within 'nginx to answer' ask --output /dev/null "$(address /nowhere)"
}

address() {
	printf 'https://%s:%s%s' "$site_name" "$tls_port" "$1"
}

# ask CURL_ARGUMENT...: over TLS, with the throwaway certificate as the one that is trusted.
ask() {
	curl --silent --show-error --max-time 30 --cacert "$scratch/fullchain.pem" \
		--resolve "$site_name:$tls_port:127.0.0.1" "$@"
}
