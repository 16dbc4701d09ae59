//! Renders an invented class into a folder, to look at the pages:
//! `cargo run -p faultwright-debrief --example sample -- FOLDER`.
//!
//! Everything in it is our own invention: the people, the plant's tags, the run.

use base::observable::Verb;
use base::record::{AlarmPhase, Channel, Ending, Event, Happening, Layer, Record};
use base::sheet::Marks;
use base::{Diagnostic, Place, Tick};
use debrief::{Class, Judged, PackName, Page, PersonLine, Response, SheetNotes, Side, TrendLimit, Who};
use files::verdicts::{ClassDigests, Digests};
use marking::{Moderation, Outcome, RunResult, Verdict};
use std::path::Path;

const TITLE: &str = "Raise steam to the first consumer, with something wrong";
const BRIEF: &str = "Bring the boiler from cold to 5 barg and put the larger heating coil on.\n\
    Something will go wrong on the way. Find out what it is, say so, and keep the boiler safe.";
const PACK: PackName = PackName { id: "steam-first", version: "1.0.0" };

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| "sample".into());
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder.join("debriefs"))?;
    std::fs::create_dir_all(folder.join("verdicts"))?;

    let record = record();
    let limits = limits();
    let people = [
        ("t01", "Asta Ekvall", 0_u32),
        ("t02", "Björn Tavast-Lindqvist", 1),
        ("t03", "Chidi Nwosu", 2),
        ("t04", "Dora Marinović", 3),
        ("t05", "Emil", 4),
        ("t06", "Fatima al-Zahrani", 5),
        ("t07", "", 6),
        ("t08", "Hiro Tanabe", 7),
    ];
    let results: Vec<RunResult> = people.iter().map(|p| result(p.2)).collect();
    let cut_off = ["line 41 is cut off in the middle, and nothing after it can be read".to_owned()];
    let moderation = Moderation::default();
    let repairs = [
        Diagnostic::warning(
            "log::out-of-order",
            Place::line("t04.jsonl", 88),
            "lines 87 and 88 were in the wrong order and were put right",
        ),
        Diagnostic::note(
            "log::duplicate",
            Place::line("t04.jsonl", 112),
            "the same action was recorded twice; it counts once",
        )
        .hint("look at the recorder's connection"),
    ];
    let stems = debrief::stems(people.iter().map(|p| p.0));
    let mut lines = Vec::new();
    for (i, (id, name, _)) in people.iter().enumerate() {
        let judged = if *id == "t07" { Judged::NotGraded(&cut_off) } else { Judged::Graded(&results[i]) };
        let empty = Record::default();
        let page = Page {
            who: Who { id, name },
            log: &format!("{id}.jsonl"),
            title: TITLE,
            brief: BRIEF,
            pack: PACK,
            start: "cold",
            pass_mark: Some(Marks::whole(36)),
            record: if *id == "t07" { &empty } else { &record },
            judged,
            moderation: &moderation,
            sheet: SheetNotes::NONE,
            repairs: if *id == "t04" { &repairs } else { &[] },
            digests: Digests { pack: digest(1), log: digest(i as u64 + 10), program: digest(2) },
            limits: &limits,
        };
        let html = debrief::person_page(&page);
        println!("{id}: {} kB", html.len() / 1000);
        std::fs::write(folder.join(format!("debriefs/{}.html", stems[i])), html)?;
        std::fs::write(folder.join(format!("verdicts/{}.json", stems[i])), debrief::verdict_json(&page))?;
        lines.push(PersonLine {
            who: Who { id, name },
            log: [
                "t01.jsonl",
                "t02.jsonl",
                "t03.jsonl",
                "t04.jsonl",
                "t05.jsonl",
                "t06.jsonl",
                "t07.jsonl",
                "t08.jsonl",
            ][i],
            debrief: Some(format!("debriefs/{}.html", stems[i])),
            judged,
            moderation: &moderation,
            repairs: if *id == "t04" { 2 } else { 0 },
            responses: if *id == "t07" {
                vec![]
            } else {
                vec![
                    Response { item: "level answered".into(), delay: (i != 4).then_some(310 + 257 * i as u32) },
                    Response { item: "relight".into(), delay: Some(900 + 130 * (i as u32 * 5 % 7)) },
                ]
            },
            log_digest: "b3:5c1e0c4d8f2a",
        });
    }
    let class = Class {
        title: TITLE,
        pack: PACK,
        pass_mark: Some(Marks::whole(36)),
        people: &lines,
        sheet: SheetNotes::NONE,
        alike: &[],
        hand: &[],
        about_nobody: &[],
        digests: ClassDigests { pack: digest(1), program: digest(2) },
    };
    std::fs::write(folder.join("class.html"), debrief::class_page(&class))?;
    std::fs::write(folder.join("class.json"), debrief::class_json(&class))?;
    std::fs::write(folder.join("gradebook.csv"), debrief::gradebook(&class))?;
    Ok(())
}

