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

mod checks {
    use super::read;
    use std::path::Path;

    /// Worked examples that the plant answers by another model, or has none for, and why.
    const NO_MODEL: [(&str, &str); 6] = [
        ("excess_air_simple", "the field formula; the plant works with the exact balance of excess_air_exact"),
        ("droop_two_sets", "generators: not before the electrical plant"),
        ("droop_unequal", "generators: not before the electrical plant"),
        ("rotor", "shafts: not before the electrical plant"),
        ("swing", "generators: not before the electrical plant"),
        ("sync_geometry", "synchronising: not before the electrical plant"),
    ];

    fn sources(folder: &Path, into: &mut Vec<(String, String)>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                sources(&path, into);
            } else if path.extension().is_some_and(|e| e == "rs") && !path.ends_with("check_data.rs") {
                into.push((path.display().to_string(), std::fs::read_to_string(&path).unwrap()));
            }
        }
    }

    /// Every worked example is compared with somewhere, or stands in the list of those that are not.
    #[test]
    fn every_worked_example_is_answered_or_listed() {
        let (path, text) = read("scalar_checks.json");
        let all: Vec<serde_json::Value> = serde_json::from_str(&text).unwrap();
        let mut files = vec![];
        sources(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/src")), &mut files);
        files.sort();
        let (mut answered, mut open) = (0, vec![]);
        for e in &all {
            let id = e["id"].as_str().unwrap();
            let named = format!("\"{id}\"");
            if let Some((file, _)) = files.iter().find(|f| f.1.contains(&named)) {
                let from = file.rfind("/src/").map_or(0, |i| i + 5);
                println!("{id}: {}", &file[from..]);
                answered += 1;
            } else if let Some((_, why)) = NO_MODEL.iter().find(|x| x.0 == id) {
                println!("{id}: not compared, {why}");
            } else {
                open.push(id);
            }
        }
        assert!(open.is_empty(), "neither compared nor listed: {open:?}");
        assert!(answered >= 20, "{answered}");
        println!("{path}: {} examples, {answered} compared", all.len());
    }
}
