//! Logs of a class that are the same, or nearly.

use crate::logs::ReadLog;
use files::class_figures::AlikeLogs;
use marking::figures::{Act, Likeness, alike};
use std::collections::BTreeMap;

/// Pairs of logs with the same or nearly the same actions at nearly the same times, by the names that
/// results give them. Logs of one trainee are not compared with each other, nor are refused ones.
#[must_use]
pub fn pairs(logs: &[ReadLog]) -> Vec<AlikeLogs> {
    let mut numbers: BTreeMap<String, u32> = BTreeMap::new();
    let mut read: Vec<(&ReadLog, Vec<Act>)> = vec![];
    for log in logs {
        let Some(parsed) = &log.imported.log else { continue };
        let acts = parsed.actions.iter().map(|a| {
            let next = numbers.len() as u32;
            let what = *numbers.entry(format!("{:?} {:?} {:?}", a.verb, a.on, a.to)).or_insert(next);
            Act { what, at: a.tick }
        });
        read.push((log, acts.collect()));
    }
    let acts: Vec<Vec<Act>> = read.iter().map(|r| r.1.clone()).collect();
    let (found, _) = alike(&acts, &Likeness::default());
    found
        .iter()
        .map(|a| (read[a.first].0, read[a.second].0, a))
        .filter(|(first, second, _)| first.trainee != second.trainee)
        .map(|(first, second, a)| AlikeLogs {
            first: first.name.clone(),
            second: second.name.clone(),
            identical: a.identical,
            edits: a.edits,
            actions: a.acts,
        })
        .collect()
}
