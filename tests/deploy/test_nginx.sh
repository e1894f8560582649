# The site in deploy/nginx, served by a real nginx in front of a real server.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

json='Content-Type: application/json'
origin='Origin: https://www.example.test'
head=$scratch/head
body=$scratch/body

# answer CURL_ARGUMENT...: sets status; head and body are files.
answer() {
	status=$(ask --dump-header "$head" --output "$body" --write-out '%{http_code}' "$@")
}

header() {
	tr -d '\r' <"$head" | sed -n "s/^$1: //Ip"
}

expect_status() {
	[ "$status" = "$1" ] || fail "$2: status $status, not $1: $(head -c 400 "$body")"
}

expect_header() {
	[ "$(header "$1")" = "$2" ] || fail "$3: $1 is '$(header "$1")', not '$2'"
}

# expect_problem STATUS CODE WHAT: a problem of nginx that a page of a listed origin can read.
expect_problem() {
	expect_status "$1" "$3"
	expect_header Content-Type application/problem+json "$3"
	expect_header Access-Control-Allow-Origin https://www.example.test "$3"
	expect_header Vary Origin "$3"
	expect_header Cache-Control no-store "$3"
	jq -e --argjson status "$1" --arg code "$2" --arg id "$(header X-Request-Id)" '
		.type == "about:blank" and .status == $status and (.title | length) > 0 and .instance == $id and
		(.errors | length) == 1 and .errors[0].code == $code and .errors[0].detail == .detail
	' "$body" >/dev/null || fail "$3: not the problem that was meant: $(cat "$body")"
}

make_certificate
start_copy server "$PONDWRIGHT_CONFIG"
render_site "$copy_port"
start_nginx

# ---- an enquiry passes through, and its answer comes back, unchanged ----
jq '.issued_on = "2026-11-25"' "$enquiry" >"$scratch/enquiry.json"
curl --silent --fail --output "$scratch/direct" --header "$json" --data-binary "@$scratch/enquiry.json" \
	"http://127.0.0.1:$copy_port/v1/quote" || fail 'the server gives no quote by itself'
post=(--header "$json" --header "$origin" --data-binary "@$scratch/enquiry.json")

answer "${post[@]}" --header 'X-Request-Id: from.the-client_1' "$(address /v1/quote)"
expect_status 200 'a quote'
cmp "$body" "$scratch/direct" || fail 'the answer through nginx differs'
expect_header X-Request-Id from.the-client_1 'a quote'
expect_header Access-Control-Allow-Origin https://www.example.test 'a quote'
grep -q '^HTTP/2 ' "$head" || fail 'not HTTP/2'

answer "${post[@]}" --header 'Accept-Encoding: gzip' "$(address /v1/quote)"
expect_header Content-Encoding gzip 'a compressed quote'
gzip -dc "$body" | cmp - "$scratch/direct" || fail 'the compressed answer differs'

answer "${post[@]}" --header 'Transfer-Encoding: chunked' --http1.1 "$(address /v1/quote)"
expect_status 200 'a chunked body, which nginx gives a length'
cmp "$body" "$scratch/direct" || fail 'the answer to a chunked body differs'

answer "${post[@]}" --http1.0 "$(address /v1/quote)"
expect_status 200 'a client of HTTP/1.0'
cmp "$body" "$scratch/direct" || fail 'the answer to HTTP/1.0 differs'
for host in Host: 'Host: other.example'; do
	answer "${post[@]}" --http1.0 --header "$host" "$(address /v1/quote)"
	expect_status 421 'a request for another name, or for none'
	jq -e '.status == 421 and .errors[0].code == "host-unknown"' "$body" >/dev/null || fail 'not the problem of another name'
done

