//! Every holder of a promise that the specification names is there.

use std::path::Path;

/// Texts between backticks.
fn quoted(text: &str) -> Vec<&str> {
    text.split('`').skip(1).step_by(2).collect()
}

#[test]
fn every_promise_is_held_by_something_that_is_there() {
    let top = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(top.join("docs/SPECIFICATION.md")).expect("a text");
    let rows = text.lines().filter(|line| line.starts_with("| "));
    let mut held = 0;
    for row in rows.filter(|row| !row.starts_with("| promise |")) {
        let holder = row.trim_end_matches(" |").rsplit(" | ").next();
        let holder = quoted(holder.expect("a last cell"));
        let file = std::fs::read_to_string(top.join(holder[0]));
        let file = file.unwrap_or_else(|error| panic!("{row}: {error}"));
        for name in &holder[1..] {
            let is_there = [" fn ", "\nfn ", "\ndef "]
                .iter()
                .any(|before| file.contains(&format!("{before}{name}(")));
            assert!(is_there, "{row}: there is no {name}");
        }
        held += 1;
    }
    assert!(held > 40, "{held} promises");
}
