//! `new`: a pack that is ready to edit.

use crate::exit::Exit;
use crate::told::say;
use replay::{Trouble, new};
use std::path::PathBuf;

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Folder of the new pack; it must not be there yet, or be empty.
    folder: PathBuf,
}

/// Writes a new pack.
pub(crate) fn run(a: &Arguments) -> Result<Exit, Trouble> {
    for file in new::write(&a.folder)? {
        say(&file.display().to_string());
    }
    say(&format!("check it with: faultwright check {}", a.folder.display()));
    Ok(Exit::Good)
}
