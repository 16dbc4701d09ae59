//! Logs found and read: which files, whose, and what each needs to be told.

use crate::disk::{self, Trouble};
use crate::pack::{Pack, Ready, shown};
use base::{Diagnostic, Place, Severity};
use files::log::{Expected, Imported};
use files::overrides::Override;
use files::{Digest, digest};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// How the names of log files end.
pub const ENDING: &str = "jsonl";

/// A log, read.
#[derive(Clone, Debug)]
pub struct ReadLog {
    /// Its file's name; the whole path where two files have the same name.
    pub name: String,
    /// The trainee's id; the file's name without its ending where no header could be read.
    pub id: String,
    /// The trainee's name, when the log gave one.
    pub person: String,
    /// The trainee's id as the log gives it, also in a blind marking: not to be told.
    pub trainee: String,
    /// The file's name, also in a blind marking: not to be told.
    pub file: String,
    /// A moderator's overrides of this run.
    pub overrides: Vec<Override>,
    /// What came of reading it.
    pub imported: Imported,
    /// Digest of its bytes; of what could be read of them.
    pub digest: Digest,
}

/// The log files meant by files and folders: those of a folder are the ones that end in `.jsonl`.
/// Sorted by path, each once.
///
/// # Errors
/// A diagnostic for everything that is not there or has no logs in it.
pub fn find(paths: &[PathBuf]) -> Result<(Vec<PathBuf>, Vec<Diagnostic>), Trouble> {
    let (mut found, mut wrong, mut told) = (vec![], vec![], vec![]);
    for path in paths {
        let place = Place::file(&shown(path));
        if path.is_dir() {
            let machine = |why| Trouble::Machine { path: path.clone(), doing: "read", why };
            let mut logs = vec![];
            let mut others = 0;
            for entry in std::fs::read_dir(path).map_err(machine)? {
                let file = entry.map_err(machine)?.path();
                if file.extension().is_some_and(|e| e == ENDING) {
                    logs.push(file);
                } else if file.is_file() {
                    others += 1;
                }
            }
            if logs.is_empty() {
                wrong.push(
                    Diagnostic::error("log::none", place, "the folder has no logs in it")
                        .hint(format!("the names of logs end in .{ENDING}")),
                );
            } else if others > 0 {
                told.push(Diagnostic::note(
                    "log::other-files",
                    place,
                    format!("{others} files whose names do not end in .{ENDING} were not taken for logs"),
                ));
            }
            found.extend(logs);
        } else if path.exists() {
            found.push(path.clone());
        } else {
            wrong.push(Diagnostic::error("log::missing", place, "there is no such file or folder"));
        }
    }
    found.sort();
    found.dedup();
    if wrong.is_empty() { Ok((found, told)) } else { Err(wrong.into()) }
}

/// Reads logs against an exercise of a pack. A log that cannot be read or is refused is among the
/// results with the reason.
#[must_use]
pub fn read_logs(pack: &Pack, ready: &Ready, paths: &[PathBuf]) -> Vec<ReadLog> {
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for path in paths {
        *times.entry(file_name(path)).or_default() += 1;
    }
    let mut logs: Vec<ReadLog> = paths
        .iter()
        .map(|path| {
            let name = file_name(path);
            let name = if times[&name] > 1 { shown(path) } else { name };
            read_log(pack, ready, path, name)
        })
        .collect();
    compare(&mut logs);
    logs
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(|| shown(path), |n| n.to_string_lossy().into_owned())
}

fn read_log(pack: &Pack, ready: &Ready, path: &Path, name: String) -> ReadLog {
    match disk::read_capped(path, files::log::BYTES_MAX) {
        Ok(bytes) => read_bytes(pack, ready, &name, &bytes),
        Err(e) => {
            let message = format!("the log cannot be read: {}", disk::plain(&e));
            let told = vec![Diagnostic::error("log::unreadable", Place::file(&name), message)];
            read_log_of(&name, Imported { log: None, header: None, told }, b"")
        }
    }
}

/// Reads a log from its bytes.
#[must_use]
pub fn read_bytes(pack: &Pack, ready: &Ready, name: &str, bytes: &[u8]) -> ReadLog {
    let expected = Expected {
        pack: &pack.file.id,
        pack_version: &pack.file.version,
        exercises: &[&ready.id],
        allowed: &|a| pack.ship.allows(a),
    };
    read_log_of(name, files::log::read(name, bytes, &expected), bytes)
}

fn read_log_of(name: &str, imported: Imported, bytes: &[u8]) -> ReadLog {
    let stem = Path::new(name).file_stem().map_or_else(|| name.to_owned(), |s| s.to_string_lossy().into_owned());
    let header = imported.header.as_ref();
    let id = header.map_or(stem, |h| h.trainee.clone());
    ReadLog {
        trainee: id.clone(),
        file: name.to_owned(),
        overrides: vec![],
        id,
        person: header.and_then(|h| h.name.clone()).unwrap_or_default(),
        name: name.to_owned(),
        imported,
        digest: digest::bytes(bytes),
    }
}

/// Tells logs of one trainee, and logs of different trainees with the very same actions.
fn compare(logs: &mut [ReadLog]) {
    let mut notes: Vec<(usize, Diagnostic)> = vec![];
    for (i, log) in logs.iter().enumerate() {
        let place = || Place::file(&log.name);
        let others = || logs.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, l)| l);
        if let Some(other) = others().find(|o| o.id == log.id) {
            let message =
                format!("{} is a log of the same trainee, \"{}\"; both are graded, each by itself", other.name, log.id);
            notes.push((i, Diagnostic::warning("log::same-trainee", place(), message)));
        }
        let Some(mine) = log.imported.log.as_ref().filter(|l| !l.actions.is_empty()) else { continue };
        let same = |o: &ReadLog| {
            o.imported.log.as_ref().is_some_and(|l| {
                l.actions.len() == mine.actions.len()
                    && l.actions
                        .iter()
                        .zip(&mine.actions)
                        .all(|(a, b)| (a.tick, a.verb, &a.on, &a.to) == (b.tick, b.verb, &b.on, &b.to))
            })
        };
        if let Some(other) = others().find(|o| same(o)) {
            let message = format!("its actions are those of {} to the tenth of a second", other.name);
            let d = Diagnostic::warning("log::identical", place(), message);
            notes.push((i, d.hint("look at both before the marks are given out")));
        }
    }
    for (i, d) in notes {
        logs[i].imported.told.push(d);
    }
}

impl ReadLog {
    /// The mistakes that refuse the log; none when it can be graded.
    pub fn refused(&self) -> impl Iterator<Item = &Diagnostic> {
        self.imported.told.iter().filter(|d| d.severity == Severity::Error)
    }
}
