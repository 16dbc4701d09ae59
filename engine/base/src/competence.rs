//! Competences that an item of a mark sheet may name: a table of the STCW Code, the title of a
//! competence, and perhaps a heading of its required knowledge.
//!
//! A reference is written "A-III/1: Operate main and auxiliary machinery and associated control
//! systems", with the knowledge after one more colon. The list and its source are in
//! `competences.txt` beside this file; nothing of the Code but numbers, titles and headings is kept.

/// The list with its source.
const LIST: &str = include_str!("competences.txt");

/// A competence of the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Competence {
    /// The table of the Code, such as "A-III/1".
    pub table: &'static str,
    /// The title of the competence.
    pub title: &'static str,
    /// A heading of required knowledge; empty for the competence as a whole.
    pub knowledge: &'static str,
    /// How its wording was come by.
    pub wording: Wording,
}

/// How the wording of a competence was come by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wording {
    /// Compared with a copy of the Code's tables.
    Compared,
    /// Compared with what others quote of the Code, word for word the same.
    Quoted,
    /// From memory alone.
    FromMemory,
}

impl Wording {
    /// The words for it, in the list and in the book.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Wording::Compared => "compared",
            Wording::Quoted => "as quoted",
            Wording::FromMemory => "from memory",
        }
    }

    fn of(words: &str) -> Wording {
        let all = [Wording::Compared, Wording::Quoted, Wording::FromMemory];
        all.into_iter().find(|w| w.words() == words).expect("a line of our own list says how its wording was come by")
    }
}

impl Competence {
    /// The reference by which scripts, verdicts and reports name it.
    #[must_use]
    pub fn reference(&self) -> String {
        match self.knowledge {
            "" => format!("{}: {}", self.table, self.title),
            knowledge => format!("{}: {}: {knowledge}", self.table, self.title),
        }
    }
}

/// Every competence, in the order of the list.
pub fn all() -> impl Iterator<Item = Competence> {
    LIST.lines().filter(|l| !l.is_empty() && !l.starts_with('#')).map(|line| {
        let mut parts = line.split('|').map(str::trim);
        let mut part = || parts.next().expect("a line of our own list has four parts");
        Competence { table: part(), title: part(), knowledge: part(), wording: Wording::of(part()) }
    })
}

/// Whether a reference is one of the list.
#[must_use]
pub fn is_known(reference: &str) -> bool {
    all().any(|c| c.reference() == reference)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_has_a_table_a_title_and_a_reference_of_its_own() {
        let references: Vec<String> = all().map(|c| c.reference()).collect();
        assert!(references.len() > 20);
        for (i, c) in all().enumerate() {
            assert!(c.table.starts_with("A-III/") && !c.title.is_empty(), "{c:?}");
            assert!(!references[..i].contains(&references[i]), "{} is there twice", references[i]);
            assert!(!c.knowledge.contains('|') && c.knowledge != c.wording.words(), "{c:?}");
            // Knowledge stands under a competence that can be named as a whole.
            assert!(is_known(&format!("{}: {}", c.table, c.title)), "{c:?}");
        }
        assert!(is_known("A-III/1: Operate main and auxiliary machinery and associated control systems"));
        assert!(!is_known("A-III/1: Operate main machinery"));
    }
}
