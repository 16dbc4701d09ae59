//! Two markings read from their folders.

use crate::disk::{self, Trouble};
use crate::pack::shown;
use base::{Diagnostic, Place};
pub use marking::compare::{Marking, compare};
use std::io::ErrorKind;
use std::path::Path;

/// Most bytes of a class file or a verdict file.
pub const BYTES_MAX: usize = 64 << 20;

/// Reads a marking: a folder of results, or the `class.json` in it. Verdict files that are missing, or
/// that are of another log than the class file tells, are left out and told.
///
/// # Errors
/// When there is no class file or it cannot be read, or the machine's trouble.
pub fn read(path: &Path) -> Result<(Marking, Vec<Diagnostic>), Trouble> {
    let file = if path.is_dir() { path.join("class.json") } else { path.to_owned() };
    let bytes = read_file(&file)?.ok_or_else(|| {
        Diagnostic::error("compare::missing", Place::file(&shown(&file)), "there is no such file")
            .hint("name a folder that \"grade\" wrote, or the class.json in it")
    })?;
    let class = files::verdicts::read_class(&shown(&file), &bytes)?;
    let folder = file.parent().map(Path::to_owned).unwrap_or_default();
    let mut told = vec![];
    let mut verdicts = vec![];
    for person in &class.people {
        let stem = person.debrief.as_deref().and_then(|d| d.strip_prefix("debriefs/")?.strip_suffix(".html"));
        // A name out of a file is no way out of the folder.
        let stem = stem.filter(|s| files::pack::inside(s).is_ok() && !s.contains('/'));
        let Some(stem) = stem else {
            verdicts.push(None);
            continue;
        };
        let path = folder.join(format!("verdicts/{stem}.json"));
        let read = match read_file(&path)? {
            None => Err("there is no such file".to_owned()),
            Some(bytes) => match files::verdicts::read_verdict(&shown(&path), &bytes) {
                Ok(v) if v.digests.log == person.log_digest && v.digests.pack == class.digests.pack => Ok(v),
                Ok(_) => Err("it is of another marking than the class file".to_owned()),
                Err(d) => Err(d.message),
            },
        };
        verdicts.push(match read {
            Ok(v) => Some(v),
            Err(why) => {
                let message = format!("the verdicts of {} are not used: {why}", person.id);
                let d = Diagnostic::warning("compare::verdicts", Place::file(&shown(&path)), message);
                told.push(d.hint("without them the comparison knows marks, and no reasons"));
                None
            }
        });
    }
    Ok((Marking { class, verdicts }, told))
}

fn read_file(path: &Path) -> Result<Option<Vec<u8>>, Trouble> {
    match disk::read_capped(path, BYTES_MAX) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(why) if why.kind() == ErrorKind::NotFound => Ok(None),
        Err(why) => Err(Trouble::Machine { path: path.to_owned(), doing: "read", why }),
    }
}
