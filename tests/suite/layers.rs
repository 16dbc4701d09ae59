//! Holds the manifests to the layer table in DEVELOPERS.md.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Words in backticks.
fn quoted(text: &str) -> impl Iterator<Item = &str> {
    text.split('`').skip(1).step_by(2)
}

/// The table's rows in order: a crate and what it may use.
fn table(text: &str) -> Vec<(String, BTreeSet<String>)> {
    text.lines()
        .skip_while(|l| !l.starts_with("| crate under engine/"))
        .skip(2)
        .take_while(|l| l.starts_with('|'))
        .map(|l| {
            let cells: Vec<&str> = l.trim_matches('|').split('|').collect();
            assert_eq!(cells.len(), 4, "a row of the layer table has four cells: {l}");
            let name = quoted(cells[0]).next().expect("a crate's name in backticks").to_owned();
            (name, quoted(cells[2]).map(ToOwned::to_owned).collect())
        })
        .collect()
}

/// The names in the dependency sections of a manifest, tests' and build scripts' included.
fn dependencies(manifest: &str) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    let mut inside = false;
    for line in manifest.lines().map(str::trim) {
        if let Some(section) = line.strip_prefix('[') {
            let section = section.trim_end_matches(']');
            inside = section.ends_with("dependencies") && !section.starts_with("workspace");
            // `[dependencies.name]`
            if let Some((_, name)) = section.split_once("dependencies.")
                && !section.starts_with("workspace")
            {
                names.insert(name.to_owned());
            }
        } else if inside && !line.starts_with('#') && line.contains('=') {
            let name = line.split(['=', '.']).next().unwrap_or("").trim().trim_matches('"');
            names.insert(name.to_owned());
            // `other = { package = "faultwright-plant" }` does not hide anything.
            for (_, rest) in line.match_indices("faultwright-").map(|(i, m)| (i, &line[i + m.len()..])) {
                names.insert(rest.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '-').collect());
            }
        }
    }
    names
}

/// The root manifest without its tests' dependencies: the one integration-test binary crosses all layers.
fn without_tests(manifest: &str) -> String {
    let mut inside = false;
    let keeps = |line: &&str| {
        if line.starts_with('[') {
            inside = line.trim() == "[dev-dependencies]";
        }
        !inside
    };
    manifest.lines().filter(keeps).collect::<Vec<_>>().join("\n")
}

/// What a manifest breaks.
fn broken(name: &str, may: &BTreeSet<String>, layers: &BTreeSet<String>, manifest: &str) -> Vec<String> {
    dependencies(manifest)
        .intersection(layers)
        .filter(|d| !may.contains(*d))
        .map(|d| format!("{name} uses {d}, and the table in DEVELOPERS.md does not allow it"))
        .collect()
}

#[test]
fn every_manifest_keeps_to_the_layer_table() {
    let table = table(&fs::read_to_string(root().join("DEVELOPERS.md")).unwrap());
    let layers: BTreeSet<String> = table.iter().map(|r| r.0.clone()).collect();
    let folders: BTreeSet<String> =
        fs::read_dir(root().join("engine")).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    assert_eq!(folders, layers, "the folders of engine/ and the rows of the table");
    let mut wrong = vec![];
    let mut above: BTreeSet<String> = BTreeSet::new();
    for (name, may) in &table {
        let upward: Vec<_> = may.difference(&above).collect();
        assert!(upward.is_empty(), "{name} may use {upward:?}, which stand below it");
        above.insert(name.clone());
        let path =
            if name == "cli" { root().join("Cargo.toml") } else { root().join("engine").join(name).join("Cargo.toml") };
        let mut manifest = fs::read_to_string(path).unwrap();
        if name == "cli" {
            manifest = without_tests(&manifest);
        }
        wrong.extend(broken(name, may, &layers, &manifest));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn only_the_tests_of_the_root_may_cross_layers() {
    let manifest =
        "[dependencies]\nplant.workspace = true\n[dev-dependencies]\nmonitor.workspace = true\n[[bin]]\nname = 1";
    let kept = without_tests(manifest);
    assert!(kept.contains("plant") && kept.contains("bin") && !kept.contains("monitor"), "{kept}");
}

#[test]
fn a_forbidden_arrow_is_found_however_it_is_written() {
    let table: BTreeMap<_, _> = table(&fs::read_to_string(root().join("DEVELOPERS.md")).unwrap()).into_iter().collect();
    let layers: BTreeSet<String> = table.keys().cloned().collect();
    for line in [
        "[dependencies]\nplant.workspace = true",
        "[dependencies]\nplant = { path = \"../plant\" }",
        "[dev-dependencies]\nplant = { workspace = true }",
        "[dependencies.plant]\nworkspace = true",
        "[dependencies]\nworks = { package = \"faultwright-plant\", path = \"../plant\" }",
    ] {
        assert_eq!(broken("files", &table["files"], &layers, line).len(), 1, "{line}");
        assert_eq!(broken("panel", &table["panel"], &layers, line).len(), 0, "{line}");
    }
}
