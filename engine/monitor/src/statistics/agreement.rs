//! How far markers agree beyond chance.
//!
//! Sources: Cohen, Educational and Psychological Measurement 20 (1960) 37-46, weights: Psychological Bulletin
//! 70 (1968) 213-220; Fleiss, Psychological Bulletin 76 (1971) 378-382; intraclass correlation (2,1), Shrout
//! and Fleiss, Psychological Bulletin 86 (1979) 420-428, with the interval of McGraw and Wong's
//! ICC(A,1), Psychological Methods 1 (1996) 30-46.

use super::beta::f_quantile;
use super::caution::{Caution, PEOPLE_WANTED, WIDTH_WANTED};
use super::items::compare;

/// Why ratings cannot be compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AgreementFault {
    /// Nothing was rated, or too little: a correlation takes two subjects.
    FewSubjects,
    /// Fewer than two raters.
    FewRaters,
    /// This subject was rated by another number of raters than the first.
    UnequalRaters {
        /// The subject.
        subject: usize,
    },
    /// This subject was put into a category that is not listed.
    NoSuchCategory {
        /// The subject.
        subject: usize,
    },
    /// A rating of this subject is not a finite number.
    NotANumber {
        /// The subject.
        subject: usize,
    },
}

/// Agreement of two raters by category.
#[derive(Clone, Debug, PartialEq)]
pub struct Cohen {
    /// How many subjects.
    pub subjects: usize,
    /// How many subjects the first rater put into the row's category and the second into the column's.
    pub table: Vec<Vec<u32>>,
    /// Part of the subjects on which they agree.
    pub observed: f64,
    /// Kappa; `None` when chance alone gives full agreement.
    pub kappa: Option<f64>,
    /// Kappa with disagreement weighing as many categories as it spans.
    pub linear: Option<f64>,
    /// Kappa with disagreement weighing the square of that.
    pub quadratic: Option<f64>,
    /// What to take with care.
    pub cautions: Vec<Caution>,
}

/// Cohen's kappa of two raters: the categories, from 0, that each put every subject into, of so many categories
/// in their order.
///
/// # Errors
/// When there are no subjects, or a category is not listed.
pub fn cohen(ratings: &[(usize, usize)], categories: usize) -> Result<Cohen, AgreementFault> {
    if ratings.is_empty() {
        return Err(AgreementFault::FewSubjects);
    }
    let mut table = vec![vec![0u32; categories]; categories];
    for (subject, &(a, b)) in ratings.iter().enumerate() {
        *table.get_mut(a).and_then(|r| r.get_mut(b)).ok_or(AgreementFault::NoSuchCategory { subject })? += 1;
    }
    let n = ratings.len() as f64;
    let first: Vec<u32> = table.iter().map(|r| r.iter().sum()).collect();
    let second: Vec<u32> = (0..categories).map(|j| table.iter().map(|r| r[j]).sum()).collect();
    let kappa = |weight: fn(f64) -> f64| {
        let (mut seen, mut by_chance) = (0.0, 0.0);
        for i in 0..categories {
            for j in 0..categories {
                let w = weight(i.abs_diff(j) as f64);
                seen += w * f64::from(table[i][j]);
                by_chance += w * f64::from(first[i]) * f64::from(second[j]) / n;
            }
        }
        (by_chance > 0.0).then(|| 1.0 - seen / by_chance)
    };
    let agreed: u32 = (0..categories).map(|i| table[i][i]).sum();
    let plain = kappa(|d| if d > 0.0 { 1.0 } else { 0.0 });
    Ok(Cohen {
        subjects: ratings.len(),
        observed: f64::from(agreed) / n,
        kappa: plain,
        linear: kappa(|d| d),
        quadratic: kappa(|d| d * d),
        cautions: cautions(ratings.len(), plain.is_none(), None),
        table,
    })
}

/// Agreement of several raters by category.
#[derive(Clone, Debug, PartialEq)]
pub struct Fleiss {
    /// How many subjects.
    pub subjects: usize,
    /// How many raters each had; they need not be the same people.
    pub raters: u32,
    /// Part of the pairs of raters that agree.
    pub observed: f64,
    /// The same by chance.
    pub expected: f64,
    /// Kappa; `None` when chance alone gives full agreement.
    pub kappa: Option<f64>,
    /// What to take with care.
    pub cautions: Vec<Caution>,
}

/// Fleiss' kappa: for each subject how many raters put it into each category.
///
/// # Errors
/// When there are no subjects, fewer than two raters, or not as many for each subject.
pub fn fleiss(counts: &[Vec<u32>]) -> Result<Fleiss, AgreementFault> {
    let raters: u32 = counts.first().ok_or(AgreementFault::FewSubjects)?.iter().sum();
    if raters < 2 {
        return Err(AgreementFault::FewRaters);
    }
    let categories = counts[0].len();
    let unequal = |r: &Vec<u32>| r.len() != categories || r.iter().sum::<u32>() != raters;
    if let Some(subject) = counts.iter().position(unequal) {
        return Err(AgreementFault::UnequalRaters { subject });
    }
    // Whole numbers as far as they go, so that the order of subjects cannot matter.
    let (n, r) = (counts.len() as u64, u64::from(raters));
    let pairs: u64 = counts.iter().flatten().map(|&c| u64::from(c) * u64::from(c.saturating_sub(1))).sum();
    let observed = pairs as f64 / (n * r * (r - 1)) as f64;
    let shares = (0..categories).map(|j| counts.iter().map(|c| u64::from(c[j])).sum::<u64>());
    let squares: u64 = shares.map(|s| s * s).sum();
    let all = (n * r) * (n * r);
    let expected = squares as f64 / all as f64;
    let kappa = (squares < all).then(|| (observed - expected) / (1.0 - expected));
    let cautions = cautions(counts.len(), kappa.is_none(), None);
    Ok(Fleiss { subjects: counts.len(), raters, observed, expected, kappa, cautions })
}

