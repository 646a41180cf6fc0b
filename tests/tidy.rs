//! House rules that a program can check: who may name whom, how long a file is, what a formula
//! says of itself, and what must not be there at all.
#![cfg(test)]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// A file of the repository, by its path from the top.
struct File {
    path: String,
    text: String,
}

fn top() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// All files under a folder with one of these endings; none for what is built or fetched.
fn files(folder: &str, endings: &[&str]) -> Vec<File> {
    let mut found = Vec::new();
    let mut open = vec![top().join(folder)];
    while let Some(path) = open.pop() {
        if path.is_dir() {
            let entries = std::fs::read_dir(&path).expect("a folder");
            let paths = entries.map(|entry| entry.expect("an entry").path());
            open.extend(paths.filter(|path| !path.ends_with("target")));
        } else if endings.iter().any(|ending| has_ending(&path, ending)) {
            let shown = path.strip_prefix(top()).expect("a path from the top");
            found.push(File {
                path: shown.to_str().expect("a plain name").to_owned(),
                text: std::fs::read_to_string(&path).expect("text"),
            });
        }
    }
    found.sort_by(|a, b| a.path.cmp(&b.path));
    found
}

fn has_ending(path: &Path, ending: &str) -> bool {
    path.extension().is_some_and(|found| found == ending)
}

fn rust() -> Vec<File> {
    let mut files = files("src", &["rs"]);
    files.extend(self::files("tests", &["rs"]));
    files.extend(self::files("benches", &["rs"]));
    files
}

impl File {
    /// Lines of code with their number: no comments, no blank lines, no unit tests.
    fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        let lines = self.text.lines().map(str::trim).zip(1..);
        let before_tests = lines.take_while(|(line, _)| !line.starts_with("mod tests {"));
        before_tests
            .filter(|(line, _)| !line.is_empty() && !line.starts_with("//"))
            .map(|(line, number)| (number, line))
    }

    /// Places of code that name one of these words, whole.
    fn naming(&self, words: &[&str]) -> Vec<String> {
        self.code()
            .flat_map(|(number, line)| {
                let named = words.iter().filter(move |word| names(line, word));
                named.map(move |word| format!("{}:{number} names {word}", self.path))
            })
            .collect()
    }
}

/// Whether a line has a word that is not part of a longer one.
fn names(line: &str, word: &str) -> bool {
    let is_part = |c: char| c.is_alphanumeric() || c == '_';
    line.match_indices(word).any(|(start, _)| {
        let before = line[..start].chars().next_back();
        let after = line[start + word.len()..].chars().next();
        !before.is_some_and(is_part) && !after.is_some_and(is_part)
    })
}

#[track_caller]
fn assert_none(found: &[String]) {
    assert!(found.is_empty(), "\n{}\n", found.join("\n"));
}

/// What a layer may not name, by its folder.
const FORBIDDEN: [(&str, &[&str]); 6] = [
    // pure: no HTTP, no encoding, no clock, no input or output
    (
        "src/maths",
        &[
            "actix_web",
            "reqwest",
            "tokio",
            "utoipa",
            "validator",
            "tracing",
        ],
    ),
    (
        "src/maths",
        &[
            "serde",
            "serde_json",
            "std::time",
            "std::io",
            "std::net",
            "std::env",
            "std::fs",
        ],
    ),
    (
        "src/maths",
        &[
            "crate::api",
            "crate::server",
            "crate::client",
            "crate::command",
        ],
    ),
    (
        "src/api",
        &[
            "actix_web",
            "reqwest",
            "tokio",
            "crate::server",
            "crate::client",
            "crate::command",
        ],
    ),
    (
        "src/server",
        &[
            "crate::api::calculations",
            "crate::client",
            "crate::command",
        ],
    ),
    (
        "src/client.rs",
        &["actix_web", "crate::server", "crate::command"],
    ),
];

#[test]
fn layers_name_only_what_lies_below_them() {
    let mut found = Vec::new();
    for (folder, words) in FORBIDDEN {
        let files = files(folder, &["rs"]);
        assert!(!files.is_empty(), "{folder} is not there");
        found.extend(files.iter().flat_map(|file| file.naming(words)));
    }
    assert_none(&found);
}