fn digest(n: u64) -> String {
    let mut x = n.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let mut text = String::from("blake3:");
    for _ in 0..4 {
        x = x.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        text.push_str(&format!("{x:016x}"));
    }
    text
}

fn limits() -> Vec<TrendLimit> {
    let limit = |tag: &str, value, label: &str, wrong| TrendLimit {
        tag: tag.into(),
        layer: Layer::Actual,
        value,
        label: label.into(),
        wrong,
        alarm: false,
    };
    vec![
        limit("PT-3001", 7.0, "safety valve lifts", Side::Above),
        limit("LT-3002", -120.0, "low-water trip", Side::Below),
        limit("LT-3002", 150.0, "high level", Side::Above),
        limit("TT-3207", 420.0, "superheater metal limit", Side::Above),
    ]
}

/// Eighty minutes, a sample a second.
fn record() -> Record {
    let n = 4801;
    let noise = |i: usize, k: u64| {
        let x = (i as u64 ^ (k << 32)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        ((x ^ (x >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9) >> 40) as f64 / f64::from(1 << 24) - 0.5
    };
    let pressure = |i: usize| {
        let t = i as f64 / 60.0;
        let rise = (t - 9.0).max(0.0);
        let p = 5.3 * (1.0 - base::maths::exp(-rise * rise / 900.0));
        if t > 57.0 {
            p - 0.9 * (1.0 - base::maths::exp(-(t - 57.0) / 3.0))
                + if t > 62.0 { 0.8 * (1.0 - base::maths::exp(-(t - 62.0) / 5.0)) } else { 0.0 }
        } else {
            p
        }
    };
    let level = |i: usize| {
        let t = i as f64 / 60.0;
        let shape = if t > 44.0 && t < 49.5 {
            -28.0 * (t - 44.0)
        } else if (49.5..55.0).contains(&t) {
            -154.0 + 28.0 * (t - 49.5)
        } else {
            0.0
        };
        12.0 * base::maths::sin(t / 2.3) + shape + 4.0 * noise(i, 1)
    };
    let channel = |tag: &str, name: &str, layer, unit: &str, f: &dyn Fn(usize) -> f64| Channel {
        tag: tag.into(),
        name: name.into(),
        layer,
        unit: unit.into(),
        every: 10,
        values: (0..n).map(f).collect(),
    };
    let shown_pressure = |i: usize| if i > 1980 && i < 2700 { pressure(1980) } else { pressure(i) };
    let metal = |i: usize| {
        let t = i as f64 / 60.0;
        22.0 + 330.0 * (1.0 - base::maths::exp(-(t - 10.0).max(0.0) / 14.0))
            + 3.0 * noise(i, 2)
            + if t > 57.0 && t < 62.0 { -12.0 * (t - 57.0) } else { 0.0 }
    };
    let air = |i: usize| {
        let t = i as f64 / 60.0;
        if t < 4.0 {
            0.0
        } else if t < 9.0 {
            2.6 + 0.1 * noise(i, 3)
        } else {
            1.1 + 0.4 * base::maths::tanh((t - 20.0) / 10.0) + 0.06 * noise(i, 4)
        }
    };
    let flame = |i: usize| f64::from(i > 560 && !(3420..3720).contains(&i));
    Record {
        end: Tick(48_000),
        events: events(),
        channels: vec![
            channel("PT-3001", "drum pressure", Layer::Actual, "barg", &pressure),
            channel("PT-3001", "drum pressure", Layer::Shown, "barg", &shown_pressure),
            channel("PT-3101", "feed line pressure", Layer::Actual, "barg", &|i| 9.0 + 0.3 * noise(i, 5)),
            channel("LT-3002", "drum level", Layer::Actual, "mm", &level),
            channel("LT-3002", "drum level", Layer::Signal, "mm", &|i| level(i) + 2.0),
            channel("LT-3002", "drum level", Layer::Shown, "mm", &|i| level(i) + 2.0),
            channel("TT-3207", "superheater metal", Layer::Actual, "degC", &metal),
            channel("FT-3301", "combustion air", Layer::Actual, "kg/s", &air),
            channel("XL-3310", "main flame", Layer::Actual, "state", &flame),
            channel("XL-3310", "main flame", Layer::Shown, "state", &|i| {
                if i > 560 && i < 1500 { 0.0 } else { flame(i) }
            }),
        ],
    }
}

fn events() -> Vec<Event> {
    let mut out = Vec::new();
    let mut at = |minutes: u32, seconds: u32, what: Happening| {
        out.push(Event { tick: Tick((minutes * 60 + seconds) * 10), what });
    };
    let act = |verb, on: &str, to: &str| Happening::Action {
        verb,
        on: (!on.is_empty()).then(|| on.into()),
        to: (!to.is_empty()).then(|| to.to_owned()),
        refused: None,
    };
    let alarm = |tag: &str, text: &str, phase| Happening::Alarm { tag: tag.into(), text: text.into(), phase };
    let fault = |name: &str, on: &str, kind: &str, layer| Happening::FaultOn {
        name: name.into(),
        on: on.into(),
        kind: kind.into(),
        layer,
        comes: base::record::Coming::default(),
    };
    at(0, 0, Happening::Told("Good morning. The boiler is cold and full of air; the harbour is quiet.".into()));
    at(0, 0, fault("lamp", "XL-3310", "dark", Layer::Shown));
    for (i, (on, to)) in [
        ("XV-1101", "open"),
        ("P-1110", "run"),
        ("P-1210", "run"),
        ("K-1401", "auto"),
        ("XV-2104", "open"),
        ("P-2110", "run"),
        ("FDF-3301", "run"),
        ("FD-3302", "100 % open"),
    ]
    .iter()
    .enumerate()
    {
        at(0, 35 + 22 * i as u32, act(Verb::Operate, on, to));
    }
    at(
        4,
        50,
        Happening::Plant { on: "F-3300".into(), says: "purge credited: 5.2 furnace volumes of air passed".into() },
    );
    at(
        5,
        10,
        Happening::Action {
            verb: Verb::Operate,
            on: Some("B-3310".into()),
            to: Some("light".into()),
            refused: Some("the purge was not complete".into()),
        },
    );
    at(9, 5, act(Verb::Operate, "B-3310", "light"));
    at(9, 20, Happening::Plant { on: "B-3310".into(), says: "main flame lit".into() });
    at(9, 40, act(Verb::LampTest, "", ""));
    at(10, 12, act(Verb::LocalCheck, "XL-3310", ""));
    at(
        11,
        2,
        Happening::Helper {
            on: "XL-3310".into(),
            says: "the lamp is dark, but the flame is steady in the sight glass".into(),
        },
    );
    at(12, 0, act(Verb::Report, "", "lamp XL-3310 has failed"));
    at(
        25,
        0,
        Happening::Differed {
            tag: "XL-3310".into(),
            of: "BSH-3310".into(),
            since: Tick(5600),
            shown: "dark".into(),
            actual: "lit".into(),
        },
    );
    at(33, 0, fault("gauge", "PT-3001", "frozen", Layer::Shown));
    at(38, 0, alarm("PAH-3207", "superheater drain still open", AlarmPhase::Raised));
    at(38, 9, act(Verb::Acknowledge, "PAH-3207", ""));
    at(38, 9, alarm("PAH-3207", "superheater drain still open", AlarmPhase::Acknowledged));
    at(41, 0, alarm("PAH-3207", "superheater drain still open", AlarmPhase::Cleared));
    at(44, 0, fault("feed", "LCV-3101", "seized", Layer::Actual));
    at(
        45,
        0,
        Happening::Differed {
            tag: "PT-3001".into(),
            of: "PT-3001".into(),
            since: Tick(19_900),
            shown: "2.61 barg".into(),
            actual: "4.07 barg".into(),
        },
    );
    at(45, 0, Happening::FaultOff { name: "gauge".into(), by_trainee: false });
    at(46, 40, alarm("LAL-3002", "drum level low", AlarmPhase::Raised));
    at(47, 5, act(Verb::Acknowledge, "", ""));
    at(47, 5, alarm("LAL-3002", "drum level low", AlarmPhase::Acknowledged));
    at(47, 30, act(Verb::LocalCheck, "LG-3003", ""));
    at(48, 22, act(Verb::Operate, "LCV-3101", "80 % open"));
    at(
        48,
        40,
        Happening::Helper { on: "LG-3003".into(), says: "water stands 118 mm below the middle of the glass".into() },
    );
    at(48, 55, alarm("LALL-3002", "drum level very low", AlarmPhase::Raised));
    at(48, 55, Happening::Trip { tag: "BMS-3300".into(), cause: "low drum level".into(), first: true });
    at(48, 55, alarm("XA-3300", "boiler tripped", AlarmPhase::Raised));
    at(48, 56, alarm("PAL-2201", "burner fuel pressure low", AlarmPhase::Raised));
    at(49, 4, act(Verb::Acknowledge, "", ""));
    at(49, 31, act(Verb::Operate, "LCV-3102", "40 % open"));
    at(52, 0, alarm("LALL-3002", "drum level very low", AlarmPhase::Cleared));
    at(53, 30, alarm("LAL-3002", "drum level low", AlarmPhase::Cleared));
    at(53, 45, Happening::Reset { tag: "BMS-3300".into() });
    at(54, 10, act(Verb::Operate, "B-3310", "light"));
    at(54, 15, alarm("XA-3300", "boiler tripped", AlarmPhase::Cleared));
    at(54, 20, alarm("PAL-2201", "burner fuel pressure low", AlarmPhase::Cleared));
    at(57, 0, fault("flame", "B-3310", "flame lost", Layer::Actual));
    at(57, 1, Happening::Trip { tag: "BMS-3300".into(), cause: "flame lost".into(), first: true });
    at(57, 1, alarm("XA-3300", "boiler tripped", AlarmPhase::Raised));
    at(57, 20, act(Verb::Acknowledge, "", ""));
    at(58, 2, Happening::Damage { on: "SH-3200".into(), what: "cooled too fast".into(), total: 0.02 });
    at(59, 30, Happening::FaultOff { name: "flame".into(), by_trainee: true });
    at(61, 0, Happening::Reset { tag: "BMS-3300".into() });
    at(61, 58, act(Verb::Operate, "B-3310", "light"));
    at(62, 4, alarm("XA-3300", "boiler tripped", AlarmPhase::Cleared));
    at(70, 0, act(Verb::Operate, "XV-3501", "open"));
    for i in 0..40 {
        at(70 + i / 5, 5 + (i % 5) * 11, act(Verb::Operate, "FM-3300", &format!("{} % firing", 20 + i)));
    }
    at(79, 30, Happening::Note("The heating coil was put on with the line drain still open: good practice.".into()));
    at(80, 0, Happening::Ended(Ending::TimeUp));
    out
}

fn result(who: u32) -> RunResult {
    let v = |name: &str, kind, expected: &str, marks: i64, critical| Verdict {
        name: name.into(),
        kind,
        expected: expected.into(),
        outcome: Outcome::Full,
        open: false,
        earned: Marks::whole(marks),
        out_of: Marks::whole(marks),
        critical,
        found: String::new(),
        value_margin: None,
        time_margin: None,
        when: None,
        shown: None,
        actual: None,
        evidence: vec![],
        practise: None,
    };
    let mut items = vec![
        v("cooling first", "step", "sea water and fresh water are running before anything is fired", 4, false),
        v("purge", "step", "the furnace is purged with at least four volumes of air before the pilot is lit", 6, true),
        v("light up", "step", "the main flame is lit within 15 minutes of the start", 4, false),
        v(
            "lamp proved",
            "step",
            "a dark flame lamp is proved by a lamp test and a local check within 2 minutes",
            4,
            false,
        ),
        v("drum warmed slowly", "limit", "the drum metal warms by no more than 2 K a minute", 8, false),
        v("superheater metal", "limit", "the superheater metal stays below 420 degC", 8, true),
        v("level kept", "limit", "the drum level stays between -100 mm and 100 mm while firing", 8, false),
        v("level answered", "response", "the seized feed valve is by-passed", 8, false),
        v(
            "relight",
            "response",
            "after the flame is lost the trip is reset and the burner lit again with a full purge",
            6,
            false,
        ),
        v("coil on", "step", "the larger heating coil has steam before the end", 4, false),
        v("cause reported", "step", "the seized valve is reported", 3, false),
    ];
    let found = [
        ("all four pumps ran by 01:41", Some(101)),
        ("5.2 furnace volumes of air passed before the pilot was lit", Some(290)),
        ("the main flame was lit at 09:20", Some(560)),
        ("the lamp test came after 20 s, the helper's answer after 102 s", Some(662)),
        ("it warmed by 1.6 K a minute at the fastest", Some(1490)),
        ("the hottest was 352.1 degC", Some(3410)),
        ("it stayed between -31 mm and 44 mm", None),
        ("the by-pass was opened 42 s after the low-level alarm", Some(2842)),
        ("the burner was lit again 298 s after the trip, with a purge", Some(3718)),
        ("the coil had steam at 70:00", Some(4200)),
        ("reported at 52:10", Some(3130)),
    ];
    for (item, (found, when)) in items.iter_mut().zip(found) {
        item.found = found.into();
        item.when = when.map(|s| Tick(s * 10));
        item.evidence = item.when.map(|w| (Tick(w.0.saturating_sub(300)), w)).into_iter().collect();
    }
    items[5].value_margin = Some("came within 67.9 K".into());
    items[4].value_margin = Some("came within 0.4 K/min".into());
    let mut lose = |i: usize, earned: i64, found: &str, value: Option<&str>, time: Option<&str>, practise: &str| {
        let item = &mut items[i];
        item.earned = Marks(earned);
        item.outcome = if earned == 0 { Outcome::Nothing } else { Outcome::Part };
        item.found = found.into();
        item.value_margin = value.map(str::to_owned);
        item.time_margin = time.map(str::to_owned);
        item.practise = Some(practise.into());
    };
    let level = "When a level falls though its valve is asked to open, look at the valve's own feedback and at the gauge glass, then use the by-pass.";
    if who >= 1 {
        lose(
            7,
            525,
            "the by-pass was opened 151 s after the low-level alarm",
            None,
            Some("1 min 46 s later than full marks allow"),
            level,
        );
    }
    if who >= 2 {
        lose(
            6,
            350,
            "the level was outside for 2 min 12 s in all, lowest at -148 mm",
            Some("48 mm too low at the worst"),
            None,
            level,
        );
        lose(
            8,
            300,
            "the burner was lit again with half a purge",
            None,
            Some("12.0 s too early"),
            "Count a whole purge again after every trip.",
        );
    }
    if who >= 3 {
        lose(
            3,
            0,
            "there was no lamp test, and nobody was sent to look",
            None,
            None,
            "Prove a dark lamp before you believe it: lamp test, then a local check.",
        );
        lose(10, 0, "nothing was reported", None, None, "Say what you believe is wrong as soon as you believe it.");
    }
    if who >= 4 {
        lose(
            1,
            0,
            "the pilot was lit after 1.1 volumes of air; the damper stood at 20 % open",
            Some("2.9 furnace volumes short"),
            Some("3 min 05 s too early"),
            "Purge with the damper open, and wait for the volumes, not for the clock.",
        );
    }
    if who == 5 {
        let coil = &mut items[9];
        coil.outcome = Outcome::NotAssessed;
        coil.earned = Marks(0);
        coil.out_of = Marks(0);
        coil.found = "the log came to its end before the pressure was reached".into();
        coil.when = None;
    }
    let earned: Marks = items.iter().map(|v| v.earned).sum();
    let critical_lost: Vec<String> =
        items.iter().filter(|v| v.critical && v.outcome != Outcome::Full).map(|v| v.name.clone()).collect();
    RunResult {
        earned,
        out_of: items.iter().map(|v| v.out_of).sum(),
        needed: Some(Marks::whole(36)),
        passed: Some(earned >= Marks::whole(36) && critical_lost.is_empty()),
        critical_lost,
        verdicts: items,
    }
}
