//! What marking said, on disk: one verdict file a run, one class file a class, both JSON.
//!
//! Written so that another program can read them without us: marks are plain numbers of marks
//! (`5.5`, never hundredths), moments are seconds from the start of the run, words are whole words.
//! "not graded" (nothing can be said) and no marks (something was said, and it was nothing) are kept
//! apart: a run that was not graded has `null` for its marks and says why under `reasons`.

pub use crate::changed::{ChangedMark, NotApplied};
pub use crate::class_file::{CLASS_FORMAT, ClassDigests, ClassFile, ClassItem, ClassLine, ItemSummary};
pub use crate::points::{Points, Seconds};

use crate::class_figures::{CompetenceLine, GroupLine};
use base::{Diagnostic, Place};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the first field of a verdict file says.
pub const VERDICT_FORMAT: &str = "faultwright-verdict/1";

/// One run, judged.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VerdictFile {
    /// Always [`VERDICT_FORMAT`].
    pub format: String,
    /// Whose run it was.
    pub trainee: Person,
    /// The log's file name.
    pub log: String,
    /// Title of the exercise.
    pub exercise: String,
    /// The pack it came from.
    pub pack: Pack,
    /// Whether marks could be given.
    pub outcome: Standing,
    /// Whether it was passed, when the exercise says what passing is.
    pub passed: Option<bool>,
    /// Marks earned; `null` when not graded.
    pub marks: Option<Points>,
    /// Marks that could be earned; `null` when not graded.
    pub out_of: Option<Points>,
    /// Marks needed to pass this run: the pass mark, shrunk in proportion where items were not assessed;
    /// `null` where there is none.
    #[serde(default)]
    pub needed: Option<Points>,
    /// Why it was not graded; empty when it was.
    pub reasons: Vec<String>,
    /// Names of critical items that were lost.
    pub critical_lost: Vec<String>,
    /// The items in the order of the mark sheet.
    pub items: Vec<ItemVerdict>,
    /// What was earned on the groups of items, in the order of the mark sheet.
    #[serde(default)]
    pub groups: Vec<GroupLine>,
    /// What was shown of the competences that the items name, in the order of their references.
    #[serde(default)]
    pub competences: Vec<CompetenceLine>,
    /// Overrides of a moderator that no longer fit; they change nothing until somebody decides anew.
    #[serde(default)]
    pub not_applied: Vec<NotApplied>,
    /// What was repaired in the log, or ought to be known about it.
    pub repairs: Vec<Repair>,
    /// What anyone needs to make this result again.
    pub digests: Digests,
}

/// A person.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// The id in the log.
    pub id: String,
    /// The name, when the log gave one.
    pub name: String,
}

/// A pack of exercises.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// Its id.
    pub id: String,
    /// Its version.
    pub version: String,
}

/// Whether marks could be given at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Standing {
    /// They could.
    #[serde(rename = "graded")]
    Graded,
    /// They could not, and the reasons say why.
    #[serde(rename = "not graded")]
    NotGraded,
}

/// How one item came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum ItemOutcome {
    /// All its marks.
    #[serde(rename = "full")]
    Full,
    /// Some of them.
    #[serde(rename = "part")]
    Part,
    /// None of them.
    #[serde(rename = "nothing")]
    Nothing,
    /// Neither earned nor lost.
    #[serde(rename = "not assessed")]
    NotAssessed,
}

