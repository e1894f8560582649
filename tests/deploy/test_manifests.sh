# What no cluster and no container engine is at hand for: the Kubernetes manifest and the Containerfile are judged by
# models and rules (manifests.py says what those cannot tell), and the commands in them are tried on the program.
# And the bill of materials.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

deploy=$PONDWRIGHT_SOURCE/deploy
manifest=$deploy/kubernetes/pondwright.yaml
manifests() {
	/usr/bin/python3 -B "$PONDWRIGHT_SOURCE/tests/deploy/manifests.py" "$@"
}

version=$("$PONDWRIGHT_BIN" --version)
version=${version#pondwright }

# ---- Kubernetes ----
manifests kubernetes "$manifest" "$version" || fail 'the manifest is not right'
# refused PATTERN TEXT: the manifest with one thing changed must not pass.
refused() {
	cp "$manifest" "$scratch/wrong.yaml"
	replace "$1" "$2" "$scratch/wrong.yaml"
	if manifests kubernetes "$scratch/wrong.yaml" "$version" 2>/dev/null; then fail "the manifest passes with '$2'"; fi
}
refused 'readOnlyRootFilesystem' 'readOnlyRootFileSystem'
refused 'runAsUser: 65532' 'runAsUser: 0'
refused 'maxReplicas: 10' 'maxReplicas: ten'
refused 'drop: \[ALL\]' 'drop: [NET_RAW]'
refused 'path: /healthz' 'path: /health'
refused 'terminationGracePeriodSeconds: 30' 'terminationGracePeriodSeconds: 12'
refused 'targetPort: http' 'targetPort: www'

# ---- the options and probes in it, on the program ----
admin_port=$(free_port)
"$PONDWRIGHT_BIN" serve --config "$PONDWRIGHT_CONFIG" --listen 127.0.0.1:0 --admin-listen "127.0.0.1:$admin_port" \
	--drain-delay 600 2>"$scratch/pod.log" &
pod=$!
started+=("$pod")
for path in /healthz /readyz /metrics; do
	within "$path on the admin socket" curl --silent --fail --max-time 5 "http://127.0.0.1:$admin_port$path"
done
not_ready() {
	[ "$(curl --silent --output /dev/null --write-out '%{http_code}' --max-time 5 "http://127.0.0.1:$1/readyz")" = 503 ]
}

# ---- Containerfile, and its health check against the program ----
manifests containerfile "$deploy/Containerfile" "$PONDWRIGHT_SOURCE" || fail 'the Containerfile is not right'
mapfile -t health < <(manifests healthcheck "$deploy/Containerfile" |
	sed "s|^/usr/bin/pondwright\$|$PONDWRIGHT_BIN|; s|:8080|:$admin_port|")
[ "${health[0]}" = "$PONDWRIGHT_BIN" ] || fail 'the health check is not by the program'
"${health[@]}" || fail 'the health check fails on a healthy service'
kill -TERM "$pod"
within 'the service to drain' not_ready "$admin_port"
if "${health[@]}"; then fail 'the health check passes while the service drains'; fi
curl --silent --fail --output /dev/null --max-time 5 "http://127.0.0.1:$admin_port/healthz" ||
	fail 'the service is not alive while it drains'
kill -TERM "$pod" # the second one ends it at once
wait "$pod" || true
if "${health[@]}" 2>/dev/null; then fail 'the health check passes without a service'; fi

# one that is reached and says nothing, or something else, is not ready; what is no address is a slip
/usr/bin/python3 -u -c 'import socket, time
silent, chatty = (socket.create_server(("127.0.0.1", 0)) for _ in range(2))
print(silent.getsockname()[1], chatty.getsockname()[1])
chatty.accept()[0].sendall(b"220 mail.example.com ready")
time.sleep(600)' >"$scratch/strangers" &
started+=("$!")
within 'two strangers to listen' grep -q ' ' "$scratch/strangers"
read -r silent chatty <"$scratch/strangers"
for stranger in "127.0.0.1:$silent" "127.0.0.1:$chatty"; do
	status=0
	"$PONDWRIGHT_BIN" ready --listen "$stranger" 2>/dev/null || status=$?
	[ "$status" -eq 1 ] || fail "ready ends with $status at a stranger"
done
status=0
"$PONDWRIGHT_BIN" ready --listen 127.0.0.1 2>/dev/null || status=$?
[ "$status" -eq 2 ] || fail "ready ends with $status without a port"

# ---- bill of materials ----
"$deploy/sbom" "$PONDWRIGHT_BIN" >"$scratch/bom.json" || fail 'no bill of materials'
"$deploy/sbom" "$PONDWRIGHT_BIN" | cmp - "$scratch/bom.json" || fail 'the bill of materials is another each time'
manifests bill "$scratch/bom.json" || fail 'the bill of materials is not right'
[ "$(jq -r .metadata.component.version "$scratch/bom.json")" = "$version" ] || fail 'the bill is of another version'
