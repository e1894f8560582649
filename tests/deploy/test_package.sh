# The Debian package: built, looked into, put through lintian, installed into a root of its own, run from there,
# upgraded, removed and purged. Nothing outside the scratch folder changes.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

tree=$PWD/package-build # kept, so that the next run builds only what changed
root=$scratch/root

cmake -S "$PONDWRIGHT_SOURCE" -B "$tree" -DCMAKE_BUILD_TYPE=Release >"$scratch/configure.log"
cmake --build "$tree" --target pondwright --parallel 2 >"$scratch/build.log"
(cd "$tree" && rm -f ./*.deb && cpack -G DEB) >"$scratch/cpack.log" 2>&1
deb=$(compgen -G "$tree/pondwright_*.deb") || fail 'cpack made no package'

# ---- what is in it ----
dpkg-deb --contents "$deb" >"$scratch/contents"
for path in usr/bin/pondwright usr/share/man/man1/pondwright.1.gz usr/share/doc/pondwright/copyright \
	usr/share/doc/pondwright/changelog.Debian.gz usr/share/doc/pondwright/README.md \
	usr/lib/systemd/system/pondwright.service usr/lib/systemd/system/pondwright.socket \
	usr/lib/systemd/system/pondwright.service.d/10-socket.conf usr/lib/sysusers.d/pondwright.conf; do
	grep -q " root/root .* \./$path\$" "$scratch/contents" || fail "the package has no $path"
done
dpkg-deb --info "$deb" conffiles | sort >"$scratch/conffiles"
(cd "$PONDWRIGHT_CONFIG" && find . -name '*.json' -printf '/etc/pondwright/%P\n' | sort) | cmp - "$scratch/conffiles" ||
	fail 'not every file of config/ is a conffile'
for library in libc6 libjansson4 libmicrohttpd12 libnettle8; do
	dpkg-deb --field "$deb" Depends | grep -qE "(^|, )$library( \(>= |,|$)" || fail "the package does not depend on $library"
done
version=$(dpkg-deb --field "$deb" Version)
zcat "$tree/package/changelog.Debian.gz" | grep -q "^pondwright ($version) " || fail "the changelog does not begin with $version"

as_root=()
if [ "$(id -u)" -eq 0 ]; then as_root=(--allow-root); fi
lintian "${as_root[@]}" --fail-on error "$deb" >"$scratch/lintian.log" 2>&1 || fail "lintian: $(cat "$scratch/lintian.log")"

# ---- a root with the packages of this machine on its books, so that the dependencies are checked ----
# And with what every Debian has and that is not the package's to remove.
umask 022
for folder in info updates triggers; do mkdir -p "$root/var/lib/dpkg/$folder"; done
mkdir -p "$root/etc/systemd/system" "$root/var/lib/systemd" "$root/usr"
cp /var/lib/dpkg/status "$root/var/lib/dpkg/status"
cp /var/lib/dpkg/info/*.list "$root/var/lib/dpkg/info"
for book in passwd group shadow gshadow; do touch "$root/etc/$book" "$root/etc/$book-"; done
touch "$root/etc/.pwd.lock"

# The maintainer scripts run outside and are told the root by DPKG_ROOT, as in a bootstrap: no chroot is needed.
manage() {
	PATH=/usr/sbin:/usr/bin:/sbin:/bin dpkg --root="$root" --log="$scratch/dpkg.log" --force-not-root \
		--force-script-chrootless --force-confold "$@" >"$scratch/manage.log" 2>&1 ||
		fail "dpkg $*: $(cat "$scratch/manage.log")"
}

# listing FILE: all that lies in the root, but for dpkg's own books
listing() {
	(cd "$root" && find . -path ./var/lib/dpkg -prune -o -printf '%y %p\n' | sort) >"$1"
}

state() {
	dpkg-query --admindir="$root/var/lib/dpkg" --show --showformat='${db:Status-Status}' pondwright
}

listing "$scratch/before"
manage --install "$deb"
[ "$(state)" = installed ] || fail "after the installation the package is $(state)"
grep -q '^pondwright:' "$root/etc/passwd" || fail 'the installation made no user'
for wanted in sockets.target.wants/pondwright.socket multi-user.target.wants/pondwright.service; do
	[ -L "$root/etc/systemd/system/$wanted" ] || fail "the installation did not enable $wanted"
done

# ---- the installed program on the installed configuration ----
PONDWRIGHT_BIN=$root/usr/bin/pondwright
[ "$("$PONDWRIGHT_BIN" --version)" = "pondwright ${version%-*}" ] || fail 'the version of the program is another'
"$PONDWRIGHT_BIN" check --config "$root/etc/pondwright" >"$scratch/check.log" 2>&1 || fail 'check refuses what was installed'
start_copy installed "$root/etc/pondwright"
curl --silent --fail --header 'Content-Type: application/json' --data-binary "@$enquiry" \
	"http://127.0.0.1:$copy_port/v1/quote" | jq -e .reference >/dev/null || fail 'the installed program gives no quote'
stop "$copy_pid"
if command -v man >/dev/null; then
	man --warnings --local-file "$root/usr/share/man/man1/pondwright.1.gz" >"$scratch/man" 2>"$scratch/man.log"
	[ ! -s "$scratch/man.log" ] || fail "the manual page: $(cat "$scratch/man.log")"
fi

# ---- what an administrator changed outlives an upgrade and a removal, but not a purge ----
jq '.public_detail = "headline"' "$PONDWRIGHT_CONFIG/service.json" >"$root/etc/pondwright/service.json"
printf 'demo-token-of-no-value-whatever\n' >"$root/etc/pondwright/owner-token"
manage --install "$deb"
manage --remove pondwright
[ "$(state)" = config-files ] || fail "after the removal the package is $(state)"
[ "$(jq -r .public_detail "$root/etc/pondwright/service.json")" = headline ] || fail 'a changed conffile was lost'
[ ! -e "$root/usr/bin/pondwright" ] || fail 'the removal left the program'
manage --install "$deb"
manage --purge pondwright
if [ -n "$(state 2>/dev/null)" ] && [ "$(state)" != not-installed ]; then fail "after the purge the package is $(state)"; fi
listing "$scratch/after"
diff "$scratch/before" "$scratch/after" >"$scratch/left" || fail "the purge left something: $(cat "$scratch/left")"
if grep -q pondwright "$root"/etc/{passwd,group,shadow,gshadow}; then fail 'the purge left the user'; fi
