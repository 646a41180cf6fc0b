#!/usr/bin/env bash
# Two replicas behind nginx as deploy/nginx.conf has them, on other ports: a GET is computed once
# and then answered by the cache, a POST never is, and a killed replica costs no caller an answer.
set -euo pipefail
program=$1
work=$(mktemp -d)
pids=()
cleanup() { kill -TERM "${pids[@]}" 2>/dev/null || true; wait 2>/dev/null || true; rm -rf "$work"; }
trap cleanup EXIT
base=$((20000 + RANDOM % 20000))
front=$base one=$((base + 1)) two=$((base + 2))
sed -e "s|127.0.0.1:8080|127.0.0.1:$front|; s|127.0.0.1:8081|127.0.0.1:$one|; s|127.0.0.1:8082|127.0.0.1:$two|" \
    -e "s|/tmp/extraction-maths-nginx|$work/nginx|" deploy/nginx.conf >"$work/nginx.conf"
for port in "$one" "$two"; do
    "$program" serve --listen "127.0.0.1:$port" --log error >/dev/null 2>&1 &
    pids+=("$!")
done
# ready before the proxy starts: each of its processes remembers for 2 s whom it found missing
for port in "$one" "$two"; do
    for _ in $(seq 100); do
        curl -sf -o /dev/null "http://127.0.0.1:$port/readyz" && break
        sleep 0.1
    done
done
chmod 755 "$work"
nginx -g 'daemon off;' -c "$work/nginx.conf" 2>/dev/null &
pids+=("$!")

url="http://127.0.0.1:$front/v1/ratio?dose_g=18&brew_ratio=2"
for _ in $(seq 100); do
    curl -sf -o /dev/null "http://127.0.0.1:$front/v1" && break
    sleep 0.1
done
cached() { curl -sf -o "$work/answer" -D - "$@" | tr -d '\r' | sed -n 's/^[Xx]-[Cc]ache: //p'; }
first=$(cached "$url")
second=$(cached "$url")
posted=$(cached "http://127.0.0.1:$front/v1/ratio" -H 'content-type: application/json' -d '{"dose_g":18,"brew_ratio":2}')
echo "GET: $first, then $second; POST: ${posted:-not kept}"
[[ $first == MISS && $second == HIT && $posted != HIT ]]

kill -9 "${pids[0]}"
for number in $(seq 50); do
    curl -sf -o /dev/null "http://127.0.0.1:$front/v1/ratio" -H 'content-type: application/json' \
        -d "{\"dose_g\":$number,\"brew_ratio\":2}"
done
echo 'one replica killed: 50 of 50 calls answered'
