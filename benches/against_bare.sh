#!/usr/bin/env bash
# Requests per second of the service beside a bare actix handler on the same JSON, one worker
# each, in one run: the two are measured in turn and the ratio of the medians is printed.
# Needs wrk. Loopback only; bounded to about two minutes.
set -euo pipefail
cd "$(dirname "$0")/.."
rounds=${ROUNDS:-5} seconds=${SECONDS_EACH:-3} path=${1:-/v1/extraction-yield}
body=${2:-'{"dose_g":18.0,"beverage_mass_g":36.0,"tds_percent":9.5}'}

cargo build --release --locked
bare=$(cargo bench --no-run --bench bare_server --profile release --locked 2>&1 |
    sed -n 's/.*(\(.*bare_server[^)]*\)).*/\1/p')
work=$(mktemp -d)
trap 'kill $(jobs -p) 2>/dev/null || true; rm -rf "$work"' EXIT
printf 'wrk.method = "POST"\nwrk.headers["content-type"] = "application/json"\nwrk.body = %s\n' \
    "'$body'" >"$work/post.lua"

# address OUTPUT_FILE: waits for the line that tells it
address() {
    for _ in $(seq 100); do
        grep -m1 -o 'http://[0-9.:]*' "$1" && return
        sleep 0.05
    done
    return 1
}
taskset -c 0 "$bare" 127.0.0.1:0 >"$work/bare.out" 2>/dev/null &
taskset -c 0 target/release/extraction-maths serve --listen 127.0.0.1:0 --workers 1 \
    --log-format json >"$work/own.out" 2>"$work/own.log" &
bare_at=$(address "$work/bare.out") own_at=$(address "$work/own.out")

rate() { # URL -> requests per second
    taskset -c 1 wrk -t1 -c32 -d"${seconds}s" -s "$work/post.lua" "$1$path" |
        awk '/Requests\/sec/ {rate = $2} /Non-2xx/ {bad = 1} END {print bad ? "failed" : rate}'
}
rate "$bare_at" >/dev/null
rate "$own_at" >/dev/null
for _ in $(seq "$rounds"); do
    rate "$bare_at" >>"$work/bare"
    rate "$own_at" >>"$work/own"
done
median() { sort -n "$1" | awk '{v[NR] = $1} END {print v[int((NR + 1) / 2)]}'; }
paste "$work/bare" "$work/own" | awk '{printf "bare %10.0f/s   service %10.0f/s   ratio %.3f\n", $1, $2, $2 / $1}'
echo "medians: bare $(median "$work/bare")/s, service $(median "$work/own")/s"
awk -v a="$(median "$work/own")" -v b="$(median "$work/bare")" 'BEGIN {printf "ratio %.3f\n", a / b}'
awk 'END {print NR " lines of access log written"}' "$work/own.log"
