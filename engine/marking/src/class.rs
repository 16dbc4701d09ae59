//! A class: counts, means, medians, spreads, and who lost what.
//!
//! Only runs that were marked are counted. Percentages are of the marks that could be earned in that
//! run, since what could not be assessed differs from run to run.

use crate::verdict::{Outcome, RunResult};
use base::maths::sqrt;

/// One run of a class.
#[derive(Clone, Copy, Debug)]
pub struct ClassRun<'a> {
    /// Whose run.
    pub id: &'a str,
    /// How it was marked.
    pub result: &'a RunResult,
}

/// Where a set of numbers lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// How many.
    pub count: usize,
    /// Arithmetic mean.
    pub mean: f64,
    /// Median: the middle one, or the mean of the middle two.
    pub median: f64,
    /// Standard deviation of a sample (divisor `count - 1`); `None` below two.
    pub deviation: Option<f64>,
    /// Least.
    pub least: f64,
    /// Greatest.
    pub greatest: f64,
}

impl Spread {
    /// The spread of some numbers, summed in rising order; `None` of none.
    #[must_use]
    pub fn of(numbers: &[f64]) -> Option<Spread> {
        let mut sorted = numbers.to_vec();
        sorted.sort_by(f64::total_cmp);
        let (n, least, greatest) = (sorted.len(), *sorted.first()?, *sorted.last()?);
        let mean = sorted.iter().sum::<f64>() / n as f64;
        let median = if n % 2 == 1 { sorted[n / 2] } else { f64::midpoint(sorted[n / 2 - 1], sorted[n / 2]) };
        let squares: f64 = sorted.iter().map(|x| (x - mean) * (x - mean)).sum();
        let deviation = (n > 1).then(|| sqrt(squares / (n - 1) as f64));
        Some(Spread { count: n, mean, median, deviation, least, greatest })
    }
}

/// How a class did at one item.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemStatistics {
    /// The item's name.
    pub name: String,
    /// The word of its kind, such as "step".
    pub kind: &'static str,
    /// How many were assessed on it.
    pub assessed: usize,
    /// The part of its marks that they earned together, in hundredths of a percent, rounded half up;
    /// `None` when nobody was assessed or the item has no marks.
    pub mean_part: Option<u32>,
    /// Who lost any of its marks, in order of id.
    pub lost_by: Vec<String>,
    /// Who was not assessed on it, in order of id.
    pub not_assessed: Vec<String>,
}

/// A class.
#[derive(Clone, Debug, PartialEq)]
pub struct ClassStatistics {
    /// How many runs.
    pub count: usize,
    /// How many passed, of those of whom that can be said.
    pub passed: usize,
    /// Of how many that can be said.
    pub pass_known: usize,
    /// Percent of the marks that could be earned; runs without any such marks are left out.
    pub percent: Option<Spread>,
    /// Marks earned.
    pub marks: Option<Spread>,
    /// The items in the order of the sheet.
    pub items: Vec<ItemStatistics>,
}

/// The statistics of a class. All runs are of the same mark sheet; their order does not matter.
///
/// # Panics
/// When the runs have different items.
#[must_use]
pub fn statistics(runs: &[ClassRun<'_>]) -> ClassStatistics {
    let mut runs = runs.to_vec();
    runs.sort_by(|a, b| a.id.cmp(b.id));
    let marks: Vec<f64> = runs.iter().map(|r| r.result.earned.0 as f64 / 100.0).collect();
    let assessed = runs.iter().filter(|r| r.result.out_of.0 > 0);
    let percent: Vec<f64> = assessed.map(|r| 100.0 * r.result.earned.0 as f64 / r.result.out_of.0 as f64).collect();
    let sheet = runs.first().map_or(&[][..], |r| &r.result.verdicts);
    let items = sheet.iter().enumerate().map(|(i, v)| item(&runs, i, &v.name, v.kind)).collect();
    ClassStatistics {
        count: runs.len(),
        passed: runs.iter().filter(|r| r.result.passed == Some(true)).count(),
        pass_known: runs.iter().filter(|r| r.result.passed.is_some()).count(),
        percent: Spread::of(&percent),
        marks: Spread::of(&marks),
        items,
    }
}

fn item(runs: &[ClassRun<'_>], at: usize, name: &str, kind: &'static str) -> ItemStatistics {
    let mut s = ItemStatistics {
        name: name.to_owned(),
        kind,
        assessed: 0,
        mean_part: None,
        lost_by: Vec::new(),
        not_assessed: Vec::new(),
    };
    let (mut earned, mut out_of) = (0i64, 0i64);
    for run in runs {
        let v =
            run.result.verdicts.get(at).filter(|v| v.name == name).expect("runs of one class are marked by one sheet");
        match v.outcome {
            Outcome::NotAssessed => s.not_assessed.push(run.id.to_owned()),
            outcome => {
                s.assessed += 1;
                earned += v.earned.0;
                out_of += v.out_of.0;
                // What comes on top is asked of nobody, and so cannot be lost.
                if outcome != Outcome::Full && v.out_of.0 > 0 {
                    s.lost_by.push(run.id.to_owned());
                }
            }
        }
    }
    s.mean_part = (out_of > 0).then(|| ((2 * earned * 10_000 + out_of) / (2 * out_of)) as u32);
    s
}
