//! A new pack: a folder that is ready to edit and passes `check` as it is.

use crate::disk::{self, Trouble};
use crate::pack::shown;
use base::{Diagnostic, Place};
use std::path::{Path, PathBuf};

const PACK: &str = include_str!("new/pack.ron");
const EXERCISE: &str = include_str!("new/exercise.lua");

/// Writes a new pack into a folder, which is made; gives the files.
///
/// # Errors
/// When the folder's name makes no short name, when there is something in the folder already, or the
/// machine's trouble.
pub fn write(folder: &Path) -> Result<Vec<PathBuf>, Trouble> {
    let place = || Place::file(&shown(folder));
    let name = folder.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let id = short_name(&name).ok_or_else(|| {
        Diagnostic::error("new::name", place(), format!("\"{name}\" makes no short name for a pack"))
            .hint("name the folder with letters, digits and hyphens, such as packs/dark-lamp")
    })?;
    if folder.read_dir().is_ok_and(|mut entries| entries.next().is_some()) || folder.is_file() {
        return Err(Diagnostic::error("new::folder", place(), "there is something here already")
            .hint("name a folder that is not there yet; nothing is written over")
            .into());
    }
    disk::make_folder(folder)?;
    let files = [("pack.ron", PACK.replace("new-pack", &id)), ("exercise.lua", EXERCISE.to_owned())];
    let mut written = vec![];
    for (file, text) in files {
        let path = folder.join(file);
        disk::write_whole(&path, text.as_bytes())?;
        written.push(path);
    }
    Ok(written)
}

/// A short name out of a folder's name: lower-case letters, digits and hyphens.
fn short_name(name: &str) -> Option<String> {
    let plain = name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' });
    let id = plain.collect::<String>().split('-').filter(|p| !p.is_empty()).collect::<Vec<_>>().join("-");
    (1..=64).contains(&id.len()).then_some(id)
}

#[cfg(test)]
mod tests {
    use super::short_name;

    #[test]
    fn folders_make_short_names() {
        assert_eq!(short_name("Dark lamp_2").as_deref(), Some("dark-lamp-2"));
        assert_eq!(short_name("--"), None);
        assert_eq!(short_name(""), None);
    }
}
