//! Blind marking: logs go by candidate numbers, and everything that is told of them too.
//!
//! A number is drawn from a digest of the pack's id, the trainee's id and the trainee's log, so that it
//! stays the same when other logs come or go and when the mark sheet changes, and cannot be
//! worked out by anybody who has no logs. A file of numbers comes first: whoever is in it keeps theirs.

use crate::disk::Trouble;
use crate::logs::ReadLog;
use crate::moderation;
use crate::pack::{Pack, shown};
use base::{Diagnostic, Place};
use files::digest;
use files::numbers::{Candidate, Numbers};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Candidate numbers run from 10000 to 99999.
const NUMBERS: u64 = 90_000;

/// Reads a file of candidate numbers; none when there is no such file yet.
///
/// # Errors
/// Every mistake in it, a file of another pack, or the machine's trouble.
pub fn read_numbers(pack: &Pack, path: &Path) -> Result<Numbers, Trouble> {
    let none = || Numbers { pack: pack.file.id.clone(), candidates: vec![] };
    if !path.exists() {
        return Ok(none());
    }
    let numbers = files::numbers::read(&shown(path), &moderation::read(path)?)?;
    if numbers.pack != pack.file.id {
        let message =
            format!("these numbers are for the pack \"{}\", and \"{}\" is graded", numbers.pack, pack.file.id);
        return Err(Diagnostic::error("number::pack", Place::file(&shown(path)), message).into());
    }
    Ok(numbers)
}

/// Numbers for everybody who has a log here, those of `known` kept.
#[must_use]
pub fn assign(pack: &Pack, logs: &[ReadLog], known: &Numbers) -> Numbers {
    let mut numbers = known.clone();
    let mut taken: BTreeSet<String> = numbers.candidates.iter().map(|c| c.number.to_lowercase()).collect();
    // In the order of their digests, so that nothing depends on the order of the logs.
    let mut waiting: BTreeMap<String, &ReadLog> = BTreeMap::new();
    let mut first: BTreeMap<&str, &ReadLog> = BTreeMap::new();
    for log in logs.iter().filter(|l| known.of(&l.trainee).is_none()) {
        let before = first.entry(&log.trainee).or_insert(log);
        if log.digest < before.digest {
            *before = log;
        }
    }
    for (trainee, log) in first {
        let parts = [("pack", &*pack.file.id), ("trainee", trainee), ("log", log.digest.as_str())];
        let parts = parts.map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec())).into();
        waiting.insert(digest::named(&parts).to_string(), log);
    }
    for (digest, log) in waiting {
        let mut drawn = u64::from_str_radix(&digest[..12], 16).expect("a digest is hexadecimal") % NUMBERS;
        let number = loop {
            let number = format!("C-{}", 10_000 + drawn);
            if taken.insert(number.to_lowercase()) {
                break number;
            }
            drawn = (drawn + 1) % NUMBERS;
        };
        numbers.candidates.push(Candidate { number, trainee: log.trainee.clone(), name: log.person.clone() });
    }
    numbers.candidates.sort_by(|a, b| a.number.cmp(&b.number));
    numbers
}

/// Refuses a folder for results in which debriefs lie that are not of these numbers: they would tell
/// who is who beside the numbers.
///
/// # Errors
/// A diagnostic that names one of them, or the machine's trouble.
pub fn no_names_beside(out: &Path, numbers: &Numbers) -> Result<(), Trouble> {
    let folder = out.join("debriefs");
    let machine = |why| Trouble::Machine { path: folder.clone(), doing: "read", why };
    if !folder.exists() {
        return Ok(());
    }
    let mut names = vec![];
    for entry in std::fs::read_dir(&folder).map_err(machine)? {
        names.push(entry.map_err(machine)?.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    let of_a_number = |name: &String| numbers.candidates.iter().any(|c| name.starts_with(&c.number));
    match names.iter().find(|n| !of_a_number(n)) {
        None => Ok(()),
        Some(name) => {
            let message = format!("results that are not of this blind marking lie in this folder, such as {name}");
            Err(Diagnostic::error("blind::names-beside", Place::file(&shown(&folder)), message)
                .hint("name an empty folder, so that no names lie beside the numbers")
                .into())
        }
    }
}

/// Takes ids, names and file names out of everything that is told of the logs, and puts the logs in
/// the order of their numbers. What a trainee wrote into a report stays as it was recorded.
///
/// # Panics
/// When somebody has no number.
pub fn hide(logs: &mut [ReadLog], numbers: &Numbers) {
    let number = |l: &ReadLog| numbers.of(&l.trainee).expect("everybody has a number by now").to_owned();
    let mut order: Vec<usize> = (0..logs.len()).collect();
    order.sort_by_key(|&i| (number(&logs[i]), logs[i].digest.clone()));
    let mut count: BTreeMap<String, usize> = BTreeMap::new();
    let mut names = vec![String::new(); logs.len()];
    for &i in &order {
        let n = count.entry(number(&logs[i])).or_default();
        *n += 1;
        names[i] = if *n == 1 { number(&logs[i]) } else { format!("{} (log {n})", number(&logs[i])) };
    }
    let mut spoken: Vec<(String, String)> = vec![];
    for (log, name) in logs.iter().zip(&names) {
        spoken.push((log.name.clone(), name.clone()));
        spoken.push((format!("\"{}\"", log.trainee), format!("\"{}\"", number(log))));
        if !log.person.is_empty() {
            spoken.push((format!("\"{}\"", log.person), format!("\"{}\"", number(log))));
        }
    }
    // Longer ones first, so that none is cut by one that it contains.
    spoken.sort_by_key(|s| std::cmp::Reverse(s.0.len()));
    let blind = |text: &str| spoken.iter().fold(text.to_owned(), |t, (from, to)| t.replace(from, to));
    for (log, name) in logs.iter_mut().zip(names) {
        log.id = numbers.of(&log.trainee).expect("everybody has a number by now").to_owned();
        log.person = String::new();
        for d in &mut log.imported.told {
            if d.place.file == log.name {
                d.place.file.clone_from(&name);
            }
            d.message = if d.code == "log::two-recordings" {
                "a second recording begins here, perhaps of somebody else".to_owned()
            } else {
                blind(&d.message)
            };
            d.hint = d.hint.as_deref().map(blind);
        }
        log.name = name;
    }
    logs.sort_by(|a, b| a.name.cmp(&b.name));
}
