//! Diagnostics: what a person did wrong, where, and what to do about it.

use std::fmt;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing; nothing is stopped.
    Note,
    /// Probably a mistake; the work goes on.
    Warning,
    /// The thing cannot be used.
    Error,
}

/// Where something was written. Line and column count from 1; 0 means the file as a whole.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct Place {
    /// The file as the user named it.
    pub file: String,
    /// Line, from 1; 0 for the whole file.
    pub line: u32,
    /// Column in characters, from 1; 0 for the whole line.
    pub column: u32,
}

impl Place {
    /// A line of a file.
    #[must_use]
    pub fn line(file: &str, line: u32) -> Place {
        Place { file: file.to_owned(), line, column: 0 }
    }

    /// A file as a whole.
    #[must_use]
    pub fn file(file: &str) -> Place {
        Place::line(file, 0)
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.line, self.column) {
            (0, _) => write!(f, "{}", self.file),
            (l, 0) => write!(f, "{}:{l}", self.file),
            (l, c) => write!(f, "{}:{l}:{c}", self.file),
        }
    }
}

/// One problem, told to a person who is not a programmer: a stable code, the place, what is wrong,
/// and what to do.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Diagnostic {
    /// How bad it is.
    pub severity: Severity,
    /// A stable code such as `log::unknown-tag`: area, two colons, words joined by hyphens.
    pub code: &'static str,
    /// Where.
    pub place: Place,
    /// What is wrong, as a sentence without a final full stop.
    pub message: String,
    /// What to do, when something can be said.
    pub hint: Option<String>,
}

impl Diagnostic {
    /// An error.
    #[must_use]
    pub fn error(code: &'static str, place: Place, message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Error, code, place, message: message.into(), hint: None }
    }

    /// A warning.
    #[must_use]
    pub fn warning(code: &'static str, place: Place, message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Warning, ..Diagnostic::error(code, place, message) }
    }

    /// A note.
    #[must_use]
    pub fn note(code: &'static str, place: Place, message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Note, ..Diagnostic::error(code, place, message) }
    }

    /// The same with a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Diagnostic {
        self.hint = Some(hint.into());
        self
    }

    /// The same with "did you mean" when a known name is near to the one given.
    #[must_use]
    pub fn nearest<'a>(self, given: &str, known: impl IntoIterator<Item = &'a str>) -> Diagnostic {
        match crate::nearest::nearest(given, known) {
            Some(name) => self.hint(format!("did you mean \"{name}\"?")),
            None => self,
        }
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self.severity {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        };
        write!(f, "{word}[{}]: {}\n  at {}", self.code, self.message, self.place)?;
        if let Some(hint) = &self.hint {
            write!(f, "\n  hint: {hint}")?;
        }
        Ok(())
    }
}
