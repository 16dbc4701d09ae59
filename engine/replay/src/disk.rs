//! Reading and writing files: capped, inside the folder they belong to, and never half.

use base::{Diagnostic, Place};
use std::fmt;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

/// Why a verb cannot go on.
#[derive(Debug)]
pub enum Trouble {
    /// Something that a person wrote is wrong.
    Mistakes(Vec<Diagnostic>),
    /// The machine failed: a full disk, a permission.
    Machine {
        /// The file or folder.
        path: PathBuf,
        /// What was tried: "read", "write".
        doing: &'static str,
        /// What the system says.
        why: io::Error,
    },
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Trouble::Mistakes(all) => {
                for (i, d) in all.iter().enumerate() {
                    write!(f, "{}{d}", if i > 0 { "\n" } else { "" })?;
                }
                Ok(())
            }
            Trouble::Machine { path, doing, why } => write!(f, "cannot {doing} {}: {}", path.display(), plain(why)),
        }
    }
}

impl std::error::Error for Trouble {}

impl From<Vec<Diagnostic>> for Trouble {
    fn from(all: Vec<Diagnostic>) -> Trouble {
        Trouble::Mistakes(all)
    }
}

impl From<Diagnostic> for Trouble {
    fn from(one: Diagnostic) -> Trouble {
        Trouble::Mistakes(vec![one])
    }
}

/// What the system says, without its number.
#[must_use]
pub fn plain(why: &io::Error) -> String {
    match why.kind() {
        ErrorKind::NotFound => "there is no such file or folder".into(),
        ErrorKind::PermissionDenied => "permission denied".into(),
        ErrorKind::StorageFull => "the disk is full".into(),
        ErrorKind::IsADirectory => "it is a folder".into(),
        _ => {
            let text = why.to_string();
            text.split(" (os error").next().unwrap_or(&text).to_lowercase()
        }
    }
}

/// Reads a file of at most `most` bytes; one more byte is read of a larger one, so that whoever
/// judges the bytes sees that it is too large, and a file that never ends does no harm.
///
/// # Errors
/// What the system says.
pub fn read_capped(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    let file = File::open(path)?;
    if file.metadata()?.is_dir() {
        return Err(io::Error::from(ErrorKind::IsADirectory));
    }
    let mut bytes = vec![];
    file.take(most as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Reads a file that a pack names, when it really lies in the pack's folder, links followed.
///
/// # Errors
/// A diagnostic at `place` when it is missing, outside the folder or too large; the machine's trouble
/// otherwise.
pub fn read_inside(folder: &Path, name: &str, most: usize, place: &Place) -> Result<Vec<u8>, Trouble> {
    let wrong = |message: String| Diagnostic::error("pack::file", place.clone(), message);
    if let Err(why) = files::pack::inside(name) {
        return Err(wrong(format!("the path \"{name}\" {why}")).into());
    }
    let path = folder.join(name);
    let machine = |why: io::Error| Trouble::Machine { path: path.clone(), doing: "read", why };
    let real = match (path.canonicalize(), folder.canonicalize()) {
        (Ok(real), Ok(folder)) if real.starts_with(&folder) => real,
        (Ok(_), Ok(_)) => return Err(wrong(format!("\"{name}\" leads out of the pack's folder")).into()),
        (Err(e), _) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
            let d = wrong(format!("the pack has no file \"{name}\""));
            let near = nearest_file(&path, name);
            return Err(near.map_or(d.clone(), |n| d.hint(format!("did you mean \"{n}\"?"))).into());
        }
        (Err(e), _) | (_, Err(e)) => return Err(machine(e)),
    };
    // What is no file may never end, or never begin to be read.
    match fs::metadata(&real) {
        Ok(data) if data.is_file() => {}
        Ok(data) if data.is_dir() => return Err(wrong(format!("\"{name}\" is a folder")).into()),
        Ok(_) => return Err(wrong(format!("\"{name}\" is no plain file")).into()),
        Err(e) => return Err(machine(e)),
    }
    let bytes = read_capped(&real, most).map_err(machine)?;
    if bytes.len() > most {
        return Err(wrong(format!("\"{name}\" has more than {most} bytes, which is the most that is read")).into());
    }
    Ok(bytes)
}

fn nearest_file(path: &Path, name: &str) -> Option<String> {
    let file = name.rsplit('/').next()?;
    let mut known: Vec<String> =
        fs::read_dir(path.parent()?).ok()?.filter_map(|e| e.ok()?.file_name().into_string().ok()).collect();
    known.sort();
    let near = base::nearest::nearest(file, known.iter().map(String::as_str))?;
    Some(format!("{}{near}", name.strip_suffix(file)?))
}

/// A trainee's place in the list of a class.
///
/// # Errors
/// Mistakes of the list, a trainee who is not in it, or the machine's trouble.
pub fn seat(file: &Path, trainee: &str) -> Result<files::class_list::Seat, Trouble> {
    let name = file.to_string_lossy();
    let bytes =
        read_capped(file, 4 << 20).map_err(|why| Trouble::Machine { path: file.to_owned(), doing: "read", why })?;
    let seats = files::class_list::read(&name, &bytes)?;
    let ids: Vec<String> = seats.iter().map(|s| s.trainee.clone()).collect();
    seats.into_iter().find(|s| s.trainee == trainee).ok_or_else(|| {
        Diagnostic::error("class::trainee", Place::file(&name), format!("the list has no trainee \"{trainee}\""))
            .nearest(trainee, ids.iter().map(String::as_str))
            .into()
    })
}

/// Writes a file whole or not at all: into a temporary file beside it, to the disk, then renamed.
///
/// # Errors
/// The machine's trouble; the old file is then as it was.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let machine = |why: io::Error| Trouble::Machine { path: path.to_owned(), doing: "write", why };
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut temporary = tempfile::Builder::new().prefix(".part-").tempfile_in(folder).map_err(machine)?;
    temporary.write_all(bytes).map_err(machine)?;
    readable(temporary.as_file()).map_err(machine)?;
    temporary.as_file().sync_all().map_err(machine)?;
    temporary.persist(path).map_err(|e| machine(e.error))?;
    // The name itself is on the disk once the folder is; where folders cannot be synced, it is not.
    if let Ok(folder) = File::open(folder) {
        folder.sync_all().ok();
    }
    Ok(())
}

