//! Tests of whole pages: what must be true of every page, whatever the names and texts in it.

use crate::{
    Class, Judged, Page, PersonLine, SheetNotes, Side, TrendLimit, class_json, class_page, gradebook, person_page,
    verdict_json,
};
use base::Tick;
use base::observable::Verb;
use base::record::{Channel, Coming, Event, Happening, Layer, Record};
use base::sheet::Marks;
use files::verdicts::{Standing, read_class, read_verdict};
use marking::RunResult;

mod made;

use made::{HOSTILE, check_page, record, result, with_class, with_page};

#[test]
fn hostile_texts_stay_texts() {
    let long = "W".repeat(5_000);
    for text in [HOSTILE, long.as_str(), "", "\u{5e9}\u{5dc}\u{5d5}\u{5dd}"] {
        let result = result([text, "b", "c"]);
        check_page(&with_page(text, Judged::Graded(&result), person_page));
        check_page(&with_class(text, class_page));
    }
}

#[test]
fn a_run_that_was_not_graded_says_why_and_shows_no_marks() {
    let reasons = ["line 41 is cut off".to_owned()];
    let html = with_page("x", Judged::NotGraded(&reasons), person_page);
    check_page(&html);
    assert!(html.contains("Not graded") && html.contains("Line 41 is cut off."));
    assert!(html.contains("Not graded does not mean no marks"));
    let nothing = Record::default();
    let refused =
        with_page("x", Judged::NotGraded(&reasons), |page| person_page(&Page { record: &nothing, ..page.clone() }));
    assert!(html.contains("Length of the run") && !refused.contains("Length of the run"), "nothing was played");
    assert!(!html.contains("of 12 marks") && !html.contains("id=\"items\""));
    let json = with_page("x", Judged::NotGraded(&reasons), verdict_json);
    let file = read_verdict("v", &json).unwrap();
    assert_eq!(file.outcome, Standing::NotGraded);
    assert_eq!((file.marks, file.out_of, file.passed), (None, None, None));
    assert_eq!(file.reasons, reasons);
}

/// Once the page held the marks against the pass mark of the whole sheet, and said "not reached" of a run that
/// had passed.
#[test]
fn the_pass_mark_is_told_as_it_was_applied() {
    let mut result = result(["purge", "b", "c"]);
    let told = |result: &RunResult| with_page("x", Judged::Graded(result), person_page);
    assert!(told(&result).contains("The pass mark is 9; it was not reached."));
    result.needed = Some(Marks(800));
    result.passed = Some(true);
    let html = told(&result);
    assert!(html.contains("The pass mark of 9 is 8 here, in proportion to what was assessed; it was reached."));
    // The line of the bar stands where the run was judged: at 8 of 12.
    assert!(html.contains("pass mark 8") && !html.contains("pass mark 9"));
    result.needed = Some(Marks(900));
    result.passed = None;
    result.verdicts[2].open = true;
    assert!(told(&result).contains("whether it was reached cannot be said, since the rest of the run was not seen"));
    result.needed = Some(Marks(800));
    result.verdicts[2].critical = true;
    assert!(told(&result).contains("\u{201c}c\u{201d} is critical, and the rest of the run"));
}

#[test]
fn groups_are_told_with_what_was_earned_on_them() {
    let result = result(["purge", "b", "c"]);
    let groups = [
        ("fire & water".to_owned(), vec!["purge".to_owned(), "b".to_owned()]),
        ("after".to_owned(), vec!["c".to_owned()]),
    ];
    let sheet = SheetNotes { groups: &groups, ..SheetNotes::NONE };
    let (html, json) = with_page("x", Judged::Graded(&result), |page| {
        let page = Page { sheet, ..page.clone() };
        (person_page(&page), verdict_json(&page))
    });
    check_page(&html);
    for told in ["fire &amp; water</th>", "purge, b</td>", "8.25 of 12</td>", "69 %</td>", "not assessed</td>"] {
        assert!(html.contains(told), "{told}");
    }
    let file = read_verdict("v", &json).unwrap();
    let sums: Vec<_> = file.groups.iter().map(|g| (g.group.as_str(), g.marks.0, g.out_of.0)).collect();
    assert_eq!(sums, [("fire & water", Marks(825), Marks(1200)), ("after", Marks(0), Marks(0))]);
    let class = with_class("x", |class| class_json(&Class { sheet, ..class.clone() }));
    let file = read_class("c", &class).unwrap();
    assert_eq!(file.items[1].group.as_deref(), Some("fire & water"));
    assert_eq!((file.groups[0].assessed, file.groups[0].marks.0), (1, Marks(225)));
}

