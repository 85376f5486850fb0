#!/bin/sh
# A PostgreSQL on loopback with one table, and how many one-row inserts a second pgbench gets into it over eight connections: durable
# (fsync on), prepared, both cores. pgbench.sh start|stop FOLDER PORT; pgbench.sh turn FOLDER PORT SECONDS BODY prints the rate.
set -eu
bin=$(ls -d /usr/lib/postgresql/*/bin | tail -1)
cores=0-$(($(nproc --all) - 1))
as() { if [ "$(id -u)" = 0 ]; then runuser -u postgres -- taskset -c "$cores" "$@"; else taskset -c "$cores" "$@"; fi }
case $1 in
start)
  mkdir "$2"
  [ "$(id -u)" != 0 ] || chown postgres "$2"
  cd /
  as "$bin/initdb" -D "$2/db" --locale=C -E UTF8 -A trust -U postgres >"$2.log"
  as "$bin/pg_ctl" -D "$2/db" -w -l "$2/log" -o "-p $3 -k $2 -c listen_addresses=127.0.0.1" start >>"$2.log"
  as "$bin/psql" -q -h 127.0.0.1 -p "$3" -U postgres -c 'CREATE TABLE r(id bigserial PRIMARY KEY, body bytea)'
  ;;
turn)
  cd /
  printf "INSERT INTO r(body) VALUES ('%s');\n" "$5" >"$2.sql"
  as "$bin/pgbench" -n -M prepared -c 8 -j 8 -T "$4" -f "$2.sql" -h 127.0.0.1 -p "$3" -U postgres postgres | sed -n 's/^tps = \([0-9.]*\).*/\1/p'
  ;;
stop) as "$bin/pg_ctl" -D "$2/db" -m immediate stop >/dev/null ;;
esac