/// Temporary files are the owner's alone; results are as readable as any other file.
#[cfg(unix)]
fn readable(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn readable(_: &File) -> io::Result<()> {
    Ok(())
}

/// Makes a folder and those above it.
///
/// # Errors
/// The machine's trouble.
pub fn make_folder(path: &Path) -> Result<(), Trouble> {
    fs::create_dir_all(path).map_err(|why| Trouble::Machine { path: path.to_owned(), doing: "make the folder", why })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_leaves_nothing_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("result.json");
        write_whole(&path, b"one").unwrap();
        write_whole(&path, b"another").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"another");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        let nowhere = folder.path().join("no/such/folder/x");
        assert!(matches!(write_whole(&nowhere, b""), Err(Trouble::Machine { .. })));
    }

    #[cfg(unix)]
    #[test]
    fn a_link_out_of_the_folder_is_refused() {
        let outside = tempfile::tempdir().unwrap();
        fs::write(outside.path().join("secret.lua"), "secret").unwrap();
        let folder = tempfile::tempdir().unwrap();
        std::os::unix::fs::symlink(outside.path().join("secret.lua"), folder.path().join("nice.lua")).unwrap();
        let place = Place::file("pack.ron");
        let told = read_inside(folder.path(), "nice.lua", 100, &place).unwrap_err().to_string();
        assert!(told.contains("leads out of the pack's folder"), "{told}");
        let told = read_inside(folder.path(), "../x.lua", 100, &place).unwrap_err().to_string();
        assert!(told.contains("leaves the pack's folder"), "{told}");
    }

    #[cfg(unix)]
    #[test]
    fn what_is_no_plain_file_is_refused_and_not_waited_for() {
        let folder = tempfile::tempdir().unwrap();
        // Nobody ever writes into it: whoever opened it would wait.
        let made = std::process::Command::new("mkfifo").arg(folder.path().join("a.lua")).status().unwrap();
        assert!(made.success());
        fs::create_dir(folder.path().join("parts")).unwrap();
        fs::write(folder.path().join("parts/level.lua"), "").unwrap();
        let told =
            |name: &str| read_inside(folder.path(), name, 100, &Place::file("pack.ron")).unwrap_err().to_string();
        assert!(told("a.lua").contains("\"a.lua\" is no plain file"), "{}", told("a.lua"));
        assert!(told("parts").contains("\"parts\" is a folder"));
        // Below a file there is nothing, and a file of a folder is told with it.
        assert!(told("parts/level.lua/x").contains("the pack has no file"), "{}", told("parts/level.lua/x"));
        assert!(told("parts/levle.lua").contains("did you mean \"parts/level.lua\"?"), "{}", told("parts/levle.lua"));
    }

    #[test]
    fn a_missing_file_is_told_with_the_nearest_and_a_huge_one_is_not_read() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("raise_steam.lua"), vec![b'-'; 200]).unwrap();
        let place = Place::line("pack.ron", 4);
        let told = read_inside(folder.path(), "raise_stem.lua", 100, &place).unwrap_err().to_string();
        assert!(told.contains("at pack.ron:4\n  hint: did you mean \"raise_steam.lua\"?"), "{told}");
        let told = read_inside(folder.path(), "raise_steam.lua", 100, &place).unwrap_err().to_string();
        assert!(told.contains("more than 100 bytes"), "{told}");
    }
}
