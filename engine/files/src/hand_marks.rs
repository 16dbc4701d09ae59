//! Marks that people gave by hand, as CSV: one row a person and marker, one column an item.
//!
//! ```text
//! id,by,purge,light up
//! t-01,M. Example,6,3.5
//! t-01,N. Second,6,
//! ```
//!
//! An empty cell is an item that this marker did not mark.

use crate::overrides::marks;
use base::sheet::Marks;
use base::{Diagnostic, Place};

/// Largest file that is read, bytes.
pub const BYTES_MAX: usize = 4 << 20;
/// Most mistakes that are told of one file.
const TOLD_MAX: usize = 50;

/// A file of marks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HandMarks {
    /// The items, in the order of the columns.
    pub items: Vec<String>,
    /// The rows.
    pub rows: Vec<Row>,
}

/// The marks that one person gave another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Whose marks: the trainee's id, or the candidate number.
    pub id: String,
    /// Who gave them.
    pub by: String,
    /// One an item, in the order of the items.
    pub marks: Vec<Option<Marks>>,
    /// The line of the file.
    pub line: u32,
}

/// Reads a file of marks.
///
/// # Errors
/// Every mistake, with its line, up to a cap.
pub fn read(file: &str, bytes: &[u8]) -> Result<HandMarks, Vec<Diagnostic>> {
    let whole = |message: String| vec![Diagnostic::error("hand::form", Place::file(file), message)];
    if bytes.len() > BYTES_MAX {
        return Err(whole(format!("the file has {} bytes, and at most {BYTES_MAX} are read", bytes.len())));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut table = csv::ReaderBuilder::new().has_headers(false).flexible(true).trim(csv::Trim::All).from_reader(bytes);
    let mut rows = table.records();
    let head: Vec<String> = match rows.next() {
        Some(Ok(head)) => head.iter().map(ToOwned::to_owned).collect(),
        Some(Err(e)) => return Err(whole(format!("the first line cannot be read: {e}"))),
        None => return Err(whole("the file is empty".to_owned())),
    };
    let hint = "the first line is: id,by, and then the names of items, with commas between them";
    let line = |l: u32| Place::line(file, l);
    if head.len() < 3 || head[0] != "id" || head[1] != "by" {
        let d = Diagnostic::error("hand::form", line(1), "the columns are not those of a file of marks");
        return Err(vec![d.hint(hint)]);
    }
    let items = head[2..].to_vec();
    let mut wrong = vec![];
    for (i, item) in items.iter().enumerate() {
        if item.is_empty() || items[..i].contains(item) {
            let message = format!("column {} is empty or there is one like it already", i + 3);
            wrong.push(Diagnostic::error("hand::column", line(1), message).hint(hint));
        }
    }
    let mut read: Vec<Row> = vec![];
    for row in rows {
        let row = match row {
            Ok(row) => row,
            Err(e) => {
                wrong.push(Diagnostic::error("hand::form", Place::file(file), format!("a line cannot be read: {e}")));
                continue;
            }
        };
        let at = row.position().map_or(0, |p| p.line() as u32);
        if row.len() != head.len() {
            let message = format!("there are {} cells, and {} columns", row.len(), head.len());
            wrong.push(
                Diagnostic::error("hand::cells", line(at), message).hint("a decimal is written with a full stop"),
            );
            continue;
        }
        let mut given = vec![];
        for (item, cell) in items.iter().zip(row.iter().skip(2)) {
            match cell {
                "" => given.push(None),
                text => match marks(text) {
                    Ok(m) => given.push(Some(m)),
                    Err(why) => {
                        let message = format!("the marks on \"{item}\": {why}");
                        wrong.push(
                            Diagnostic::error("hand::marks", line(at), message)
                                .hint("write for example 4 or 2.5, or leave the cell empty"),
                        );
                    }
                },
            }
        }
        let (id, by) = (row[0].to_owned(), row[1].to_owned());
        if id.is_empty() || by.is_empty() {
            wrong.push(
                Diagnostic::error("hand::who", line(at), "id or by is empty")
                    .hint("say whose marks, and who gave them"),
            );
        } else if let Some(first) = read.iter().find(|r| r.id == id && r.by == by) {
            let message = format!("{by} marked {id} on line {} already", first.line);
            wrong.push(Diagnostic::error("hand::twice", line(at), message).hint("take one of them out"));
        }
        read.push(Row { id, by, marks: given, line: at });
    }
    wrong.truncate(TOLD_MAX);
    if wrong.is_empty() { Ok(HandMarks { items, rows: read }) } else { Err(wrong) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_read_and_empty_cells_are_none() {
        let read = read("m.csv", b"id,by,purge,\"light, up\"\r\nt-01,M,6,2.5\r\nt-01, N ,,4\n").unwrap();
        assert_eq!(read.items, ["purge", "light, up"]);
        assert_eq!(read.rows[0].marks, [Some(Marks(600)), Some(Marks(250))]);
        assert_eq!((read.rows[1].by.as_str(), &read.rows[1].marks[..]), ("N", &[None, Some(Marks(400))][..]));
    }

    #[test]
    fn every_mistake_is_told_with_its_line() {
        let text = "id,by,a\nt-01,M,1\nt-01,M,2\nt-02,,1\nt-03,M,x\nt-04,M,1,5\n";
        let told = read("m.csv", text.as_bytes()).unwrap_err();
        let told: Vec<(u32, &str)> = told.iter().map(|d| (d.place.line, d.code)).collect();
        assert_eq!(told, [(3, "hand::twice"), (4, "hand::who"), (5, "hand::marks"), (6, "hand::cells")]);
        assert_eq!(read("m.csv", b"name,purge\n").unwrap_err()[0].code, "hand::form");
        assert_eq!(read("m.csv", b"").unwrap_err()[0].code, "hand::form");
    }
}
