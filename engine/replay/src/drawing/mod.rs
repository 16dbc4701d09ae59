//! The systems of a plant as flow diagrams, drawn from the plant file.
//!
//! A system's sheet is worked out in four steps, each a file: what stands on it and what joins what (`scheme`), in
//! which column and order (`layers`), where exactly (`place`), and by which ways the lines go (`route`);
//! `symbols` and `sheet` put it down as SVG. Nothing is placed by hand, so that another plant file has its
//! drawings as well. Symbols are those that flow diagrams use in general (a valve as two triangles, a pump as a
//! circle with a wedge, a tank as a rectangle, an instrument as a circle with its letters); lines are black, and
//! kinds of medium differ by weight, pattern and letters, so that a black-and-white print loses nothing.

mod layers;
mod looks;
mod place;
mod route;
mod scheme;
mod sheet;
mod symbols;
mod text;

use crate::{Trouble, disk};
use base::description::Description;
use std::path::{Path, PathBuf};

/// One system drawn.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// File name: "sea-water.svg".
    pub file: String,
    /// Title of the system.
    pub title: String,
    /// The drawing.
    pub svg: String,
    /// What it is made of, for checks.
    pub made: Made,
}

/// Where things stand on a sheet, in its own units.
#[derive(Clone, Debug, Default)]
pub struct Made {
    /// Width and height.
    pub size: (f64, f64),
    /// The tags that stand on it as parts or instruments, those of other systems left out.
    pub tags: Vec<String>,
    /// Boxes of parts with their texts and instruments: whose, and left, top, right, bottom.
    pub boxes: Vec<(String, [f64; 4])>,
    /// Boxes of texts.
    pub texts: Vec<(String, [f64; 4])>,
    /// Lines: the parts at their ends, and their corners.
    pub lines: Vec<Drawn>,
}

/// A line: the tags where it comes from and goes to, and its corners.
pub type Drawn = (String, String, Vec<(f64, f64)>);

/// Every system of a plant, in the order of its file.
#[must_use]
pub fn all(d: &Description) -> Vec<Drawing> {
    d.systems.iter().map(|(id, title)| one(d, id, title)).collect()
}

fn one(d: &Description, id: &str, title: &str) -> Drawing {
    let scheme = scheme::of(d, id);
    let placed = place::place(&scheme);
    let (svg, made) = sheet::draw(d, title, &scheme, &placed);
    Drawing { file: format!("{}.svg", id.replace(' ', "-")), title: title.to_owned(), svg, made }
}

/// Writes every drawing into a folder, and tells the files.
///
/// # Errors
/// When the folder or a file cannot be written.
pub fn write(d: &Description, folder: &Path) -> Result<Vec<PathBuf>, Trouble> {
    disk::make_folder(folder)?;
    let mut files = vec![];
    for drawing in all(d) {
        let file = folder.join(&drawing.file);
        disk::write_whole(&file, drawing.svg.as_bytes())?;
        files.push(file);
    }
    Ok(files)
}
