//! The nearest known name to a misspelt one.

/// The known name most like `given`, if any is like enough to be worth offering: letters are
/// compared without regard to case, and the earlier of equal candidates wins.
#[must_use]
pub fn nearest<'a>(given: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let given = given.to_lowercase();
    let mut best: Option<(f64, &str)> = None;
    for name in known {
        let score = strsim::jaro_winkler(&given, &name.to_lowercase());
        if score > 0.78 && best.is_none_or(|(s, _)| score > s) {
            best = Some((score, name));
        }
    }
    best.map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_slip_finds_its_name_and_a_stranger_finds_none() {
        let known = ["PT-3001", "PT-3002", "LT-3001"];
        assert_eq!(super::nearest("pt-301", known), Some("PT-3001"));
        assert_eq!(super::nearest("gangway", known), None);
    }
}
