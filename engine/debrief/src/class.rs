//! What a class's report is made from.

use crate::page::{Judged, PackName, SheetNotes, Who};
use crate::words;
use base::sheet::Marks;
use files::class_figures::AlikeLogs;
use files::verdicts::ClassDigests;
use marking::figures::HandMarks;
use marking::{ClassRun, ClassStatistics, ItemStatistics, Moderation, Outcome, Unfit, Verdict};
use serde::Serialize;

/// A class that was marked, all of it by one mark sheet.
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
    /// What is known of the mark sheet beside the verdicts.
    pub sheet: SheetNotes<'a>,
    /// Pairs of logs that are alike.
    pub alike: &'a [AlikeLogs],
    /// Marks that people gave by hand.
    pub hand: &'a [HandMarks<'a>],
    /// Overrides that are about nobody of the class.
    pub about_nobody: &'a [Unfit],
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
    /// What came of a moderator's overrides.
    pub moderation: &'a Moderation,
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

/// How a class did at one item: what marking counts, and the words of the mark sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What is counted.
    pub counted: ItemStatistics,
    /// Whether it decides a run.
    pub critical: bool,
    /// What was expected, in the words of the first run.
    pub expected: String,
    /// What to practise, in the words of the first run that lost marks.
    pub practise: Option<String>,
    /// How many earned nothing.
    pub nothing: usize,
    /// Whether anybody earned marks on it that come on top of what can be earned.
    pub on_top: bool,
}

impl<'a> Class<'a> {
    /// What marking counts over those that were graded.
    pub(crate) fn statistics(&self) -> ClassStatistics {
        let runs: Vec<ClassRun> = self
            .people
            .iter()
            .filter_map(|p| p.judged.result().map(|result| ClassRun { id: p.who.id, result }))
            .collect();
        marking::statistics(&runs)
    }

    /// The items in the order of the sheet.
    pub(crate) fn items(&self) -> Vec<Item> {
        let words = |counted: ItemStatistics| {
            let all = || self.verdicts().filter(|v| v.name == counted.name);
            Item {
                critical: all().any(|v| v.critical),
                expected: all().next().map(|v| v.expected.clone()).unwrap_or_default(),
                practise: all().find_map(|v| v.practise.clone()),
                on_top: all().any(|v| v.out_of == Marks(0) && v.earned > Marks(0)),
                nothing: all().filter(|v| v.outcome == Outcome::Nothing).count(),
                counted,
            }
        };
        self.statistics().items.into_iter().map(words).collect()
    }

    /// Every override that no longer fits.
    pub(crate) fn unfit(&self) -> impl Iterator<Item = &'a Unfit> {
        self.people.iter().flat_map(|p| &p.moderation.unfit).chain(self.about_nobody)
    }

    fn verdicts(&self) -> impl Iterator<Item = &'a Verdict> {
        self.people.iter().filter_map(|p| p.judged.result()).flat_map(|r| &r.verdicts)
    }
}

/// An override that no longer fits, as pages tell it.
#[derive(Debug, Serialize)]
pub struct UnfitRow {
    person: String,
    item: String,
    told: String,
    why: String,
}

impl UnfitRow {
    /// In words.
    pub(crate) fn of(unfit: &Unfit) -> UnfitRow {
        UnfitRow {
            person: unfit.entry.person.clone(),
            item: unfit.entry.item.clone(),
            told: words::sentence(&unfit.entry.told()),
            why: words::sentence(&unfit.why),
        }
    }
}