/// Intraclass correlation (2,1): any rater, absolute agreement, one rater at a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Correlation {
    /// How many subjects.
    pub subjects: usize,
    /// How many raters.
    pub raters: usize,
    /// The correlation; `None` when nothing differs. It can be below 0.
    pub icc: Option<f64>,
    /// Its interval of 95 %; `None` when there is no correlation, or no error to weigh it by.
    pub interval: Option<(f64, f64)>,
    /// Mean square between subjects.
    pub ms_rows: f64,
    /// Mean square between raters.
    pub ms_columns: f64,
    /// Mean square that is left.
    pub ms_error: f64,
    /// What to take with care.
    pub cautions: Vec<Caution>,
}

/// The intraclass correlation of ratings: a row a subject, a column a rater.
///
/// # Errors
/// With fewer than two subjects or raters, rows of different length, or ratings that are not finite.
pub fn correlation(ratings: &[Vec<f64>]) -> Result<Correlation, AgreementFault> {
    let (n, k) = (ratings.len(), ratings.first().map_or(0, Vec::len));
    if n < 2 {
        return Err(AgreementFault::FewSubjects);
    }
    if k < 2 {
        return Err(AgreementFault::FewRaters);
    }
    if let Some(subject) = ratings.iter().position(|r| r.len() != k) {
        return Err(AgreementFault::UnequalRaters { subject });
    }
    if let Some(subject) = ratings.iter().position(|r| r.iter().any(|x| !x.is_finite())) {
        return Err(AgreementFault::NotANumber { subject });
    }
    let mut rows: Vec<&Vec<f64>> = ratings.iter().collect();
    rows.sort_by(|a, b| compare(a, b));
    let (nf, kf) = (n as f64, k as f64);
    let row_means: Vec<f64> = rows.iter().map(|r| r.iter().sum::<f64>() / kf).collect();
    let column_means: Vec<f64> = (0..k).map(|j| rows.iter().map(|r| r[j]).sum::<f64>() / nf).collect();
    let grand = row_means.iter().sum::<f64>() / nf;
    let square = |x: f64| x * x;
    let ms_rows = kf * row_means.iter().map(|m| square(m - grand)).sum::<f64>() / (nf - 1.0);
    let ms_columns = nf * column_means.iter().map(|m| square(m - grand)).sum::<f64>() / (kf - 1.0);
    let left = |i: usize, j: usize| square(rows[i][j] - row_means[i] - column_means[j] + grand);
    let ms_error = (0..n).flat_map(|i| (0..k).map(move |j| (i, j))).map(|(i, j)| left(i, j)).sum::<f64>()
        / ((nf - 1.0) * (kf - 1.0));
    let below = ms_rows + (kf - 1.0) * ms_error + kf * (ms_columns - ms_error) / nf;
    let differs = rows.iter().any(|r| r.iter().any(|x| *x != rows[0][0]));
    let icc = (differs && below != 0.0).then(|| (ms_rows - ms_error) / below);
    let interval = icc.and_then(|r| interval(r, nf, kf, ms_rows, ms_columns, ms_error));
    let cautions = cautions(n, icc.is_none(), interval);
    Ok(Correlation { subjects: n, raters: k, icc, interval, ms_rows, ms_columns, ms_error, cautions })
}

/// McGraw and Wong, table 7, ICC(A,1).
fn interval(r: f64, n: f64, k: f64, ms_rows: f64, ms_columns: f64, ms_error: f64) -> Option<(f64, f64)> {
    if r >= 1.0 {
        return None; // no error is left, and with it no distribution
    }
    let a = k * r / (n * (1.0 - r));
    let b = 1.0 + k * r * (n - 1.0) / (n * (1.0 - r));
    let (of_columns, of_error) = (a * ms_columns, b * ms_error);
    let freedom = (of_columns + of_error) * (of_columns + of_error)
        / (of_columns * of_columns / (k - 1.0) + of_error * of_error / ((n - 1.0) * (k - 1.0)));
    let (above, under) = (f_quantile(0.975, n - 1.0, freedom)?, f_quantile(0.975, freedom, n - 1.0)?);
    let rest = k * ms_columns + (k * n - k - n) * ms_error;
    let low = n * (ms_rows - above * ms_error) / (above * rest + n * ms_rows);
    let high = n * (under * ms_rows - ms_error) / (rest + n * under * ms_rows);
    Some((low, high))
}

fn cautions(subjects: usize, nothing: bool, interval: Option<(f64, f64)>) -> Vec<Caution> {
    let few = (subjects < PEOPLE_WANTED).then_some(Caution::FewPeople { people: subjects, wanted: PEOPLE_WANTED });
    let wide = interval.filter(|(low, high)| high - low > WIDTH_WANTED);
    let wide = wide.map(|(low, high)| Caution::WideInterval { low, high });
    few.into_iter().chain(nothing.then_some(Caution::NothingToAgreeOn)).chain(wide).collect()
}