/// A composed calculation asks another one; its types are public, its insides are not.
#[test]
fn a_calculation_takes_only_types_from_another() {
    let folder = "src/api/calculations/";
    let mut found = Vec::new();
    for file in files(folder, &["rs"]) {
        let own = file.path.trim_start_matches(folder);
        let own = own.split(['/', '.']).next().expect("a name").to_owned();
        for (number, line) in file.code() {
            for (_, path) in line
                .match_indices("calculations::")
                .map(|(at, p)| (p, &line[at + p.len()..]))
            {
                let (module, rest) = path.split_once("::").unwrap_or((path, ""));
                let is_type =
                    |name: &str| name.trim().starts_with(|c: char| c.is_ascii_uppercase());
                let names = rest.trim_matches(['{', '}', ';']);
                if module != own && !names.split(',').all(is_type) {
                    found.push(format!("{}:{number} takes {path}", file.path));
                }
            }
        }
    }
    assert_none(&found);
}

#[test]
fn a_file_has_one_subject_and_300_lines_of_code_at_most() {
    let mut found = Vec::new();
    for file in rust() {
        let lines = file.code().count();
        // a test says a lot once, line by line; what is served must be read as a whole
        if file.path.starts_with("src/") && lines > 300 {
            found.push(format!("{} has {lines} lines of code", file.path));
        }
        let stem = Path::new(&file.path).file_stem().expect("a name");
        if ["utils", "helpers", "common", "misc", "types"]
            .iter()
            .any(|name| stem == *name)
        {
            found.push(format!("{} is named for no subject", file.path));
        }
    }
    assert_none(&found);
}

/// Folders of the maths that hold tools and types instead of formulas.
const NO_SUBJECTS: [&str; 2] = ["src/maths/quantity/", "src/maths/numeric/"];

#[test]
fn every_formula_says_what_it_is_and_where_it_holds() {
    let (mut found, mut formulas) = (Vec::new(), 0);
    for file in files("src/maths", &["rs"]) {
        let is_subject = file.path.matches('/').count() > 2 || file.path.ends_with("/ratio.rs");
        if !is_subject
            || NO_SUBJECTS
                .iter()
                .any(|folder| file.path.starts_with(folder))
        {
            continue;
        }
        let lines: Vec<_> = file.text.lines().collect();
        for (at, line) in lines.iter().enumerate() {
            if line.starts_with("pub fn ") || line.starts_with("pub const fn ") {
                formulas += 1;
                let missing = missing_headings(&lines, at);
                if !missing.is_empty() {
                    found.push(format!("{}:{} lacks {missing:?}", file.path, at + 1));
                }
            }
        }
    }
    assert_none(&found);
    assert!(formulas > 20, "only {formulas} formulas were seen");
}

/// Headings that the function at this line should have and has not, or has out of order.
fn missing_headings(lines: &[&str], at: usize) -> Vec<&'static str> {
    let is_above = |line: &&&str| line.starts_with("///") || line.starts_with("#[");
    let above: Vec<_> = lines[..at].iter().rev().take_while(is_above).collect();
    let mut headings = above
        .iter()
        .rev()
        .filter_map(|line| line.strip_prefix("/// # "))
        // a line that is hidden in an example starts like a heading
        .filter(|heading| heading.starts_with(|c: char| c.is_ascii_uppercase()));
    let signature: String = lines[at..]
        .iter()
        .take_while(|line| **line != "}")
        .copied()
        .collect();
    let signature = signature.split('{').next().unwrap_or_default();
    let mut expected = vec!["Equation", "Source", "Valid for", "Errors", "Example"];
    if !signature.contains("Result<") {
        expected.retain(|heading| *heading != "Errors");
    }
    expected.retain(|heading| !headings.any(|found| found == *heading));
    expected
}

#[test]
fn a_constant_is_written_down_once() {
    let constants = std::fs::read_to_string(top().join("src/maths/constants.rs")).expect("text");
    let values: Vec<_> = constants
        .lines()
        .filter_map(|line| line.split_once(": f64 = ")?.1.strip_suffix(';'))
        .filter(|value| value.starts_with(|c: char| c.is_ascii_digit()))
        // short ones are numbers like any other
        .filter(|value| value.bytes().filter(u8::is_ascii_digit).count() >= 5)
        .collect();
    assert!(!values.is_empty());
    let mut found = Vec::new();
    for file in files("src/maths", &["rs"]) {
        if file.path != "src/maths/constants.rs" {
            found.extend(file.naming(&values));
        }
    }
    assert_none(&found);
}

