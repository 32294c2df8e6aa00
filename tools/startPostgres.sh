#!/bin/sh
# Starts a throw-away PostgreSQL server on a free loopback port and prints its address, for the store's tests:
#   export EVENCRUMB_TEST_POSTGRES="$(tools/startPostgres.sh)"
#   tools/startPostgres.sh stop "$EVENCRUMB_TEST_POSTGRES"
# Its data lie in a temporary folder and are never synced: this server is for tests only.
# On Debian, as root, the server is installed where it is missing. Everything but the address goes to standard error.
set -eu

as_server() { # the server refuses to run as root
  if [ "$(id -u)" = 0 ]; then (cd / && runuser -u postgres -- "$@"); else "$@"; fi
}
find_programs() { # newest version first; empty when there is none
  for folder in $(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort -t/ -k5 -rn) $(dirname "$(command -v initdb || echo /)"); do
    if [ -x "$folder/initdb" ] && [ -x "$folder/pg_ctl" ]; then echo "$folder"; return; fi
  done
}

programs=$(find_programs)
if [ "${1:-}" = stop ]; then
  port=${2##*:}; port=${port%%/*}
  for folder in "${TMPDIR:-/tmp}"/evencrumb-postgres.*; do
    if [ -f "$folder/port" ] && [ "$(cat "$folder/port")" = "$port" ]; then
      as_server "$programs/pg_ctl" -D "$folder/data" -m immediate -w stop >&2
      rm -rf "$folder"
    fi
  done
  exit 0
fi

if [ -z "$programs" ]; then
  if [ "$(id -u)" != 0 ] || ! command -v apt-get >/dev/null; then
    echo "PostgreSQL is not installed here, and cannot be installed without root and apt-get." >&2
    exit 1
  fi
  echo "Installing PostgreSQL ..." >&2
  { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends postgresql; } >&2
  programs=$(find_programs)
fi

port=$(node -e 'const s=require("node:net").createServer().listen(0,"127.0.0.1",()=>{console.log(s.address().port);s.close()})')
folder=$(mktemp -d "${TMPDIR:-/tmp}/evencrumb-postgres.XXXXXX")
[ "$(id -u)" = 0 ] && chown postgres "$folder"
as_server "$programs/initdb" -D "$folder/data" -U evencrumb -A trust -E UTF8 --locale=C.UTF-8 --no-sync >&2
echo "$port" >"$folder/port"
as_server "$programs/pg_ctl" -D "$folder/data" -l "$folder/server.log" -w -t 60 \
  -o "-c listen_addresses=127.0.0.1 -c port=$port -c unix_socket_directories= -c fsync=off -c max_connections=200" start >&2
echo "postgres://evencrumb@127.0.0.1:$port/postgres"
