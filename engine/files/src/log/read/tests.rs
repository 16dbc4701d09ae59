use super::*;
use crate::log::{self, ACTIONS_MAX, write};

const HEADER: &str = r#"{"format":"faultwright-log/1","exercise":"raise-steam","pack":"first-steam","pack_version":"1.0.0","trainee":"t-07","start":"2031-03-04T08:00:00Z","recorder":"by hand","seed":7}"#;

fn expected_of(action: &Action) -> Result<(), Refusal> {
    match &action.on {
        Some(tag) if !["P-1101", "LCV-3101", "XA-3001"].contains(&tag.as_str()) => {
            Err(Refusal { code: "log::unknown-tag", message: format!("the plant has no {tag}"), hint: None })
        }
        _ => Ok(()),
    }
}

fn read_bytes(bytes: &[u8]) -> Imported {
    let expected = Expected {
        pack: "first-steam",
        pack_version: "1.0.0",
        exercises: &["raise-steam", "first-fire"],
        allowed: &expected_of,
    };
    read("t-07.jsonl", bytes, &expected)
}

fn read_lines(lines: &[&str]) -> Imported {
    read_bytes(format!("{HEADER}\n{}\n", lines.join("\n")).as_bytes())
}

/// Codes with severity and line, as `error log::time 3`.
fn codes(i: &Imported) -> Vec<String> {
    i.told
        .iter()
        .map(|d| {
            let word = format!("{:?}", d.severity).to_lowercase();
            format!("{word} {} {}", d.code, d.place.line)
        })
        .collect()
}

const PUMP: &str = r#"{"t":12.5,"do":"operate","on":"P-1101","to":"start"}"#;
const END: &str = r#"{"t":600,"do":"end"}"#;

#[test]
fn a_clean_log_is_read_without_a_word_and_written_the_same() {
    let i = read_lines(&[
        PUMP,
        r#"{"t":14.0,"saw":{"PT-3001":"4.10 barg"}}"#,
        r#"{"t":20.0,"do":"lamp test"}"#,
        r#"{"t":21.0,"do":"acknowledge","on":"XA-3001"}"#,
        r#"{"t":30.0,"do":"report","to":"lamp is dead, I think"}"#,
        r#"{"t":600.0,"do":"end"}"#,
    ]);
    assert_eq!(codes(&i), [] as [&str; 0]);
    let log = i.log.unwrap();
    assert_eq!((log.actions.len(), log.saw.len(), log.end, log.whole), (4, 1, Tick(6000), true));
    let again = read_bytes(&write(&log));
    assert_eq!(again.log.unwrap(), log);
    assert!(String::from_utf8(write(&log)).unwrap().contains(PUMP));
}

#[test]
fn safe_repairs_are_made_and_told() {
    let text = format!(
        "\u{feff}{HEADER}\r\n\r\n{{\"t\":\"30,5\",\"do\":\"operate\",\"on\":\"LCV-3101\",\"to\":\"35,5 % open\"}}\r\n{PUMP}\r\n{PUMP}\r\n{{\"t\": 99,25, \"do\": \"lamp test\"}}\r\n{{\"t\":700,\"do\":\"opera"
    );
    let i = read_bytes(text.as_bytes());
    assert_eq!(
        codes(&i),
        [
            "warning log::no-end 0",
            "note log::byte-order-mark 1",
            "note log::line-ends 1",
            "note log::blank-lines 2",
            "note log::decimal-comma 3",
            "note log::time-as-text 3",
            "warning log::order 4",
            "note log::doubled 5",
            "warning log::cut-off 7",
        ]
    );
    let log = i.log.unwrap();
    let what: Vec<_> = log.actions.iter().map(|a| (a.line, a.tick.0, a.to.as_deref())).collect();
    assert_eq!(what, [(4, 125, Some("start")), (3, 305, Some("35.5 % open")), (6, 992, None)]);
    assert_eq!(log.end, Tick(992));
}

#[test]
fn a_line_cut_inside_a_letter_is_a_cut_off_line() {
    let mut bytes = format!("{HEADER}\n{PUMP}\n{{\"t\":50,\"do\":\"report\",\"to\":\"K\u{e4}").into_bytes();
    bytes.pop();
    let i = read_bytes(&bytes);
    assert_eq!(codes(&i), ["warning log::no-end 0", "warning log::cut-off 3"]);
    assert_eq!(i.log.unwrap().actions.len(), 1);
}

