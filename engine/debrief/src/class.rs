//! What a class's report is made from, and what is counted over it.

use crate::page::{Judged, PackName, Who};
use base::sheet::Marks;
use files::verdicts::ClassDigests;
use marking::{Outcome, Verdict};

/// A class that was marked.
#[derive(Clone, Debug)]
pub struct Class<'a> {
    /// The exercise's title.
    pub title: &'a str,
    /// The pack of the exercise.
    pub pack: PackName<'a>,
    /// Marks needed to pass, when the exercise says so.
    pub pass_mark: Option<Marks>,
    /// The people, in the order in which the report lists them.
    pub people: &'a [PersonLine<'a>],
    /// Digests that the class shares.
    pub digests: ClassDigests,
}

/// One log of a class.
#[derive(Clone, Debug)]
pub struct PersonLine<'a> {
    /// Whose run it was.
    pub who: Who<'a>,
    /// The log's file name.
    pub log: &'a str,
    /// Where the debrief lies, relative to the report ("debriefs/t07.html"); none when none was written.
    pub debrief: Option<String>,
    /// What came of the log.
    pub judged: Judged<'a>,
    /// How many things were repaired in the log, or ought to be known about it.
    pub repairs: usize,
    /// How long each fault took to be answered.
    pub responses: Vec<Response>,
    /// Digest of the log.
    pub log_digest: &'a str,
}

/// How long one fault took to be answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Response {
    /// The item's name in the mark sheet.
    pub item: String,
    /// Ticks from the onset (or from when it could be seen) to the answer; none when it was never answered.
    pub delay: Option<u32>,
}

/// How a class did at one item.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemCount {
    /// The item's name.
    pub name: String,
    /// Its kind.
    pub kind: &'static str,
    /// Whether it decides a run.
    pub critical: bool,
    /// What was expected, as the first run that was assessed has it.
    pub expected: String,
    /// What to practise, as the first run that lost marks has it.
    pub practise: Option<String>,
    /// How many were assessed.
    pub assessed: u32,
    /// How many of them earned less than all.
    pub lost: u32,
    /// How many of them earned nothing.
    pub nothing: u32,
    /// Marks earned by all together.
    pub earned: Marks,
    /// Marks that could be earned by all together.
    pub out_of: Marks,
}

impl ItemCount {
    /// The part that was earned, in hundredths of a percent, rounded; none when nobody was assessed.
    pub fn mean_part(&self) -> Option<u32> {
        if self.out_of.0 <= 0 {
            return None;
        }
        let n = i128::from(self.earned.0) * 10_000;
        let d = i128::from(self.out_of.0);
        u32::try_from((n + d / 2) / d).ok()
    }
}

impl<'a> Class<'a> {
    /// The items of the sheet, as the first graded run lists them, followed by what only later runs have.
    pub(crate) fn items(&self) -> Vec<ItemCount> {
        let mut items: Vec<ItemCount> = Vec::new();
        for v in self.verdicts() {
            let at = items.iter().position(|i| i.name == v.name);
            let at = at.unwrap_or_else(|| {
                items.push(ItemCount {
                    name: v.name.clone(),
                    kind: v.kind,
                    critical: v.critical,
                    expected: v.expected.clone(),
                    practise: None,
                    assessed: 0,
                    lost: 0,
                    nothing: 0,
                    earned: Marks(0),
                    out_of: Marks(0),
                });
                items.len() - 1
            });
            let item = &mut items[at];
            if v.outcome == Outcome::NotAssessed {
                continue;
            }
            item.assessed += 1;
            item.lost += u32::from(v.outcome != Outcome::Full);
            item.nothing += u32::from(v.outcome == Outcome::Nothing);
            item.earned = item.earned + v.earned;
            item.out_of = item.out_of + v.out_of;
            if item.practise.is_none() {
                item.practise.clone_from(&v.practise);
            }
        }
        items
    }

    fn verdicts(&self) -> impl Iterator<Item = &'a Verdict> {
        self.people.iter().filter_map(|p| p.judged.result()).flat_map(|r| &r.verdicts)
    }
}
