//! Stories woken by hand.

use super::{vessel, with_heading};
use crate::{Input, Sources, Stories};
use base::observable::{Observable, Verb};
use base::{Tag, Tick};
use session::{Command, Story, View, Wait};

/// A view with a few things in it.
#[derive(Default)]
struct Now {
    tick: u32,
    met: bool,
    started: bool,
    pressure: f64,
}

impl View for Now {
    fn now(&self) -> Tick {
        Tick(self.tick)
    }
    fn value(&self, what: &Observable) -> Option<f64> {
        match what {
            Observable::Shown(t) if t.as_str() == "PT-3001" => Some(self.pressure),
            Observable::Actual(t) if t.as_str() == "XV-2104" => Some(1.0),
            Observable::Lit(_) => Some(1.0),
            _ => None,
        }
    }
    fn ever(&self, what: &Observable) -> Option<bool> {
        let start = Observable::Did { verb: Verb::Operate, on: Some(Tag::new("P-3102")), to: Some("start".into()) };
        Some(*what == start && self.started)
    }
    fn condition_met(&self) -> bool {
        self.met
    }
}

fn stories(body: &str) -> Stories {
    let text = with_heading(&format!("fault \"f\" {{ on = \"XL-2104\", kind = \"dark\" }}\n{body}"));
    match Stories::new(&Input::new(Sources::one("test.lua", &text), vessel::names())) {
        Ok(s) => s,
        Err(told) => panic!("{told:?}"),
    }
}

