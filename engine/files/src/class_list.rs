//! A class as a list: who plays an exercise with which seed and which parameters. CSV in UTF-8 with a
//! first line of names: `trainee`, then `seed` if the seeds are given, then the names of parameters.
//!
//! ```text
//! trainee,seed,lamp
//! t-01,,XL-2104
//! t-02,,XL-2101
//! ```
//!
//! A seed that is left out is the number of the line in the list, from 1: neighbours have seeds that
//! follow each other, and so different variants.

use crate::strict;
use base::{Diagnostic, Place};
use std::collections::BTreeMap;

/// Most people of a list.
pub const PEOPLE_MAX: usize = 10_000;
const CODE: &str = "class::form";

/// One person of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seat {
    /// The trainee's id.
    pub trainee: String,
    /// The seed of the run's chance events.
    pub seed: u64,
    /// Parameters of the exercise. An empty cell sets none.
    pub parameters: BTreeMap<String, String>,
}

/// Reads a list.
///
/// # Errors
/// All mistakes, each with its line.
pub fn read(file: &str, bytes: &[u8]) -> Result<Vec<Seat>, Vec<Diagnostic>> {
    let text = strict::text(file, bytes, CODE).map_err(|d| vec![d])?;
    let mut rows = csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(text.as_bytes());
    let wrong = |line: u64, message: String| Diagnostic::error(CODE, Place::line(file, line as u32), message);
    let names = match rows.headers() {
        Ok(names) => names.clone(),
        Err(e) => return Err(vec![wrong(1, format!("the list cannot be read: {e}"))]),
    };
    if names.get(0) != Some("trainee") {
        return Err(vec![
            wrong(1, "the first line does not begin with \"trainee\"".to_owned())
                .hint("write trainee,seed and the names of parameters, with a comma between them"),
        ]);
    }
    let (mut seats, mut mistakes) = (Vec::<Seat>::new(), Vec::new());
    for (i, name) in names.iter().enumerate() {
        if name.is_empty() || names.iter().take(i).any(|n| n == name) {
            mistakes.push(wrong(1, format!("column {} has no name of its own: \"{name}\"", i + 1)));
        }
    }
    for row in rows.records() {
        let row = match row {
            Ok(row) => row,
            Err(e) => {
                let line = e.position().map_or(0, csv::Position::line);
                mistakes.push(
                    wrong(line, format!("the line has not {} cells", names.len()))
                        .hint("write one cell a column, with a comma between them, empty ones too"),
                );
                continue;
            }
        };
        let line = row.position().map_or(0, csv::Position::line);
        let mut seat = Seat { trainee: String::new(), seed: seats.len() as u64 + 1, parameters: BTreeMap::new() };
        for (name, cell) in names.iter().zip(&row) {
            match name {
                "trainee" => seat.trainee = cell.to_owned(),
                "seed" if cell.is_empty() => {}
                "seed" => match cell.parse() {
                    Ok(seed) => seat.seed = seed,
                    Err(_) => mistakes.push(
                        wrong(line, format!("\"{cell}\" is no seed")).hint("a seed is a whole number, such as 7"),
                    ),
                },
                _ if cell.is_empty() => {}
                name => {
                    seat.parameters.insert(name.to_owned(), cell.to_owned());
                }
            }
        }
        if seat.trainee.is_empty() || seats.iter().any(|s| s.trainee == seat.trainee) {
            mistakes.push(
                wrong(line, format!("\"{}\" is no id, or stands in the list twice", seat.trainee))
                    .hint("give each trainee an id of their own"),
            );
        }
        if seats.len() >= PEOPLE_MAX {
            mistakes.push(wrong(line, format!("the list has more than {PEOPLE_MAX} people")));
            break;
        }
        seats.push(seat);
    }
    if mistakes.is_empty() { Ok(seats) } else { Err(mistakes) }
}

#[cfg(test)]
mod tests {
    use super::read;

    #[test]
    fn a_list_is_read_and_neighbours_have_seeds_that_follow_each_other() {
        let seats = read("class.csv", b"trainee,seed,lamp\r\nt-01,,XL-2104\r\nt-02,,\r\nt-03,77,XL-2101\r\n").unwrap();
        let told: Vec<_> = seats.iter().map(|s| (s.trainee.as_str(), s.seed, s.parameters.len())).collect();
        assert_eq!(told, [("t-01", 1, 1), ("t-02", 2, 0), ("t-03", 77, 1)]);
        assert_eq!(seats[0].parameters["lamp"], "XL-2104");
    }

    #[test]
    fn all_mistakes_are_told_with_their_lines() {
        let told = read("class.csv", b"trainee,seed\nt-01,one\nt-01,2,3\nt-01,4\n").unwrap_err();
        let told: Vec<String> = told.iter().map(|d| format!("{} {}", d.place, d.message)).collect();
        assert_eq!(told[0], "class.csv:2 \"one\" is no seed");
        assert_eq!(told[1], "class.csv:3 the line has not 2 cells");
        assert!(told[2].starts_with("class.csv:4 \"t-01\" is no id"), "{told:?}");
        assert!(read("class.csv", b"name\n").unwrap_err()[0].message.contains("does not begin with"));
    }
}
