# The manual page, the README and the program name the same commands, options and routes, so that none of them lags behind.
. "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

page=$PONDWRIGHT_SOURCE/deploy/pondwright.1
readme=$PONDWRIGHT_SOURCE/README.md

# same WHAT LEFT RIGHT: two files hold the same words, in whatever order and however often.
same() {
	sort -u "$2" >"$2.sorted"
	sort -u "$3" >"$3.sorted"
	[ "$(wc -l <"$2.sorted")" -ge 3 ] || fail "$1: $2 holds too little to be compared"
	diff "$2.sorted" "$3.sorted" >"$scratch/differs" || fail "$1: $(cat "$scratch/differs")"
}

# headings SECTION: what the tagged paragraphs of a section of the page are headed by, without its typesetting.
headings() {
	awk -v section="$1" '/^\.SH/ { inside = $0 == ".SH " section } tag && inside { print } { tag = $0 == ".TP" }' "$page" |
		sed -E 's/^\.[A-Z]+ //; s/\\f[A-Z]//g; s/\\-/-/g; s/"//g'
}

"$PONDWRIGHT_BIN" --help >"$scratch/help"
[ "$("$PONDWRIGHT_BIN" 2>&1)" = "$(cat "$scratch/help")" ] || fail 'without a command it says something else'

# ---- commands ----
sed -nE 's/^  ([a-z]+) .*/\1/p' "$scratch/help" >"$scratch/commands"
headings COMMANDS | tr -s ' ,' '\n' >"$scratch/page-commands"
same 'commands of the program (<) and of the page (>)' "$scratch/commands" "$scratch/page-commands"
sed -nE '/^The same answers come from the command line/,/^$/p' "$readme" | grep -oE '`[^`]+`' | tr -d '`' |
	sed -E 's/^build\/pondwright ([a-z]+) .*/\1/' | grep -xE '[a-z]{4,}' >"$scratch/readme-commands"
same 'commands of the program (<) and of the README (>)' "$scratch/commands" "$scratch/readme-commands"

# ---- options: those of the commands that read their own line are in what these say when called alone ----
{
	cat "$scratch/help"
	"$PONDWRIGHT_BIN" rates 2>&1 || true
	"$PONDWRIGHT_BIN" backtest 2>&1 || true
} | grep -oE -- '--[a-z-]+' >"$scratch/options"
headings OPTIONS | grep -oE -- '--[a-z-]+' >"$scratch/page-options"
same 'options of the program (<) and of the page (>)' "$scratch/options" "$scratch/page-options"
sed 's/\\-/-/g; s/[",]/ /g' "$page" | sed -n '/^\.SH SYNOPSIS/,/^\.SH DESCRIPTION/p' | grep -oE -- '--[a-z-]+' >"$scratch/synopsis"
same 'options of the program (<) and of the synopsis (>)' "$scratch/options" "$scratch/synopsis"

# ---- routes: the served document is made of the table of routes ----
start_copy manual "$PONDWRIGHT_CONFIG"
curl --silent --fail "http://127.0.0.1:$copy_port/openapi.json" | jq -r '.paths | keys[]' >"$scratch/routes"
headings ROUTES | tr -s ' ,' '\n' >"$scratch/page-routes"
same 'routes of the service (<) and of the page (>)' "$scratch/routes" "$scratch/page-routes"
sed -nE 's/^\| `(GET|POST) ([^|]*)\|.*/\2/p' "$readme" | grep -oE '/[a-z0-9/.{}-]+' >"$scratch/readme-routes"
same 'routes of the service (<) and of the README (>)' "$scratch/routes" "$scratch/readme-routes"