#[test]
fn a_story_waits_asks_and_commands() {
    let mut s = stories(
        "story(function(run)
           local came = run:wait_until(lit(\"XL-3310\"), \"10 min\")
           run:note(came and \"came\" or \"late\")
           run:wait(\"5 min\")
           if run:not_yet(did(\"P-3102\", \"start\")) then run:inject(\"f\") end
           run:note(tostring(run:time()) .. \" \" .. tostring(run:value(shown(\"PT-3001\"))) .. \" \" .. run:value(actual(\"XV-2104\")))
           if run:holds(all(lit(\"XL-3310\"), shown(\"PT-3001\"):above(\"4 barg\"))) then run:tell(\"steam\") end
           run:finish(\"over\")
           run:tell(\"never said\")
         end)",
    );
    let mut said = Vec::new();
    let wait = s.wake(0, &Now::default(), &mut said).unwrap();
    assert!(matches!(&wait, Wait::For { latest: Some(Tick(6000)), watched, .. } if watched.len() == 1), "{wait:?}");
    let wait = s.wake(0, &Now { tick: 100, met: true, ..Now::default() }, &mut said).unwrap();
    assert_eq!(wait, Wait::Until(Tick(3100)));
    let late = Now { tick: 3100, pressure: 601_325.0, ..Now::default() };
    assert_eq!(s.wake(0, &late, &mut said).unwrap(), Wait::Done);
    assert_eq!(
        said,
        [
            Command::Note("came".into()),
            Command::Inject("f".into()),
            Command::Note("310 5 open".into()),
            Command::Tell("steam".into()),
            Command::End("over".into()),
        ]
    );
    assert_eq!(s.wake(0, &late, &mut said).unwrap(), Wait::Done);
}

fn fails(body: &str) -> (String, u32, String) {
    let text = with_heading(&format!("fault \"f\" {{ on = \"XL-2104\", kind = \"dark\" }}\n{body}"));
    let mut s = match Stories::new(&Input::new(Sources::one("test.lua", &text), vessel::names())) {
        Ok(s) => s,
        // Some slips are seen in the text.
        Err(told) => return (told[0].code.to_owned(), told[0].place.line, told[0].message.clone()),
    };
    let f = s.wake(0, &Now::default(), &mut Vec::new()).unwrap_err();
    (f.code.to_owned(), f.place.line, f.message)
}

#[test]
fn a_story_that_goes_wrong_says_where() {
    let story = |body: &str| format!("story(function(run)\n{body}\nend)");
    for (body, code, line) in [
        ("while true do end", "script::fuel", 4),
        ("while true do pcall(function() while true do end end) end", "script::fuel", 4),
        ("pcall(function() while true do end end)", "script::fuel", 4),
        ("for i = 1, 1000000 do run:tell(\"x\") end", "script::commands", 3),
        ("run:inject(\"g\")", "script::unknown-fault", 4),
        ("run:wiat(\"5 min\")", "script::unknown-method", 4),
        ("run:wait(5)", "script::no-unit", 4),
        ("run:wait(\"0 s\")", "script::time", 4),
        ("run:wait_until(lit(\"XL-3310\"):answered_within(\"5 s\", lit(\"XL-3310\")))", "script::looks-ahead", 4),
        ("run:holds(did(\"lamp test\"))", "script::not-now", 4),
        ("run:has(lit(\"XL-3310\"))", "script::not-an-action", 4),
        ("run:value(shown(\"LT-3001\"))", "script::no-value", 3),
        ("local x = nil\nx.y = 1", "script::lua", 5),
        ("coroutine.yield(1)", "script::yield", 3),
        ("coroutine.wrap(function() run:wait(\"5 s\") end)()", "script::lua", 4),
        ("local t = {}\nfor i = 1, 1e9 do t[i] = i end", "script::memory", 5),
        ("local function f() return 1 + f() end\nf()", "script::recursion", 4),
        ("error({})", "script::lua", 4),
    ] {
        let (got, at, message) = fails(&story(body));
        assert_eq!((got.as_str(), at), (code, line), "{body}: {message}");
    }
}

#[test]
fn growing_weather_and_load_are_held_to_what_they_can_be() {
    let with = |line: &str| {
        format!(
            "fault \"leak\" {{ on = \"FCV-3102\", kind = \"passing\", size = \"5 % of rated\" }}\nstory(function(run)\n{line}\nend)"
        )
    };
    for (line, code, says) in [
        ("run:grow(\"laek\", \"20 % of rated\")", "script::unknown-fault", "laek"),
        ("run:grow(\"f\", \"20 % of rated\")", "script::grows", "there or it is not"),
        ("run:grow(\"leak\", \"120 % of rated\")", "script::range", "outside"),
        ("run:grow(\"leak\", \"20 % firing\")", "script::unit", "\"% of rated\" is needed"),
        ("run:grow(\"leak\", \"20 kg\")", "script::unit", ""),
        ("run:grow(\"leak\", \"20 % of rated\", 5)", "script::no-unit", ""),
        ("run:weather(\"see temperature\", \"30 degC\")", "script::unknown-weather", "see temperature"),
        ("run:weather(\"sea temperature\", \"60 degC\")", "script::range", "outside"),
        ("run:weather(\"sea temperature\", \"30 K\")", "script::unit", ""),
        ("run:load(\"L-5451\", \"30 kW\")", "script::unknown-consumer", "L-5451"),
        ("run:load(\"L-5415\", \"300 kW\")", "script::range", "outside"),
        ("run:load(\"L-5415\", \"on\")", "script::argument", "neither a power"),
        ("run:load(\"L-5415\", \"in\", \"5 s\")", "script::argument", "at once"),
    ] {
        let (got, at, message) = fails(&with(line));
        // One that the text gives away is told there.
        assert_eq!((got.as_str(), at), (code, 5), "{line}: {message}");
        assert!(message.contains(says), "{line}: {message}");
    }
    let mut s = stories(&with(
        "run:grow(\"leak\", \"20 % of rated\", \"5 min\") run:weather(\"sea temperature\", \"36 degC\")
         run:load(\"L-5415\", \"180 kW\", \"2 s\") run:load(\"L-5415\", \"out\")",
    ));
    let mut said = Vec::new();
    assert_eq!(s.wake(0, &Now::default(), &mut said).unwrap(), Wait::Done);
    assert_eq!(
        said,
        [
            Command::Grow { fault: "leak".into(), size: 0.2, over: 3000 },
            Command::Surround { what: "sea temperature".into(), to: 309.15, over: 0 },
            Command::Surround { what: "L-5415".into(), to: 180e3, over: 20 },
            Command::Switch { consumer: "L-5415".into(), put_in: false },
        ]
    );
}

#[test]
fn a_fault_that_a_story_only_grows_or_clears_never_begins() {
    for (line, begins) in
        [("run:grow(\"l\", \"9 % of rated\")", false), ("run:clear(\"l\")", false), ("run:inject(\"l\")", true)]
    {
        let text = with_heading(&format!(
            "fault \"l\" {{ on = \"FCV-3102\", kind = \"passing\", size = \"5 % of rated\" }}\nstory(function(run) {line} end)"
        ));
        let read = crate::author(&Input::new(Sources::one("test.lua", &text), vessel::names())).unwrap();
        let idle = read.warnings.iter().any(|d| d.code == "script::idle-fault");
        assert_eq!(idle, !begins, "{line}: {:?}", read.warnings);
    }
}

#[test]
fn a_failed_story_stays_failed() {
    let mut s = stories("story(function(run) while true do end end)");
    for _ in 0..2 {
        assert_eq!(s.wake(0, &Now::default(), &mut Vec::new()).unwrap_err().code, "script::fuel");
    }
}

#[test]
fn a_slip_in_a_story_is_told_beforehand() {
    let rehearsed = |body: &str| {
        let text = with_heading(&format!(
            "fault \"f\" {{ on = \"XL-2104\", kind = \"dark\" }}\nstory(function(run)\n{body}\nend)"
        ));
        let input = Input::new(Sources::one("test.lua", &text), vessel::names());
        let told = crate::rehearse(&input, Tick(6000)).unwrap_or_else(|told| told);
        told.iter().map(|d| format!("{} at {}", d.code, d.place.line)).collect::<Vec<_>>()
    };
    let met = "if run:wait_until(lit(\"XL-3310\"), \"1 min\") then run:inject(\"g\") end";
    let not_met = "if not run:wait_until(lit(\"XL-3310\"), \"1 min\") then run:injct(\"f\") end";
    assert_eq!(rehearsed(met), ["script::unknown-fault at 4"]);
    assert_eq!(rehearsed(not_met), ["script::unknown-method at 4"]);
    assert_eq!(rehearsed("while true do run:wait(\"1 s\") end"), Vec::<String>::new());
    assert_eq!(rehearsed("while true do end"), ["script::fuel at 4"]);
    assert_eq!(rehearsed("run:wait_until(lit(\"XL-3310\")) run:inject(\"f\")"), Vec::<String>::new());
    // What can never hold is told as it is in an item: the run lasts ten minutes, and f does act.
    let never = "run:wait_until(all(lit(\"XL-3310\"), dark(\"XL-3310\")))";
    assert_eq!(rehearsed(never), ["script::never at 4"]);
    assert_eq!(rehearsed("run:wait_until(after_time(\"30 h\"), \"1 min\")"), ["script::never at 4"]);
    assert_eq!(rehearsed("if run:holds(setting(\"FCV-3102\"):above(\"110 % open\")) then end"), ["script::never at 4"]);
    assert_eq!(
        rehearsed("if run:holds(setting(\"FCV-3102\"):below(\"110 % open\")) then end"),
        ["script::always at 4"]
    );
    assert_eq!(rehearsed("run:wait_until(fault_acting(\"f\"))"), ["script::never at 4"]);
    assert_eq!(rehearsed("run:inject(\"f\") run:wait_until(fault_acting(\"f\"))"), Vec::<String>::new());
}

#[test]
fn a_run_can_be_stopped_from_outside() {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};
    let stop = Arc::new(AtomicBool::new(false));
    let text = with_heading("story(function(run) while true do run:wait(\"1 s\") end end)");
    let input = Input { stop: Some(stop.clone()), ..Input::new(Sources::one("test.lua", &text), vessel::names()) };
    let mut s = Stories::new(&input).unwrap();
    assert!(s.wake(0, &Now::default(), &mut Vec::new()).is_ok());
    stop.store(true, Ordering::Relaxed);
    assert_eq!(s.wake(0, &Now::default(), &mut Vec::new()).unwrap_err().code, "script::stopped");
}

#[test]
fn modules_of_the_pack_are_their_own() {
    let mut sources = Sources::one(
        "main.lua",
        &with_heading(
            "local m = require(\"limits\")\nassert(require(\"limits\") == m)\nstep \"a\" { marks = m.marks, done = m.done() }\nprint(pcall(function() return hidden end))",
        ),
    );
    sources.modules.insert(
        "limits".into(),
        "hidden = 1\nlocal m = { marks = 2 }\nfunction m.done() return lit(\"XL-33\") end\nreturn m".into(),
    );
    let told = crate::author(&Input::new(sources, vessel::names())).unwrap_err();
    let said: Vec<String> = told.iter().map(|d| format!("{} {}", d.code, d.place)).collect();
    assert_eq!(said, ["script::unknown-lamp limits:3", "script::unknown-name main.lua:5:31"]);
}
