//! The panel through data: small descriptions over the smallest plant.

use crate::{AlarmState, Gauge, OffScale, Panel};
use base::description::{Component, Description, Field};
use base::record::Happening;
use base::{Place, Tag, Tick, units};
use plant::{Order, Plant, PointId};

fn part(kind: &str, tag: &str, links: &[(&str, &str)], fields: &[(&str, &str)]) -> Component {
    Component {
        tag: tag.into(),
        kind: kind.into(),
        name: format!("the {tag}"),
        links: links.iter().map(|(k, v)| ((*k).into(), Tag::new(v))).collect(),
        fields: fields
            .iter()
            .map(|(k, v)| {
                let (value, source) = ((*v).into(), "own choice".into());
                ((*k).into(), Field { value, source })
            })
            .collect(),
        place: Place::line("small.ron", tag.len() as u32),
        ..Component::default()
    }
}

fn valve() -> Component {
    part("valve", "XV-2104", &[], &[("stroke time", "1 s"), ("place", "boiler front")])
}

fn described(rest: Vec<Component>) -> Description {
    let mut components = vec![valve(), part("place", "boiler front", &[], &[("walk", "40 s")])];
    components[1].name = "boiler front".into();
    components.extend(rest);
    Description { components, ..Description::default() }
}

fn small() -> (Plant, Panel) {
    let d = described(vec![
        part("lamp", "XL-2104", &[("of", "ZSH-2104")], &[("lit when", "open")]),
        part("lamp", "XL-2105", &[("of", "ZSL-2104")], &[("lit when", "1")]),
        part("lamp", "XL-2106", &[("of", "XA-2104")], &[("lit when", "not acknowledged")]),
        part("lamp", "XL-2107", &[("of", "XV-2104")], &[("lit when", "open")]),
        part(
            "alarm",
            "XA-2104",
            &[("of", "ZSL-2104")],
            &[("when", "not shut"), ("delay", "2 s"), ("text", "valve not shut")],
        ),
    ]);
    let plant = Plant::build(&d).unwrap();
    let panel = Panel::build(&d, &plant).unwrap();
    (plant, panel)
}

fn run(plant: &mut Plant, panel: &mut Panel, ticks: std::ops::Range<u32>) -> Vec<Happening> {
    let mut said = vec![];
    for t in ticks {
        plant.control_pass();
        plant.step().unwrap();
        panel.update(plant, Tick(t), &mut said);
    }
    said
}

fn lit(panel: &Panel) -> Vec<bool> {
    panel.lamps().iter().map(|l| l.lit()).collect()
}

#[test]
fn lamps_follow_switches_alarms_and_controls() {
    let (mut plant, mut panel) = small();
    assert_eq!(lit(&panel), [false, true, false, false]);
    plant.order(plant::ControlId(0), Order::Word(0)).unwrap();
    run(&mut plant, &mut panel, 0..10);
    assert_eq!(lit(&panel), [true, false, false, true]);
    run(&mut plant, &mut panel, 10..25);
    assert_eq!(panel.alarms()[0].state(), AlarmState::Raised);
    assert_eq!(lit(&panel), [true, false, true, true]);
    assert!(panel.acknowledge(0, &mut vec![]));
    assert!(!panel.acknowledge(0, &mut vec![]), "it does not wait any more");
    run(&mut plant, &mut panel, 25..26);
    assert_eq!(lit(&panel), [true, false, false, true]);
}

#[test]
fn the_lamp_test_lights_all_but_a_dark_lamp() {
    let (mut plant, mut panel) = small();
    let dark = panel.failing(&Tag::new("XL-2105"), "dark").unwrap();
    panel.set_failing(dark, true, None);
    panel.lamp_test(Tick(10));
    run(&mut plant, &mut panel, 10..11);
    assert_eq!(lit(&panel), [true, false, true, true]);
    run(&mut plant, &mut panel, 11..40);
    assert_eq!(lit(&panel), [true, false, true, true], "for three seconds");
    run(&mut plant, &mut panel, 40..41);
    assert_eq!(lit(&panel), [false; 4]);
}

#[test]
fn a_failing_of_the_panel_acts_on_what_is_shown_only_and_the_difference_is_told() {
    let (mut plant, mut panel) = small();
    let healthy = plant.clone();
    let shut = plant.point(&Tag::new("ZSL-2104")).unwrap();
    panel.set_failing(panel.failing(&Tag::new("XL-2105"), "dark").unwrap(), true, None);
    panel.set_failing(panel.failing(&Tag::new("XL-2104"), "stuck lit").unwrap(), true, None);
    let mut said = run(&mut plant, &mut panel, 0..100);
    assert_eq!(lit(&panel), [true, false, false, false]);
    assert_eq!(plant.signal(shut).0, healthy.signal(shut).0);
    assert_eq!(plant.actual(shut).0, healthy.actual(shut).0);
    assert_eq!(said, [], "nothing is told before a span ends");
    panel.finish(&plant, Tick(100), &mut said);
    let differed = |tag: &str, shown: &str, actual: &str| Happening::Differed {
        tag: Tag::new(tag),
        of: Tag::new(actual.split_once(':').unwrap().0),
        since: Tick(0),
        shown: shown.into(),
        actual: actual.into(),
    };
    assert_eq!(said, [differed("XL-2104", "lit", "ZSH-2104: not open"), differed("XL-2105", "dark", "ZSL-2104: shut")]);
}