# ---- the service's own refusals are left alone ----
answer --header "$json" --header "$origin" --data '{}' "$(address /v1/quote)"
expect_status 422 'an empty enquiry'
[ "$(jq '.errors | length' "$body")" -ge 2 ] || fail 'the faults of the enquiry are gone'
answer --header "$origin" "$(address /v1/nothing)"
expect_status 404 'an unknown route'
answer --request OPTIONS --header "$origin" --header 'Access-Control-Request-Method: POST' "$(address /v1/quote)"
expect_status 204 'a preflight'
expect_header Access-Control-Allow-Origin https://www.example.test 'a preflight'

# ---- nginx's refusals are problems too ----
long=$(printf '%09000d' 0)
head -c 70000 /dev/zero >"$scratch/large"
answer --header "$json" --header "$origin" --data-binary "@$scratch/large" "$(address /v1/quote)"
expect_problem 413 body-too-large 'a large body'
answer --header "$json" --header 'Origin: https://elsewhere.example' --data-binary "@$scratch/large" "$(address /v1/quote)"
expect_status 413 'a large body from a foreign page'
expect_header Access-Control-Allow-Origin '' 'a foreign origin'
answer --http1.1 --header "$origin" --header "X-Long: $long" "$(address /v1/regions)"
expect_status 431 'a long header'
answer --http1.1 --header "$origin" "$(address "/v1/$long")"
expect_status 414 'a long target'
for path in /metrics /healthz /readyz; do
	answer --header "$origin" "$(address "$path")"
	expect_problem 404 path-unknown "$path from outside"
done

# ---- TLS ----
status=$(curl --silent --output /dev/null --max-time 30 --write-out '%{http_code} %{redirect_url}' \
	--resolve "$site_name:$http_port:127.0.0.1" "http://$site_name:$http_port/desk?x=1")
[ "$status" = "308 https://$site_name/desk?x=1" ] || fail "plain HTTP: $status"
if openssl s_client -connect "127.0.0.1:$tls_port" -servername other.example </dev/null >"$scratch/tls.log" 2>&1; then
	fail 'a foreign name was given a certificate'
fi

# ---- the page is cached, and stays when no copy answers ----
answer "$(address /)"
expect_status 200 'the page'
expect_header Strict-Transport-Security max-age=31536000 'the page'
etag=$(header ETag)
[ -n "$etag" ] || fail 'the page has no ETag'
answer "$(address /)"
expect_header X-Cache HIT 'the page, asked again'
[ "$(header X-Request-Id | wc -l)" -eq 1 ] || fail 'not one request id'
answer --header "If-None-Match: $etag" "$(address /)"
expect_status 304 'the page, unchanged'
answer --header 'Accept-Encoding: gzip' "$(address /)"
expect_header Content-Encoding gzip 'the page, compressed'

# ---- rate: a burst of ten, then one a second; an enquiry that is refused costs as much as a good one ----
refused=false
for _ in $(seq 200); do
	answer --header "$json" --header "$origin" --data '{' "$(address /v1/range)"
	if [ "$status" = 429 ]; then
		refused=true
		break
	fi
done
$refused || fail '200 ranges from one address in a row were all let through'
expect_problem 429 too-many-requests 'one range too many'
expect_header Retry-After 1 'one range too many'
answer --header "$origin" "$(address '/v1/regions?private=17')"
expect_status 200 'regions, whose limit is apart'

# ---- nobody behind ----
stop "$copy_pid"
answer "${post[@]}" "$(address /v1/quote)"
expect_problem 502 unavailable 'no copy'
expect_header Retry-After 1 'no copy'
answer "$(address /)"
expect_status 200 'the page without a copy'

# ---- the log ----
stop "$nginx_pid"
jq -es '
	length > 20 and all(.[]; (keys - ["bytes_in", "bytes_out", "cache", "duration_s", "event", "method", "path",
	"req_id", "status", "ts", "upstream", "upstream_status"]) == []) and any(.[]; .status == 429)
' "$scratch/access.jsonl" >/dev/null || fail 'the access log is not as described'
if grep -q private "$scratch/access.jsonl"; then fail 'a query was logged'; fi
