//! Finds the outside check data that tests compare with.

/// Our own copies.
const KEPT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/data");

/// The folder that `CHECKS_DIR` names, where it names one.
///
/// # Panics
/// When it is no folder: a misspelt name must not pass for a comparison with the data that it was to bring.
fn asked(named: Option<std::ffi::OsString>) -> Option<std::path::PathBuf> {
    let folder = std::path::PathBuf::from(named.filter(|n| !n.is_empty())?);
    assert!(
        folder.is_dir(),
        "CHECKS_DIR is {}, and there is no such folder; write its whole path, since a test runs in its crate's own",
        folder.display()
    );
    Some(folder)
}

/// The folders to look in, the one asked for first.
fn folders() -> Vec<std::path::PathBuf> {
    asked(std::env::var_os("CHECKS_DIR")).into_iter().chain([KEPT.into()]).collect()
}

/// The text of a check-data file and the path it was read from: from the folder in the environment
/// variable `CHECKS_DIR` if it holds the file, else from the repository's `tests/data`, which is told.
pub fn read(name: &str) -> (String, String) {
    let folders = folders();
    let path = folders.iter().map(|f| f.join(name)).find(|p| p.is_file());
    let path = path.unwrap_or_else(|| panic!("check data {name} is in none of {folders:?}"));
    if folders.len() > 1 && path.starts_with(KEPT) {
        println!("{name} is not in {}: our own copy is read", folders[0].display());
    }
    let text = std::fs::read_to_string(&path).expect("a check-data file can be read");
    (path.display().to_string(), text)
}

/// Every check-data file whose name begins and ends so, by name: those of `CHECKS_DIR`, and those
/// of `tests/data` that `CHECKS_DIR` has not.
pub fn names(begins: &str, ends: &str) -> Vec<String> {
    let mut found = std::collections::BTreeSet::new();
    for folder in folders() {
        let entries = std::fs::read_dir(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
        for entry in entries {
            let name = entry.expect("an entry of a folder").file_name().to_string_lossy().into_owned();
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
    use super::{asked, read};
    use std::path::Path;

    /// Once a folder that is not there was passed over, and every test agreed with our own copies.
    #[test]
    #[should_panic(expected = "CHECKS_DIR is nowhere/to be found, and there is no such folder")]
    fn a_folder_that_is_not_there_is_told() {
        asked(Some("nowhere/to be found".into()));
    }

    #[test]
    fn no_folder_need_be_named() {
        assert_eq!((asked(None), asked(Some("".into()))), (None, None));
    }

    /// Worked examples that the plant answers by another model, or has none for, and why.
    const NO_MODEL: [(&str, &str); 1] =
        [("excess_air_simple", "the field formula; the plant works with the exact balance of excess_air_exact")];

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
