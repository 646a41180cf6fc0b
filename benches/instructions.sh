#!/bin/sh
# Counts the instructions of one simulated shot under callgrind and compares them with the count
# recorded in benches/instructions.csv: machine load does not move it, so that a change of a few
# percent is seen. Another compiler makes other code: without a record of its own it is only told.
#   benches/instructions.sh            compare, exit 1 beyond the allowance
#   benches/instructions.sh record     write the count down for this compiler
set -eu
cd "$(dirname "$0")/.."
allowance_percent=2
record=benches/instructions.csv

if ! command -v valgrind >/dev/null; then
    echo "valgrind is not here: nothing was counted"
    exit 0
fi

compiler=$(rustc --version | cut -d ' ' -f 2)
target=$(rustc -vV | sed -n 's/^host: //p')
profile="bench lto=off codegen-units=16"
export CARGO_PROFILE_BENCH_LTO=off CARGO_PROFILE_BENCH_CODEGEN_UNITS=16
program=$(cargo bench --bench kernel --no-run --message-format=json 2>/dev/null |
    sed -n 's/.*"name":"kernel".*"executable":"\([^"]*\)".*/\1/p')

count() {
    valgrind --tool=callgrind --callgrind-out-file=/dev/null "$program" "$1" 2>&1 |
        sed -n 's/.*Collected : \([0-9]*\).*/\1/p'
}
# start-up falls out of the difference
instructions=$((($(count 11) - $(count 1)) / 10))
key="one standard shot,$compiler,$target,$profile"

if [ "${1:-compare}" = record ]; then
    [ -f "$record" ] || echo "what,compiler,target,profile,instructions" >"$record"
    grep -v "^$key," "$record" >"$record.new" || true
    echo "$key,$instructions" >>"$record.new"
    mv "$record.new" "$record"
    echo "recorded: $instructions instructions"
    exit 0
fi

recorded=$(sed -n "s|^$key,||p" "$record" 2>/dev/null || true)
if [ -z "$recorded" ]; then
    echo "$instructions instructions; nothing is recorded for $compiler on $target"
    exit 0
fi
change=$(awk "BEGIN { printf \"%.2f\", 100 * ($instructions - $recorded) / $recorded }")
echo "$instructions instructions, $recorded recorded: $change %"
awk "BEGIN { exit !($change <= $allowance_percent && $change >= -$allowance_percent) }"