#[test]
fn every_cut_of_a_good_log_is_read_or_refused_but_never_a_panic() {
    let text = format!("{HEADER}\n{PUMP}\n{{\"t\":50,\"do\":\"report\",\"to\":\"K\u{e4}se\"}}\n{END}\n");
    let mut whole = 0;
    for cut in 0..=text.len() {
        let i = read_bytes(&text.as_bytes()[..cut]);
        let header_read = cut >= HEADER.len();
        assert_eq!(i.log.is_some(), header_read, "cut at {cut}: {:?}", i.told);
        whole += usize::from(i.log.is_some_and(|l| l.whole));
    }
    // The last brace, and the line feed behind it.
    assert_eq!(whole, 2);
}

#[test]
fn what_cannot_be_repaired_is_refused_with_its_line() {
    let table: &[(&str, &str)] = &[
        (r#"{"t":-1,"do":"lamp test"}"#, "error log::time 2"),
        (r#"{"t":1930000000,"do":"lamp test"}"#, "error log::time 2"),
        (r#"{"t":1e999,"do":"lamp test"}"#, "error log::line 2"),
        (r#"{"t":"soon","do":"lamp test"}"#, "error log::line 2"),
        (r#"{"t":"12,500","do":"lamp test"}"#, "error log::line 2"),
        (r#"{"do":"lamp test"}"#, "error log::line 2"),
        (r#"{"t":1,"do":"inject","on":"P-1101","to":"worn"}"#, "error log::unknown-verb 2"),
        (r#"{"t":1,"do":"operate","to":"start"}"#, "error log::no-tag 2"),
        (r#"{"t":1,"do":"operate","on":"","to":"start"}"#, "error log::no-tag 2"),
        (r#"{"t":1,"do":"operate","on":"P-1101"}"#, "error log::no-setting 2"),
        (r#"{"t":1,"do":"lamp test","on":"P-1101"}"#, "error log::line 2"),
        (r#"{"t":1,"do":"local check","on":"P-1101","to":"x"}"#, "error log::line 2"),
        (r#"{"t":1,"do":"operate","on":"P-9999","to":"start"}"#, "error log::unknown-tag 2"),
        (r#"{"t":1,"do":"operate","on":"LCV-3101","to":"1,500 rpm"}"#, "error log::decimal-comma 2"),
        (r#"{"t":1,"do":"lamp test","marks":100}"#, "error log::line 2"),
        (r#"{"t":1,"t":2,"do":"lamp test"}"#, "error log::line 2"),
        (r#"{"t":1,"saw":{"PT-3001":"1","PT-3001":"2"}}"#, "error log::line 2"),
        (r#"{"t":1,"do":"lamp test","saw":{}}"#, "error log::line 2"),
        (r#"{"t":1}"#, "error log::line 2"),
        (r#"{"t":1,"do":"lamp"#, "error log::line 2"),
        ("12.5;operate;P-1101;start", "error log::line 2"),
    ];
    for (line, code) in table {
        let i = read_lines(&[line, END]);
        assert_eq!(codes(&i), [*code], "{line}");
        assert!(i.log.is_none() && i.header.is_some(), "{line}");
    }
}

#[test]
fn unknown_names_come_with_the_nearest_known_one() {
    let i = read_lines(&[r#"{"t":1,"do":"lamptest"}"#, r#"{"t":1,"doo":"lamp test"}"#]);
    let hints: Vec<_> = i.told.iter().filter_map(|d| d.hint.as_deref()).collect();
    assert!(hints.contains(&"did you mean \"lamp test\"?"), "{hints:?}");
    assert!(hints.contains(&"did you mean \"do\"?"), "{hints:?}");
}

#[test]
fn headers_that_do_not_fit_refuse_the_log() {
    let table: &[(&str, &str, &str)] = &[
        ("faultwright-log/1", "faultwright-log/2", "error log::format 1"),
        ("\"format\"", "\"fromat\"", "error log::no-header 1"),
        ("raise-steam", "raise-stem", "error log::wrong-exercise 1"),
        ("first-steam", "last-steam", "error log::wrong-pack 1"),
        ("\"t-07\"", "\"\"", "error log::trainee 1"),
        ("\"seed\":7", "\"seed\":-7", "error log::header 1"),
        ("\"seed\":7", "\"seed\":7,\"grade\":\"A\"", "error log::header 1"),
        ("2031-03-04T08:00:00Z", "tomorrow", "warning log::start 1"),
        ("1.0.0", "1.1.0", "warning log::pack-version 1"),
    ];
    for (from, to, code) in table {
        let i = read_bytes(format!("{}\n{END}\n", HEADER.replace(from, to)).as_bytes());
        assert_eq!(codes(&i), [*code], "{to}");
        assert_eq!(i.log.is_none(), code.starts_with("error"), "{to}");
    }
}

#[test]
fn files_that_are_no_log() {
    assert_eq!(codes(&read_bytes(b"")), ["error log::empty 0"]);
    assert_eq!(codes(&read_bytes(b"\n \r\n")), ["error log::empty 0"]);
    assert_eq!(codes(&read_bytes(b"time;action\n1;go\n")), ["error log::no-header 1"]);
    assert_eq!(codes(&read_bytes(&HEADER.as_bytes()[..40])), ["error log::no-header 1"]);
    let broken = [HEADER.as_bytes(), b"\n{\"t\":1,\"do\":\"rep\xfcrt\"}\n"].concat();
    assert_eq!(codes(&read_bytes(&broken)), ["error log::not-utf8 2"]);
    assert_eq!(codes(&read_bytes(b"\xff\xfe{\0\"\0")), ["error log::not-utf8 1"]);
}

#[test]
fn two_recordings_in_one_file() {
    let other = HEADER.replace("t-07", "t-08");
    let i = read_lines(&[PUMP, &other, PUMP, END]);
    assert_eq!(codes(&i)[..1], ["error log::two-recordings 3"]);
    // The same header again is a line doubled by the recorder.
    let i = read_lines(&[HEADER, PUMP, END]);
    assert_eq!(codes(&i), ["note log::doubled 2"]);
    assert!(i.log.is_some());
}

#[test]
fn nothing_comes_after_the_end() {
    let i = read_lines(&[PUMP, END, r#"{"t":601,"do":"lamp test"}"#]);
    assert_eq!(codes(&i), ["error log::after-end 4"]);
    // At an end that is out of place but latest in time, the log is only put in order.
    let i = read_lines(&[END, PUMP]);
    assert_eq!(codes(&i), ["warning log::order 3"]);
    assert!(i.log.unwrap().whole);
}

#[test]
fn caps_are_counted_and_named() {
    let mut text = format!("{HEADER}\n");
    for i in 0..=ACTIONS_MAX {
        text.push_str(&format!("{{\"t\":{}.5,\"do\":\"lamp test\"}}\n", i / 10));
    }
    let i = read_bytes(text.as_bytes());
    let last = i.told.iter().find(|d| d.code == "log::too-many").unwrap();
    assert_eq!(last.place.line, ACTIONS_MAX as u32 + 2);
    assert!(last.message.contains("more than 20000 actions"), "{}", last.message);
    assert!(i.log.is_none());
    let long = format!("{{\"t\":1,\"do\":\"report\",\"to\":\"{}\"}}", "x".repeat(LINE_BYTES_MAX));
    assert_eq!(codes(&read_lines(&[&long, END])), ["error log::long-line 2"]);
    let many = "\n".repeat(LINES_MAX + 1) + END;
    assert!(codes(&read_lines(&[&many]))[0].starts_with("error log::too-many"));
}

#[test]
fn a_flood_of_mistakes_is_counted() {
    let i = read_lines(&[r#"{"t":-1,"do":"lamp test"}"#; 100]);
    let errors = i.told.iter().filter(|d| d.severity == Severity::Error);
    assert_eq!(errors.count(), 21);
    let last = &i.told.last().unwrap().message;
    assert!(last.starts_with("80 more mistakes"), "{last}");
}

#[test]
fn the_schema_asks_for_what_the_reader_asks_for() {
    let schema: serde_json::Value = serde_json::from_str(&crate::schema::log()).unwrap();
    let variants = schema["oneOf"][1]["oneOf"].as_array().unwrap().clone();
    let words = Verb::ALL.iter().map(|v| v.word()).chain(["end"]);
    for word in words {
        let variant = variants
            .iter()
            .find(|v| v["properties"]["do"]["const"] == word)
            .unwrap_or_else(|| panic!("the schema has no {word}"));
        let required: Vec<&str> = variant["required"].as_array().unwrap().iter().map(|r| r.as_str().unwrap()).collect();
        assert_eq!(variant["additionalProperties"], false, "{word}");
        for (on, to) in [(false, false), (true, false), (false, true), (true, true)] {
            let mut given = vec!["t", "do"];
            given.extend(on.then_some("on"));
            given.extend(to.then_some("to"));
            let by_schema = required.iter().all(|r| given.contains(r))
                && given.iter().all(|g| variant["properties"].get(g).is_some());
            let line = format!(
                "{{\"t\":1,\"do\":\"{word}\"{}{}}}",
                if on { ",\"on\":\"P-1101\"" } else { "" },
                if to { ",\"to\":\"start\"" } else { "" }
            );
            let by_reader = read_lines(&[&line]).log.is_some();
            assert_eq!(by_schema, by_reader, "{line}");
        }
    }
    assert_eq!(schema["oneOf"][0]["properties"]["format"]["const"], log::FORMAT);
}