#[test]
fn nothing_is_left_open_switched_off_or_passed_on_wholesale() {
    // put together here, so that this file does not find itself
    let never = [
        concat!("#[ig", "nore"),
        concat!("#[should_", "panic"),
        concat!("to", "do!("),
        concat!("unimple", "mented!("),
        concat!("FIX", "ME"),
        concat!("thread::", "sleep"),
    ];
    let mut found = Vec::new();
    for file in rust() {
        for (number, line) in file
            .text
            .lines()
            .zip(1..)
            .map(|(line, number)| (number, line.trim()))
        {
            // a load that is paced has to wait
            let is_paced =
                |word: &str| word.ends_with("sleep") && file.path.starts_with("benches/");
            let words = never
                .iter()
                .filter(|word| line.contains(**word) && !is_paced(word));
            found.extend(words.map(|word| format!("{}:{number} has {word}", file.path)));
            if line.starts_with("pub") && line.contains(" use ") && line.ends_with("::*;") {
                found.push(format!("{}:{number} passes everything on", file.path));
            }
        }
    }
    assert_none(&found);
}

#[test]
fn every_file_of_test_data_says_where_it_is_from() {
    let sources = std::fs::read_to_string(top().join("tests/data/SOURCES.md")).expect("text");
    let named: BTreeSet<_> = sources
        .lines()
        .filter_map(|line| line.strip_prefix("| ")?.split(" |").next())
        .filter(|name| name.contains('.'))
        .map(str::to_owned)
        .collect();
    let entries = std::fs::read_dir(top().join("tests/data")).expect("a folder");
    let there: BTreeSet<_> = entries
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .into_string()
                .expect("a plain name")
        })
        .filter(|name| name != "SOURCES.md")
        .collect();
    assert_eq!(there, named);
}

#[test]
fn the_top_level_is_short() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "Dockerfile",
        "README.md",
        "DEVELOPERS.md",
        "src",
        "openapi",
        "tests",
        "demo-data",
        "docs",
        "benches",
        "deploy",
        "target",
    ];
    let entries = std::fs::read_dir(top()).expect("a folder");
    let names = entries.map(|entry| entry.expect("an entry").file_name().into_string());
    let is_stray = |name: &String| !name.starts_with('.') && !allowed.contains(&name.as_str());
    let found: Vec<_> = names
        .map(|name| name.expect("a plain name"))
        .filter(is_stray)
        .collect();
    assert_none(&found);
}

#[test]
fn no_text_names_a_place_on_the_machine_it_was_written_on() {
    let places = ["/home/", "/root/", "/Users/", "C:\\"];
    let endings = ["rs", "md", "toml", "json", "yaml", "csv", "py", "ts", "sh"];
    let mut found = Vec::new();
    for folder in [
        "src",
        "tests",
        "docs",
        "benches",
        "deploy",
        "demo-data",
        "openapi",
        ".ci",
        "README.md",
        "DEVELOPERS.md",
    ] {
        if !top().join(folder).exists() {
            continue;
        }
        for file in files(folder, &endings)
            .iter()
            .filter(|file| file.path != "tests/tidy.rs")
        {
            for (line, number) in file.text.lines().zip(1..) {
                let here = places.iter().filter(|place| line.contains(**place));
                found.extend(here.map(|place| format!("{}:{number} has {place}", file.path)));
            }
        }
    }
    assert_none(&found);
}

#[test]
fn the_rules_find_what_they_look_for() {
    assert!(names("use serde::Serialize;", "serde"));
    assert!(!names("let serde_like = 1;", "serde"));
    let file = |text: &str| File {
        path: PathBuf::from("x.rs").to_str().expect("text").to_owned(),
        text: text.to_owned(),
    };
    let sample = file("// serde\nuse serde::Serialize;\n\nmod tests {\n    use serde;\n");
    assert_eq!(sample.naming(&["serde"]), ["x.rs:2 names serde"]);
    let lines = [
        "/// A thing.",
        "/// # Equation",
        "/// # Valid for",
        "/// # Source",
        "/// # use hidden;",
        "/// # Example",
        "pub fn thing() -> Result<f64, E> {",
        "}",
    ];
    assert_eq!(
        missing_headings(&lines, 6),
        ["Valid for", "Errors", "Example"]
    );
}
