//! Time of one call of each calculation, from the bytes of a request to the bytes of the
//! answer, on the requests of `demo-data/`. Run with `cargo bench --bench calculations`.

use divan::Bencher;
use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::registry::{Entry, REGISTRY};

fn main() {
    divan::main();
}

/// Every example of the registry by a name that reads in a table.
fn examples() -> Vec<String> {
    let names = REGISTRY.iter().flat_map(|entry| {
        entry
            .examples
            .iter()
            .map(move |example| format!("{} {}", entry.name, example.name))
    });
    names.collect()
}

fn find(name: &str) -> Option<(&'static Entry, &'static str)> {
    REGISTRY.iter().find_map(|entry| {
        let example = name.strip_prefix(entry.name)?.trim();
        let found = entry.examples.iter().find(|e| e.name == example)?;
        Some((entry, found.body))
    })
}

#[divan::bench(args = examples())]
fn answer(bencher: Bencher<'_, '_>, name: &str) {
    let Some((entry, body)) = find(name) else {
        return;
    };
    let mut out = Vec::with_capacity(16 * 1024);
    bencher.bench_local(|| {
        out.clear();
        let answered = entry.answer(body.as_bytes(), &UNCANCELLED, &mut out);
        divan::black_box(answered.is_ok())
    });
}
