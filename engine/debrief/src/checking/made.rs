//! Runs, pages and class reports to test, made up of one text, and what holds for every page.

use crate::{Class, Judged, PackName, Page, PersonLine, Response, SheetNotes, Side, TrendLimit, Who};
use base::observable::Verb;
use base::record::{Channel, Coming, Event, Happening, Layer, Record};
use base::sheet::Marks;
use base::{Diagnostic, Place, Tick};
use files::overrides::{Given, Override};
use files::verdicts::{ClassDigests, Digests};
use marking::{Moderation, Outcome, RunResult, Unfit, Verdict};

pub(super) const HOSTILE: &str = "</title></style></script><script>alert(1)</script>\" onload='x' \u{202e}olleh\u{202c} {{ 7*7 }} {% raw %} &amp; \u{0}";

pub(super) fn verdict(name: &str, outcome: Outcome, earned: i64, out_of: i64) -> Verdict {
    Verdict {
        name: name.into(),
        kind: "step",
        expected: format!("expected {name}"),
        outcome,
        open: false,
        earned: Marks(earned),
        out_of: Marks(out_of),
        critical: name == "purge",
        found: format!("found {name}"),
        value_margin: Some("came within 0.4 bar".into()),
        time_margin: Some("12.0 s too late".into()),
        when: Some(Tick(1230)),
        shown: None,
        actual: None,
        evidence: vec![(Tick(1200), Tick(1230))],
        practise: (earned < out_of).then(|| format!("practise {name}")),
    }
}

pub(super) fn result(names: [&str; 3]) -> RunResult {
    RunResult {
        earned: Marks(825),
        out_of: Marks(1200),
        needed: Some(Marks(900)),
        passed: Some(false),
        critical_lost: vec![],
        verdicts: vec![
            verdict(names[0], Outcome::Full, 600, 600),
            verdict(names[1], Outcome::Part, 225, 600),
            verdict(names[2], Outcome::NotAssessed, 0, 0),
        ],
    }
}

/// A record in which every text is `text`.
pub(super) fn record(text: &str) -> Record {
    let tag = || text.into();
    let whats = vec![
        Happening::Action { verb: Verb::Operate, on: Some(tag()), to: Some(text.into()), refused: Some(text.into()) },
        Happening::FaultOn {
            name: text.into(),
            on: tag(),
            kind: text.into(),
            layer: Layer::Shown,
            comes: Coming { size: Some(text.into()), over: 30, rhythm: Some([(5, 9), (4, 4)]) },
        },
        Happening::FaultGrows { name: text.into(), from: text.into(), to: text.into(), over: 40 },
        Happening::Weather { what: text.into(), from: text.into(), to: text.into(), over: 0 },
        Happening::Load { on: tag(), name: text.into(), from: text.into(), to: text.into(), over: 600 },
        Happening::Alarm { tag: tag(), text: text.into(), phase: base::record::AlarmPhase::Raised },
        Happening::Trip { tag: tag(), cause: text.into(), first: true },
        Happening::Helper { on: tag(), says: text.into() },
        Happening::Told(text.into()),
        Happening::Differed { tag: tag(), of: tag(), since: Tick(3), shown: text.into(), actual: text.into() },
    ];
    let channel =
        |layer, values| Channel { tag: tag(), name: text.into(), layer, unit: text.into(), every: 10, values };
    Record {
        end: Tick(3000),
        events: whats.into_iter().enumerate().map(|(i, what)| Event { tick: Tick(300 * i as u32), what }).collect(),
        channels: vec![
            channel(Layer::Actual, (0..300).map(f64::from).collect()),
            channel(Layer::Shown, vec![f64::NAN; 300]),
        ],
    }
}

/// An override that was applied to an item, and one that no longer fits; every text is `text`.
pub(super) fn moderation(item: &str, text: &str) -> Moderation {
    let marks = |earned| Given::Marks { earned: Marks(earned), out_of: Marks(600) };
    let entry = Override {
        person: text.into(),
        log: None,
        item: item.into(),
        was: marks(0),
        now: marks(600),
        reason: text.into(),
        by: text.into(),
        on: "2031-03-05".into(),
        place: Place::line(text, 3),
    };
    Moderation { unfit: vec![Unfit { entry: entry.clone(), why: text.into() }], applied: vec![entry] }
}

pub(super) fn with_page<T>(text: &str, judged: Judged, see: impl FnOnce(&Page) -> T) -> T {
    let record = record(text);
    let limits = [TrendLimit {
        tag: text.into(),
        layer: Layer::Actual,
        value: 250.0,
        label: text.into(),
        wrong: Side::Above,
        alarm: false,
    }];
    let repairs = [Diagnostic::warning("log::x", Place::line(text, 3), text).hint(text)];
    see(&Page {
        who: Who { id: text, name: text },
        log: text,
        title: text,
        brief: text,
        pack: PackName { id: text, version: text },
        start: text,
        pass_mark: Some(Marks::whole(9)),
        record: &record,
        judged,
        moderation: &moderation(text, text),
        sheet: SheetNotes::NONE,
        repairs: &repairs,
        digests: Digests { pack: text.into(), log: text.into(), program: text.into() },
        limits: &limits,
    })
}

pub(super) fn with_class<T>(text: &str, see: impl FnOnce(&Class) -> T) -> T {
    let result = result([text, "purge", "relight"]);
    let reasons = [text.to_owned()];
    let moderated = moderation(text, text);
    let line = |id, judged| PersonLine {
        who: Who { id, name: text },
        log: text,
        debrief: Some("debriefs/x.html".into()),
        judged,
        moderation: &moderated,
        repairs: 1,
        responses: vec![Response { item: text.into(), delay: Some(420) }],
        log_digest: text,
    };
    let people = [line("t01", Judged::Graded(&result)), line("t02", Judged::NotGraded(&reasons))];
    see(&Class {
        title: text,
        pack: PackName { id: text, version: text },
        pass_mark: None,
        people: &people,
        sheet: SheetNotes::NONE,
        alike: &[],
        hand: &[],
        about_nobody: &moderated.unfit,
        digests: ClassDigests::default(),
    })
}

/// What holds for every page that is handed out.
pub(super) fn check_page(html: &str) {
    assert!(!html.contains("<script"), "no script");
    assert!(!html.contains(" onload='"), "no attribute grows out of a text");
    assert!(!html.contains("49 "), "templates in texts are not run");
    let bare = html.replace("http://www.w3.org/2000/svg", "");
    for outside in ["http:", "https:", "src=", "@import", "url(h", "//"] {
        assert!(!bare.contains(outside), "nothing from outside: {outside}");
    }
    assert!(html.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
    assert!(html.contains("default-src 'none'"));
    assert!(html.contains("a training aid, not a procedure"));
    // Headings go down one step at a time.
    let mut last = 0;
    for level in html.match_indices("<h").filter_map(|(i, _)| html[i + 2..].chars().next()?.to_digit(10)) {
        assert!(level <= last + 1, "heading {level} after {last}");
        last = level;
    }
    // Every id is there once.
    let mut ids: Vec<&str> =
        html.match_indices(" id=\"").filter_map(|(i, m)| html[i + m.len()..].split('"').next()).collect();
    ids.sort_unstable();
    let all = ids.len();
    ids.dedup();
    assert_eq!(all, ids.len(), "ids are unique");
    for table in html.split("<table").skip(1) {
        assert!(table.contains("<caption>"), "every table says what it holds");
    }
    for picture in html.split("role=\"img\"").skip(1) {
        let head = picture.split("</desc>").next().unwrap_or_default();
        assert!(head.contains("<title") && head.contains("<desc"));
    }
}