/// One item of a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ItemVerdict {
    /// The item's name in the mark sheet.
    pub name: String,
    /// The word of its kind: "step", "limit", "response", "order", "steadiness" or "finding".
    pub kind: String,
    /// What was expected.
    pub expected: String,
    /// How it came out.
    pub outcome: ItemOutcome,
    /// Marks earned.
    pub marks: Points,
    /// Marks that could be earned.
    pub out_of: Points,
    /// Whether losing it decides the run.
    pub critical: bool,
    /// What was found.
    pub found: String,
    /// How near or how far, in the unit of the value that decided.
    pub value_margin: Option<String>,
    /// How early or how late.
    pub time_margin: Option<String>,
    /// The moment that decided, seconds from the start of the run.
    pub when: Option<Seconds>,
    /// What the panel showed at that moment, where the run has a trend of it.
    pub shown: Option<String>,
    /// What was true at that moment, where the run has a trend of it.
    pub actual: Option<String>,
    /// Spans of the run that the verdict rests on.
    pub evidence: Vec<Span>,
    /// What to practise, when marks were lost.
    pub practise: Option<String>,
    /// A short digest of the rule by which the item is marked: its conditions, times and parts, not
    /// its marks and not its words. Empty in files of programs that told none.
    #[serde(default)]
    pub rule: String,
    /// Changes of a moderator, in their order; the last one stands.
    #[serde(default)]
    pub overrides: Vec<ChangedMark>,
}

/// A span of a run, seconds from its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Span {
    /// First moment.
    pub from: Seconds,
    /// Last moment.
    pub to: Seconds,
}

/// Something that was repaired in a log, or ought to be known about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Repair {
    /// "note", "warning" or "error".
    pub severity: String,
    /// The code, such as `log::out-of-order`.
    pub code: String,
    /// File.
    pub file: String,
    /// Line, from 1; 0 for the whole file.
    pub line: u32,
    /// What it is.
    pub message: String,
    /// What to do.
    pub hint: Option<String>,
}

/// What anyone needs to make a result again.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Digests {
    /// Of the pack.
    pub pack: String,
    /// Of the log.
    pub log: String,
    /// Of the program.
    pub program: String,
}

/// The JSON Schema of a verdict file, as text that ends in a line feed.
#[must_use]
pub fn verdict_schema() -> String {
    crate::schema::of::<VerdictFile>("A faultwright-verdict/1 file: one run, judged")
}

/// The JSON Schema of a class file, as text that ends in a line feed.
#[must_use]
pub fn class_schema() -> String {
    crate::schema::of::<ClassFile>("A faultwright-class/1 file: a class, judged")
}

/// A verdict file's bytes, indented, with a newline at its end.
#[must_use]
pub fn write_verdict(file: &VerdictFile) -> Vec<u8> {
    write(file)
}

/// A class file's bytes, indented, with a newline at its end.
#[must_use]
pub fn write_class(file: &ClassFile) -> Vec<u8> {
    write(file)
}

/// Reads a verdict file back; `name` is what the user calls it.
///
/// # Errors
/// When it is not JSON, not a verdict file, or of a version that this program does not know.
pub fn read_verdict(name: &str, bytes: &[u8]) -> Result<VerdictFile, Diagnostic> {
    read(name, bytes, VERDICT_FORMAT, |f: &VerdictFile| &f.format)
}

/// Reads a class file back; `name` is what the user calls it.
///
/// # Errors
/// When it is not JSON, not a class file, or of a version that this program does not know.
pub fn read_class(name: &str, bytes: &[u8]) -> Result<ClassFile, Diagnostic> {
    read(name, bytes, CLASS_FORMAT, |f: &ClassFile| &f.format)
}

fn write<T: Serialize>(file: &T) -> Vec<u8> {
    let mut bytes = serde_json::to_vec_pretty(file).expect("plain structs with string keys are always JSON");
    bytes.push(b'\n');
    bytes
}

