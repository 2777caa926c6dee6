//! Whether the house is in order: imports go downwards only, every folder is on the map, vendored
//! files are what they say, and the browser side asks nobody outside.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// What each part of `src` may import of ours. Tests inside a module may use more.
const MAY_IMPORT: &[(&str, &[&str])] = &[
    ("trade", &[]),
    ("day", &["trade"]),
    ("lookback", &["day", "trade", "pace", "outlook"]),
    ("trace", &["day", "trade"]),
    ("shelf", &["day", "trade", "trace"]),
    ("sim", &[]),
    ("pace", &["day", "trade", "sim"]),
    ("outlook", &["day", "trade", "sim", "pace"]),
    ("prepare", &["day", "trade", "pace", "outlook"]),
    (
        "analyst",
        &[
            "config", "clock", "day", "engine", "journal", "measures", "outlook", "pace",
        ],
    ),
    ("clock", &["day"]),
    ("journal", &["day", "shelf"]),
    ("measures", &[]),
    ("copies", &["day", "journal", "shelf", "trace"]),
    (
        "engine",
        &["day", "journal", "clock", "measures", "shelf", "trace"],
    ),
    ("config", &["day"]),
    (
        "server",
        &[
            "analyst", "config", "clock", "copies", "day", "engine", "journal", "lookback",
            "measures", "pace", "prepare", "shelf", "trace", "trade",
        ],
    ),
    ("demo", &["day", "trade", "server", "config", "clock"]),
    (
        "cli",
        &[
            "clock", "config", "copies", "day", "demo", "engine", "journal", "lookback", "outlook",
            "pace", "prepare", "server", "sim", "trade",
        ],
    ),
];

/// Words that would let the outside into the pure part.
const IMPURE: &[&str] = &[
    "std::time",
    "std::fs",
    "std::net",
    "std::thread",
    "std::env",
    "HashMap",
    "HashSet",
    "tokio",
    "actix",
    "rusqlite",
    "rand",
    "tracing",
    "async fn",
    "SystemTime",
    "Instant::now",
    "println!",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The part of `src` that a file belongs to: its folder, or its name without the ending.
fn part_of(file: &Path) -> String {
    let inside = file.strip_prefix(root().join("src")).unwrap();
    let first = inside.components().next().unwrap().as_os_str();
    first.to_str().unwrap().trim_end_matches(".rs").to_owned()
}

fn sources() -> Vec<(PathBuf, String)> {
    let rust = files(&root().join("src"))
        .into_iter()
        .filter(|path| path.extension().is_some_and(|ending| ending == "rs"));
    let no_tests = rust.filter(|path| !path.to_str().unwrap().ends_with("_tests.rs"));
    no_tests
        .map(|path| {
            let text = fs::read_to_string(&path).unwrap();
            let code = text.split("#[cfg(test)]").next().unwrap().to_owned();
            (path, code)
        })
        .collect()
}

#[test]
fn imports_go_downwards_only() {
    let allowed: BTreeMap<&str, &[&str]> = MAY_IMPORT.iter().copied().collect();
    let mut wrong = Vec::new();
    for (path, code) in sources() {
        let part = part_of(&path);
        if part == "main" || part == "lib" {
            continue;
        }
        let may = allowed
            .get(part.as_str())
            .unwrap_or_else(|| panic!("say in tests/tidy.rs what src/{part} may import"));
        for piece in code.split("crate::").skip(1) {
            let name: String = piece
                .chars()
                .take_while(|c| c.is_ascii_alphanumeric() || *c == '_')
                .collect();
            if name != part && !may.contains(&name.as_str()) {
                wrong.push(format!("{} imports {name}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_pure_part_lets_nothing_in() {
    let mut wrong = Vec::new();
    for (path, code) in sources() {
        let part = part_of(&path);
        if ![
            "day", "lookback", "trace", "shelf", "trade", "sim", "pace", "outlook", "prepare",
        ]
        .contains(&part.as_str())
        {
            continue;
        }
        // Simulation draws, from a seed that is handed to it.
        let seeded = ["sim", "outlook"].contains(&part.as_str());
        let lines = code
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"));
        for line in lines {
            let found = IMPURE.iter().filter(|word| line.contains(**word));
            for word in found.filter(|word| !(seeded && **word == "rand")) {
                wrong.push(format!("{}: {word}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_folder_is_on_the_map() {
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let top = ["src", "web", "tests", "fixtures"];
    let mut missing = Vec::new();
    for folder in top {
        for entry in fs::read_dir(root().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let listed = map.contains(&format!("{folder}/{name}"));
            if (path.is_dir() || folder == "src") && !listed {
                missing.push(format!("{folder}/{name}"));
            }
        }
    }
    assert!(missing.is_empty(), "not in DEVELOPERS.md: {missing:#?}");
}

#[test]
fn vendored_files_are_what_they_say() {
    let versions = fs::read_to_string(root().join("web/vendor/VERSIONS")).unwrap();
    let mut checked = 0;
    for path in files(&root().join("web/vendor")) {
        let name = path.file_name().unwrap().to_str().unwrap();
        if name == "VERSIONS" || name.starts_with("LICENSE") {
            continue;
        }
        let sum = hex::encode(Sha256::digest(fs::read(&path).unwrap()));
        let line = versions.lines().find(|line| line.contains(name));
        let line = line.unwrap_or_else(|| panic!("{name} is not in VERSIONS"));
        assert!(
            line.contains(&sum),
            "{name} is not what VERSIONS says: {sum}"
        );
        checked += 1;
    }
    assert!(checked > 0, "nothing is vendored");
}

#[test]
fn the_browser_side_asks_nobody_outside() {
    let mut wrong = Vec::new();
    for path in files(&root().join("web")) {
        let Ok(text) = fs::read_to_string(&path) else {
            continue;
        };
        if path.components().any(|part| part.as_os_str() == "vendor") {
            continue;
        }
        for word in ["https://", "http://"] {
            for piece in text.split(word).skip(1) {
                // The name of the SVG language is no address that is ever asked.
                if !piece.starts_with("www.w3.org/") {
                    wrong.push(format!("{}: {word}{:.30}", path.display(), piece));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