#[test]
fn json_reads_back_and_agrees_with_the_verdicts() {
    let result = result(["purge", HOSTILE, "relight"]);
    let json = with_page(HOSTILE, Judged::Graded(&result), verdict_json);
    let file = read_verdict("v", &json).unwrap();
    assert_eq!(file.marks.unwrap().0, Marks(825));
    assert_eq!(file.items[1].name, HOSTILE);
    let class = with_class(HOSTILE, class_json);
    let plain: serde_json::Value = serde_json::from_slice(&class).unwrap();
    assert_eq!(plain["people"][0]["marks"], 8.25);
    assert_eq!(plain["people"][0]["out_of"], 12);
    assert_eq!(plain["people"][0]["outcome"], "graded");
    assert_eq!(plain["people"][1]["outcome"], "not graded");
    assert!(plain["people"][1]["marks"].is_null());
    let file = read_class("c", &class).unwrap();
    assert_eq!(file.items[1].mean_part, Some(3750)); // 225 of 600
    assert_eq!(file.items[2].mean_part, None);
}

#[test]
fn the_gradebook_keeps_numbers_and_disarms_formulas() {
    let bytes = with_class("=cmd|' /C calc'!A0", gradebook);
    insta::assert_snapshot!(String::from_utf8(bytes).unwrap(), @r#"
    id,name,log,outcome,marks,out of,'=cmd|' /C calc'!A0,purge,relight,why not graded,overrides,overrides not applied
    t01,'=cmd|' /C calc'!A0,'=cmd|' /C calc'!A0,not passed,8.25,12,6,2.25,,,"'=cmd|' /C calc'!A0: was 0 of 6, now 6 of 6, by =cmd|' /C calc'!A0 on 2031-03-05: =cmd|' /C calc'!A0","'=cmd|' /C calc'!A0: was 0 of 6, now 6 of 6, by =cmd|' /C calc'!A0 on 2031-03-05: =cmd|' /C calc'!A0; =cmd|' /C calc'!A0"
    t02,'=cmd|' /C calc'!A0,'=cmd|' /C calc'!A0,not graded,,,,,,'=cmd|' /C calc'!A0,"'=cmd|' /C calc'!A0: was 0 of 6, now 6 of 6, by =cmd|' /C calc'!A0 on 2031-03-05: =cmd|' /C calc'!A0","'=cmd|' /C calc'!A0: was 0 of 6, now 6 of 6, by =cmd|' /C calc'!A0 on 2031-03-05: =cmd|' /C calc'!A0; =cmd|' /C calc'!A0"
    "#);
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let result = result(["a", "b", "c"]);
    let page = || with_page("x", Judged::Graded(&result), person_page);
    assert_eq!(page(), page());
    assert_eq!(with_class("x", class_page), with_class("x", class_page));
}

#[test]
fn an_item_tells_all_of_its_evidence() {
    let result = result(["purge", "b", "c"]);
    let html = with_page("x", Judged::Graded(&result), person_page);
    let from = html.find("<article").unwrap();
    let to = html.find("</article>").unwrap();
    insta::assert_snapshot!(&html[from..to], @r#"
    <article class="item full">
    <header>
    <h3><span aria-hidden="true">✓</span> purge <span class="tag">step, critical</span></h3>
    <p class="marks">6 of 6 marks<span class="hidden">, all marks</span></p>
    </header>
    <dl>
    <dt>Expected</dt><dd>Expected purge.</dd>
    <dt>Found</dt><dd>Found purge.</dd>
    </dl>
    <dl class="facts">
    <div><dt>When</dt><dd>02:03</dd></div>
    <div><dt>Margin in value</dt><dd>came within 0.4 bar</dd></div>
    <div><dt>Margin in time</dt><dd>12.0 s too late</dd></div>
    <div><dt>Look at</dt><dd>02:00 to 02:03</dd></div>
    </dl>
    "#);
}

#[test]
fn a_page_tells_its_parts_in_order() {
    let result = result(["purge", "b", "c"]);
    let html = with_page("x", Judged::Graded(&result), person_page);
    let parts = [
        ">Not passed<",
        "What cost the most",
        "a training aid, not a procedure",
        "The task",
        "What happened",
        "Trends",
        "What you saw beside what was true",
        "Item by item",
        "What to practise",
        "What was repaired in the log",
        "Everything in order of time",
        "To make this result again",
    ];
    let places: Vec<usize> = parts.iter().map(|p| html.find(p).unwrap_or_else(|| panic!("{p} is missing"))).collect();
    assert!(places.is_sorted(), "{places:?}");
}

#[test]
fn eighty_noisy_minutes_stay_a_small_file() {
    let mut record = record("x");
    record.end = Tick(48_000);
    let noise = |i: u32| f64::from(i.wrapping_mul(2_654_435_761) >> 8) / 1e3;
    record.channels = (0..24)
        .map(|n| Channel {
            tag: format!("PT-{}", n / 2).as_str().into(),
            name: "pressure".into(),
            layer: if n % 2 == 0 { Layer::Actual } else { Layer::Shown },
            unit: "barg".into(),
            every: 10,
            values: (0..4800).map(|i| noise(i * 24 + n)).collect(),
        })
        .collect();
    let result = result(["purge", "b", "c"]);
    let size =
        with_page("x", Judged::Graded(&result), |page| person_page(&Page { record: &record, ..page.clone() }).len());
    println!("{size} bytes for 12 instruments of pure noise, two lines each");
    assert!(size < 500_000, "{size}");
}

#[test]
fn an_indication_that_flickers_does_not_flood_the_page() {
    let mut record = record("x");
    record.events = (0..200)
        .map(|i| Event {
            tick: Tick(i * 10 + 5 + i % 7),
            what: Happening::Differed {
                tag: "XL-1".into(),
                of: "ZSH-1".into(),
                since: Tick(i * 10),
                shown: "dark".into(),
                actual: "lit".into(),
            },
        })
        .collect();
    let reasons = [];
    let html =
        with_page("x", Judged::NotGraded(&reasons), |page| person_page(&Page { record: &record, ..page.clone() }));
    assert!(html.contains("194 shorter differences are in the list of everything at the end."));
    assert_eq!(html.matches("had shown dark where lit was true").count(), 200);
}

#[test]
fn an_indication_that_its_transmitter_misled_is_told_with_the_fault() {
    let mut record = record("x");
    let on = |tick, name: &str, on: &str, kind: &str, layer| Event {
        tick: Tick(tick),
        what: Happening::FaultOn {
            name: name.into(),
            on: on.into(),
            kind: kind.into(),
            layer,
            comes: Coming { size: None, over: 0, rhythm: None },
        },
    };
    let off = |tick, name: &str| Event {
        tick: Tick(tick),
        what: Happening::FaultOff { name: name.into(), by_trainee: false },
    };
    let differed = |tick, tag: &str, of: &str, since| Event {
        tick: Tick(tick),
        what: Happening::Differed {
            tag: tag.into(),
            of: of.into(),
            since: Tick(since),
            shown: "0.36 m".into(),
            actual: "0.61 m".into(),
        },
    };
    record.events = vec![
        on(100, "brief", "LT-7", "frozen", Layer::Signal),
        off(150, "brief"),
        on(200, "level", "LT-1", "drift", Layer::Signal),
        on(200, "leg", "LT-2", "plugged", Layer::Actual),
        differed(900, "LI-1", "LT-1", 300),
        differed(900, "LI-2", "LT-2", 300),
        differed(900, "LI-7", "LT-7", 300),
    ];
    let html = with_page("x", Judged::NotGraded(&[]), |page| person_page(&Page { record: &record, ..page.clone() }));
    assert!(html.contains("level: LT-1 drift, in the transmitter or switch"), "{html}");
    assert_eq!(html.matches("no fault of the exercise acts on it").count(), 2, "{html}");
}

#[test]
fn what_is_tried_again_and_again_is_told_once() {
    let mut record = record("x");
    let event = |tick, to: &str| Event {
        tick: Tick(tick),
        what: Happening::Action {
            verb: Verb::Operate,
            on: Some("HS-1".into()),
            to: Some(to.into()),
            refused: Some("it stands".into()),
        },
    };
    record.events = (0..200).map(|i| event(100 + i * 10, "reset")).collect();
    record.events.push(event(2500, "start"));
    let html = with_page("x", Judged::NotGraded(&[]), |page| person_page(&Page { record: &record, ..page.clone() }));
    assert!(html.contains("HS-1 to reset: it stands. So 200 times, the last at 03:29."), "{html}");
    assert_eq!(html.matches("HS-1 to reset: it stands").count(), 1);
    assert_eq!(html.matches("HS-1 to start: it stands").count(), 1);
}

#[test]
fn a_line_that_nobody_could_see_move_has_an_axis_that_can_be_read() {
    let mut record = record("PT-1");
    for c in &mut record.channels {
        c.unit = "barg".into();
        c.values = (0..300).map(|i| f64::from(i % 2) * 2e-7).collect();
    }
    let html = with_page("PT-1", Judged::NotGraded(&[]), |page| {
        person_page(&Page { record: &record, limits: &[], ..page.clone() })
    });
    assert!(!html.contains("0.0000"), "labels of a hundredth of a bar");
    check_page(&html);
}

#[test]
fn an_alarm_is_drawn_where_it_comes_up_and_a_bonus_is_told_as_one() {
    let mut result = result(["purge", "b", "c"]);
    result.verdicts[0].out_of = Marks(0);
    result.verdicts[1].shown = Some("PT-3001 4.10 barg".into());
    result.verdicts[1].actual = Some("PT-3001 4.35 barg".into());
    let limits = [TrendLimit {
        tag: "x".into(),
        layer: Layer::Actual,
        value: 100.0,
        label: "alarm XA-1 high".into(),
        wrong: Side::Above,
        alarm: true,
    }];
    let html = with_page("x", Judged::Graded(&result), |page| person_page(&Page { limits: &limits, ..page.clone() }));
    check_page(&html);
    assert!(html.contains("class=\"setpoint\"") && html.contains("alarm XA-1 high: comes up above 100"));
    assert!(!html.contains("chart-1-wrong"), "the side of an alarm is not hatched");
    assert!(html.contains("6 marks on top"));
    assert!(html.contains("<dt>Shown then</dt><dd>PT-3001 4.10 barg</dd>"));
    assert!(html.contains("<dt>True then</dt><dd>PT-3001 4.35 barg</dd>"));
}

#[test]
fn a_workbook_is_the_same_bytes_every_time_and_takes_any_text() {
    let long = "=W".repeat(40_000);
    for text in [HOSTILE, long.as_str(), "=cmd|' /C calc'!A0", "x"] {
        let bytes = with_class(text, crate::workbook);
        assert!(bytes.starts_with(b"PK"), "a workbook is a zip");
        assert_eq!(bytes, with_class(text, crate::workbook));
    }
}

#[test]
fn damage_that_grows_is_told_once_until_something_else_happens() {
    let mut record = record("x");
    let hurt =
        |i: u32| Happening::Damage { on: "TU-1".into(), what: "rotor rubbed".into(), total: f64::from(i) / 100.0 };
    record.events = (1..=90).map(|i| Event { tick: Tick(100 + i * 10), what: hurt(i) }).collect();
    record.events.insert(50, Event { tick: Tick(600), what: Happening::Told("well?".into()) });
    let html = with_page("x", Judged::NotGraded(&[]), |page| person_page(&Page { record: &record, ..page.clone() }));
    assert!(
        html.contains("rotor rubbed (1 % of its life so far). It grew to 50 % of its life so far by 01:00."),
        "{html}"
    );
    assert!(html.contains("rotor rubbed (51 % of its life so far). It grew to 90 % of its life so far by 01:40."));
    // Once in the short story, and twice in the list of everything.
    assert_eq!(html.matches("rotor rubbed").count(), 3);
}

#[test]
fn people_are_compared_with_what_the_program_gave_and_not_with_a_moderator() {
    // The program gave nothing on "x", a moderator made it all, and this marker gives nothing as well.
    let hand = [marking::figures::HandMarks { by: "M", id: "t01", marks: vec![("x", 0), ("purge", 225)] }];
    let told = with_class("x", |class| crate::worth::agreement(&Class { hand: &hand, ..class.clone() })).unwrap();
    assert_eq!((told.pairs[0].marks, told.pairs[0].agreed), (2, 1.0));
}

#[test]
fn sums_of_different_wholes_stand_beside_each_other_in_percent() {
    let less = RunResult { earned: Marks(600), out_of: Marks(600), ..result(["x", "purge", "relight"]) };
    let html = with_class("x", |class| {
        assert!(class_page(class).contains("<dd>8.25, 8.25, 8.25</dd>"));
        let other = PersonLine { judged: Judged::Graded(&less), ..class.people[0].clone() };
        class_page(&Class { people: &[class.people[0].clone(), other], ..class.clone() })
    });
    assert!(html.contains("of what could be earned</dt><dd>69 %, 84 %, 100 %</dd>"), "{html}");
}