#[test]
fn the_helper_sees_what_is_true() {
    let (mut plant, panel) = small();
    let seized = plant.failing(&Tag::new("XV-2104"), "seized").unwrap();
    plant.set_failing(seized, true, Some(0.4)).unwrap();
    for _ in 0..20 {
        plant.step().unwrap();
    }
    for tag in ["XV-2104", "XL-2107"] {
        let sight = panel.sight(&Tag::new(tag), &plant).unwrap();
        assert_eq!(sight.tell(&plant), "the XV-2104: 40.0 % open");
        assert_eq!(sight.place, "boiler front");
    }
    let by_lamp = panel.sight(&Tag::new("XL-2105"), &plant).unwrap();
    assert_eq!(by_lamp.tell(&plant), "the XV-2104, shut limit switch: not shut");
    assert_eq!(panel.sight(&Tag::new("P-9999"), &plant), None);
}

#[test]
fn all_mistakes_are_told_at_once_with_the_nearest_name() {
    let d = described(vec![
        part("lamp", "XL-1", &[("of", "ZSH-2014")], &[("lit when", "open")]),
        part("lamp", "XL-2", &[("of", "ZSH-2104")], &[("lit when", "opened")]),
        part("lamp", "XL-2", &[], &[("lit wen", "1")]),
        part("gauge", "PI-1", &[("of", "XV-2104")], &[("scale", "0 % open to 100 % open")]),
        part("gauge", "PI-2", &[("of", "ZSH-2104")], &[("scale", "0 bar to 10 bar")]),
        part("alarm", "XA-1", &[("of", "ZSH-2104")], &[("above", "3 barg")]),
        part("place", "upper deck", &[], &[("walk", "1 kg")]),
    ]);
    let plant = Plant::build(&d).unwrap();
    let told: Vec<String> = Panel::build(&d, &plant)
        .unwrap_err()
        .iter()
        .map(|d| format!("{} {}", d.code, d.hint.as_deref().unwrap_or("-")))
        .collect();
    let has = |code: &str, hint: &str| {
        assert!(told.iter().any(|t| t.starts_with(code) && t.contains(hint)), "{code} {hint} in {told:#?}");
    };
    has("panel::unknown-tag", "ZSH-2104");
    has("panel::word", "\"open\" or \"not open\"");
    has("panel::duplicate-tag", "");
    has("panel::unknown-field", "lit when");
    has("panel::missing-link", "of");
    has("panel::no-signal", "transmitter");
    has("panel::unit", "barg for gauge pressure");
    has("panel::missing-field", "when");
    has("panel::unit", "units of time");
}

fn gauge() -> Gauge {
    let unit = units::unit("barg").unwrap();
    let scale = (unit.to_si(0.0), unit.to_si(10.0));
    Gauge::new(Tag::new("PI-1"), "drum".into(), PointId(0), unit, scale, 0.2e5)
}

#[test]
fn a_pointer_stops_at_the_ends_of_its_scale_and_says_so() {
    let mut g = gauge();
    let p = |x: f64| units::unit("barg").unwrap().to_si(x);
    g.update(Tick(0), p(4.1), p(4.1));
    assert_eq!((g.text().as_str(), g.off_scale()), ("4.10 barg", OffScale::No));
    g.update(Tick(1), p(12.0), p(12.0));
    assert_eq!(g.shown().0, p(10.0));
    assert_eq!((g.text().as_str(), g.off_scale()), ("10.00 barg, off scale", OffScale::High));
    g.update(Tick(2), p(-0.5), p(-0.5));
    assert_eq!((g.text().as_str(), g.off_scale()), ("0.00 barg, off scale", OffScale::Low));
    // A signal at rest is a rounding away from zero, and once that read "0.00 barg, off scale".
    g.update(Tick(3), p(-0.004), p(0.0));
    assert_eq!((g.text().as_str(), g.off_scale()), ("0.00 barg", OffScale::No));
    // Off the scale on both sides of the wire is no difference: the gauge shows all it can.
    for t in 4..300 {
        g.update(Tick(t), p(15.0), p(20.0));
    }
    assert_eq!(g.finish(Tick(300)), None);
}