fn read<T: serde::de::DeserializeOwned>(
    name: &str,
    bytes: &[u8],
    format: &str,
    said: impl Fn(&T) -> &String,
) -> Result<T, Diagnostic> {
    let file: T = serde_json::from_slice(bytes).map_err(|e| {
        let place = Place { file: name.to_owned(), line: e.line() as u32, column: e.column() as u32 };
        Diagnostic::error("verdict::unreadable", place, e.to_string())
            .hint(format!("a file of the format \"{format}\" is expected"))
    })?;
    if said(&file) == format {
        Ok(file)
    } else {
        Err(Diagnostic::error(
            "verdict::wrong-version",
            Place::file(name),
            format!("its format is \"{}\", not \"{format}\"", said(&file)),
        )
        .hint("mark the logs again with this program"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use base::Tick;
    use base::sheet::Marks;

    fn sample() -> VerdictFile {
        VerdictFile {
            format: VERDICT_FORMAT.into(),
            trainee: Person { id: "t07".into(), name: "A. Invented".into() },
            log: "t07.jsonl".into(),
            exercise: "Raise steam".into(),
            pack: Pack { id: "steam".into(), version: "1.0.0".into() },
            outcome: Standing::Graded,
            passed: Some(false),
            marks: Some(Points(Marks(525))),
            out_of: Some(Points(Marks(1000))),
            needed: Some(Points(Marks(600))),
            reasons: vec![],
            critical_lost: vec!["purge".into()],
            items: vec![ItemVerdict {
                name: "purge".into(),
                kind: "step".into(),
                expected: "purge for 60 s".into(),
                outcome: ItemOutcome::NotAssessed,
                marks: Points(Marks(0)),
                out_of: Points(Marks(0)),
                critical: true,
                found: "it never was".into(),
                value_margin: None,
                time_margin: Some("12.0 s too early".into()),
                when: Some(Seconds(Tick(1234))),
                shown: Some("PT-3001 4.10 barg".into()),
                actual: None,
                evidence: vec![Span { from: Seconds(Tick(1)), to: Seconds(Tick(3)) }],
                practise: None,
                rule: "0123456789ab".into(),
                overrides: vec![ChangedMark {
                    was: None,
                    now: Some(Points(Marks(50))),
                    by: "M. Example".into(),
                    on: "2031-03-05".into(),
                    reason: "seen on the spot".into(),
                }],
            }],
            groups: vec![],
            competences: vec![],
            not_applied: vec![],
            repairs: vec![],
            digests: Digests::default(),
        }
    }

    #[test]
    fn what_is_written_reads_back_the_same() {
        let bytes = write_verdict(&sample());
        let text = String::from_utf8(bytes.clone()).unwrap();
        assert!(text.contains("\"marks\": 5.25,"), "{text}");
        assert!(text.contains("\"out_of\": 10,"), "{text}");
        assert!(text.contains("\"when\": 123.4,"), "{text}");
        assert!(text.contains("\"outcome\": \"not assessed\""), "{text}");
        assert_eq!(read_verdict("v.json", &bytes), Ok(sample()));
    }

    #[test]
    fn another_version_or_a_stray_field_is_told() {
        let text = String::from_utf8(write_verdict(&sample())).unwrap();
        let newer = text.replace("verdict/1", "verdict/2");
        let told = read_verdict("v.json", newer.as_bytes()).unwrap_err();
        assert_eq!(told.code, "verdict::wrong-version");
        let stray = text.replacen("\"log\"", "\"colour\": 1, \"log\"", 1);
        let told = read_verdict("v.json", stray.as_bytes()).unwrap_err();
        assert!(told.message.contains("colour"), "{told}");
        assert!(told.place.line > 1);
    }

    #[test]
    fn the_schemas_know_every_field_and_refuse_others() {
        let file: serde_json::Value = serde_json::from_slice(&write_verdict(&sample())).unwrap();
        let schema: serde_json::Value = serde_json::from_str(&verdict_schema()).unwrap();
        assert_eq!(schema["additionalProperties"], false);
        let named = |v: &serde_json::Value| v.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
        assert_eq!(named(&schema["properties"]), named(&file));
        assert_eq!(named(&schema["$defs"]["ItemVerdict"]["properties"]), named(&file["items"][0]));
        assert_eq!(schema["$defs"]["Points"]["type"], "number");
        let class: serde_json::Value = serde_json::from_str(&class_schema()).unwrap();
        assert!(class["properties"]["people"].is_object());
    }
}
