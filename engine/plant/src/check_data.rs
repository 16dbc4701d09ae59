//! Finds the outside check data that tests compare with.

/// The text of a check-data file and the path it was read from: from the folder in the environment
/// variable `CHECKS_DIR` if it holds the file, else from the repository's `tests/data`.
pub fn read(name: &str) -> (String, String) {
    let kept = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/data");
    let asked = std::env::var("CHECKS_DIR").unwrap_or_default();
    for folder in [asked.as_str(), kept] {
        let path = std::path::Path::new(folder).join(name);
        if !folder.is_empty() && path.is_file() {
            let text = std::fs::read_to_string(&path).expect("a check-data file can be read");
            return (path.display().to_string(), text);
        }
    }
    panic!("check data {name} is neither in CHECKS_DIR nor in tests/data");
}

/// Every check-data file whose name begins and ends so, by name: those of `CHECKS_DIR`, and those
/// of `tests/data` that `CHECKS_DIR` has not.
pub fn names(begins: &str, ends: &str) -> Vec<String> {
    let kept = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/data");
    let asked = std::env::var("CHECKS_DIR").unwrap_or_default();
    let mut found = std::collections::BTreeSet::new();
    for folder in [asked.as_str(), kept].into_iter().filter(|f| !f.is_empty()) {
        for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.starts_with(begins) && name.ends_with(ends) {
                found.insert(name);
            }
        }
    }
    found.into_iter().collect()
}

/// One worked example of `scalar_checks.json`: its inputs, expected values and relative tolerance.
pub struct Example {
    /// The file it was read from.
    pub path: String,
    /// What goes in.
    pub inputs: serde_json::Value,
    /// What must come out.
    pub expected: serde_json::Value,
    /// How near.
    pub tolerance: f64,
}

/// The worked example with this id.
pub fn example(id: &str) -> Example {
    let (path, text) = read("scalar_checks.json");
    let all: Vec<serde_json::Value> = serde_json::from_str(&text).expect("scalar_checks.json is a list");
    let one = all.into_iter().find(|e| e["id"] == id).unwrap_or_else(|| panic!("no worked example {id} in {path}"));
    Example {
        path,
        inputs: one["inputs"].clone(),
        expected: one["expected"].clone(),
        tolerance: one["rel_tol"].as_f64().expect("a worked example has rel_tol"),
    }
}

impl Example {
    /// An input by name.
    pub fn input(&self, name: &str) -> f64 {
        self.inputs[name].as_f64().unwrap_or_else(|| panic!("no input {name}"))
    }

    /// Compares a result with the expected value of this name.
    pub fn compare(&self, name: &str, ours: f64) {
        let theirs = self.expected[name].as_f64().unwrap_or_else(|| panic!("no expected value {name}"));
        assert!((ours - theirs).abs() <= self.tolerance * theirs.abs(), "{name}: ours {ours}, theirs {theirs}");
        println!("{}: {name} compared, ours {ours}, theirs {theirs}", self.path);
    }
}