#[test]
fn a_frozen_gauge_differs_and_a_lagging_one_does_not() {
    let p = |x: f64| units::unit("barg").unwrap().to_si(x);
    let (mut lagging, mut frozen) = (gauge(), gauge());
    lagging.prime(p(4.0), p(4.0));
    frozen.prime(p(4.0), p(4.0));
    frozen.failing().frozen = true;
    let mut spans = vec![];
    for t in 0..1000u32 {
        // True pressure rises 2 bar in 50 s and stays; the transmitter comes 3 s behind.
        let truth = |t: u32| p(4.0 + 2.0 * f64::from(t.min(500)) / 500.0);
        assert_eq!(lagging.update(Tick(t), truth(t.saturating_sub(30)), truth(t)), None);
        spans.extend(frozen.update(Tick(t), truth(t), truth(t)));
    }
    assert_eq!(lagging.finish(Tick(1000)), None);
    assert_eq!(spans, []);
    let told = frozen.finish(Tick(1000)).unwrap();
    // Beyond 0.2 bar after 50 ticks; what was true lately excuses it for up to ten seconds more.
    assert!((140..=155).contains(&told.since.0), "{told:?}");
    assert_eq!((told.shown, told.actual), (p(4.0), p(6.0)));
}

#[test]
fn a_frozen_gauge_leaves_signal_and_truth_alone() {
    // The smallest plant sends no quantity to the panel, so the gauge is joined to a position here.
    let d = described(vec![]);
    let mut plant = Plant::build(&d).unwrap();
    let unit = units::unit("% open").unwrap();
    let pointer = |tag| Gauge::new(Tag::new(tag), tag.into(), PointId(0), unit, (0.0, 1.0), 0.02);
    let gauges = vec![pointer("ZI-1"), pointer("ZI-2")];
    let mut panel = Panel::of_parts(gauges, vec![], vec![], vec![], vec![]);
    panel.prime(&plant);
    plant.order(plant::ControlId(0), Order::Dial(0.4)).unwrap();
    let mut said = run(&mut plant, &mut panel, 0..2);
    let frozen = panel.failing(&Tag::new("ZI-2"), "frozen").unwrap();
    panel.set_failing(frozen, true, None);
    said.extend(run(&mut plant, &mut panel, 2..300));
    let texts: Vec<String> = panel.picture().gauges.into_iter().map(|g| g.text).collect();
    assert_eq!(texts, ["40.0 % open", "20.0 % open"]);
    assert_eq!((plant.signal(PointId(0)).0, plant.actual(PointId(0)).0), (0.4, 0.4));
    panel.set_failing(frozen, false, None);
    said.extend(run(&mut plant, &mut panel, 300..301));
    assert_eq!(panel.gauges()[1].text(), "40.0 % open");
    let since = |h: &Happening| match h {
        Happening::Differed { tag, since, shown, actual, .. } => {
            (tag.to_string(), since.0, shown.clone(), actual.clone())
        }
        other => panic!("{other:?}"),
    };
    let told: Vec<_> = said.iter().map(since).collect();
    // True at 20 % until tick 1, which excuses the pointer for the lag that is allowed.
    assert_eq!(told, [("ZI-2".to_owned(), 100, "20.0 % open".to_owned(), "40.0 % open".to_owned())]);
}

#[test]
fn what_is_passed_over_would_have_changed_nothing() {
    let (mut plant, mut glancing) = small();
    let mut looking = glancing.clone();
    let mut dice = base::random::Stream::new(7, "glances");
    let mut draw = |n: usize| dice.between(0.0, n as f64) as usize;
    let (mut happened, failings) = ((vec![], vec![]), glancing.failings().len());
    for t in 0..4000 {
        match draw(60) {
            0 => drop(plant.order(plant::ControlId(0), Order::Dial(draw(5) as f64 / 4.0))),
            1 => {
                let (failing, acting) = (crate::PanelFailingId(draw(failings) as u16), draw(2) == 0);
                glancing.set_failing(failing, acting, None);
                looking.set_failing(failing, acting, None);
            }
            2 => {
                glancing.lamp_test(Tick(t));
                looking.lamp_test(Tick(t));
            }
            3 => assert_eq!(glancing.acknowledge(0, &mut vec![]), looking.acknowledge(0, &mut vec![])),
            4 => glancing.restore(&looking.state()).unwrap(),
            _ => {}
        }
        plant.control_pass();
        plant.step().unwrap();
        glancing.update(&plant, Tick(t), &mut happened.0);
        looking.look_anew();
        looking.update(&plant, Tick(t), &mut happened.1);
        assert_eq!(glancing.state(), looking.state(), "tick {t}");
    }
    assert_eq!(happened.0, happened.1);
    assert!(happened.0.len() > 20, "much went on: {}", happened.0.len());
}
