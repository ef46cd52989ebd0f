#!/usr/bin/env bash
# Starts the program on an invented shop of its own and runs one of the page's npm scripts against it.
#   against_the_program.sh PROGRAM SCRIPT
set -euo pipefail
program=$1 script=$2
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
shop=$(mktemp -d)
log=$shop.log
: >"$log"  # so that it is there to be looked at before the program has written a line
cleanup() {
  [ -n "${server:-}" ] && kill -INT "$server" 2>/dev/null && wait "$server" 2>/dev/null
  rm -rf "$shop" "$log"
}
trap cleanup EXIT

"$program" serve --data "$shop" --listen 127.0.0.1:0 >"$log" 2>&1 &
server=$!
for _ in $(seq 300); do
  grep -q 'Ctrl-C stops' "$log" && break
  kill -0 "$server" 2>/dev/null || { cat "$log" >&2; exit 1; }
  sleep 0.2
done
BOXFETTLE_URL=$(sed -nE 's|.* at (http://[^/ ]+)/$|\1|p' "$log" | head -n 1)
BOXFETTLE_PASSPHRASE=$(sed -nE 's/^Passphrase: //p' "$shop/sign-in.txt")
export BOXFETTLE_URL BOXFETTLE_PASSPHRASE BOXFETTLE_NAME=Greta
cd "$here/../../web"
npm run --silent "$script"
