//! File names that are safe on every system, from ids that people chose.

use std::collections::BTreeSet;

/// Names that some systems keep for devices.
const RESERVED: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9", "lpt1", "lpt2",
    "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
];

/// A file name (without its ending) for each id, in the order of the ids: letters, digits, hyphen,
/// underscore and full stop are kept, anything else becomes an underscore; at most 60 characters; no
/// two the same, capitals not counted. An id that is a safe name already, and the first of its kind,
/// stays as it is.
#[must_use]
pub fn stems<'a>(ids: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let mut taken = BTreeSet::new();
    let mut out = Vec::new();
    for id in ids {
        let base = stem(id);
        let mut name = base.clone();
        let mut n = 2;
        while !taken.insert(name.to_ascii_lowercase()) {
            name = format!("{base}-{n}");
            n += 1;
        }
        out.push(name);
    }
    out
}

fn stem(id: &str) -> String {
    let kept: String = id
        .chars()
        .take(60)
        .map(|c| if c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.') { c } else { '_' })
        .collect();
    // A leading full stop hides a file, a trailing one is lost on some systems.
    let kept = kept.trim_matches('.').to_owned();
    let before_dot = kept.split('.').next().unwrap_or_default();
    if kept.is_empty() {
        "unnamed".to_owned()
    } else if RESERVED.contains(&before_dot.to_ascii_lowercase().as_str()) {
        format!("_{kept}")
    } else {
        kept
    }
}

#[cfg(test)]
mod tests {
    use super::stems;

    #[test]
    fn no_id_leaves_the_folder_or_meets_another() {
        let ids = ["t07", "T07", "../../etc/x", "", "..", "nul", "a b", "a_b", "Ünal", "com1.x"];
        let got = stems(ids);
        assert_eq!(
            got,
            ["t07", "T07-2", "_.._etc_x", "unnamed", "unnamed-2", "_nul", "a_b", "a_b-2", "_nal", "_com1.x"]
        );
        assert!(stems(["x".repeat(300).as_str()])[0].len() <= 60);
    }
}
