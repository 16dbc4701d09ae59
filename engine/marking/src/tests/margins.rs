//! Margins as they are told.

use super::*;

#[test]
fn margins_are_told_in_the_unit_of_the_gauge() {
    let told = |dimension, symbol: &'static str, keep: Formula, value: f64| {
        let watched = [Watched { what: Observable::Actual(Tag::new("X-1")), dimension }];
        let sheet =
            Sheet { items: vec![item("it", 1, false, limit(keep, None, None, None))], pass: None, ..Sheet::default() };
        let mut watchers: Vec<Watcher> = watches(&sheet).iter().map(Watcher::new).collect();
        watchers[0].feed(&[value]);
        let found: Vec<Found> = watchers.into_iter().map(Watcher::finish).collect();
        let unit = |_: &Observable| base::units::unit(symbol);
        let language = Language { watched: &watched, name: &|_| "it".into(), unit: &unit };
        mark(&sheet, &found, &Record::default(), language).verdicts[0].value_margin.clone().unwrap_or_default()
    };
    let above = |x: f64| Formula::above(0, x);
    let mm = told(Dimension::Length, "mm", above(-0.14), -0.182);
    assert_eq!(mm, "it went 42 mm past -140 mm, to -182 mm at 00:00.0");
    let flow = told(Dimension::MassFlow, "t/h", above(0.05 / 3.6), 0.0);
    assert_eq!(flow, "it went 0.05 t/h past 0.05 t/h, to 0.00 t/h at 00:00.0");
    let open = told(Dimension::Fraction, "% open", above(0.9), 0.931);
    assert_eq!(open, "it came within 3.1 percentage points of 90.0 % open, at 00:00.0");
    let near = told(Dimension::Pressure, "barg", Formula::below(0, 901_325.0), 901_625.0);
    assert_eq!(near, "it went 0.003 bar past 8.00 barg, to 8.003 barg at 00:00.0");
    // Numbers that are worked out: a rate, a total, and how often.
    let measured = |term, how, with| Formula::Measured { term: Box::new(term), how, with };
    let rate =
        measured(monitor::Term::Rate(600, Box::new(monitor::Term::signal(0))), monitor::Comparison::Above, 1.0 / 60.0);
    let slow = told(Dimension::Temperature, "degC", rate, 300.0);
    assert_eq!(slow, "the rate of it over 1 min went 1.00 K/min past 1.00 K/min, to 0.00 K/min at 00:00.0");
    let total = monitor::Term::signal(0).over(monitor::Summary::Integral, monitor::Interval::ALL);
    let much = told(Dimension::MassFlow, "t/h", measured(total, monitor::Comparison::Below, 0.5), 10.0);
    assert_eq!(much, "the total of it over the whole run so far went 0.5 kg past 0.5 kg, to 1.0 kg at 00:00.0");
    let window = monitor::Interval::within(2999);
    let often = monitor::Term::Count(monitor::Edge::Rises, window, Box::new(above(0.5)));
    let often = told(Dimension::Number, "none", measured(often, monitor::Comparison::AtMost, 0.0), 1.0);
    assert_eq!(often, "the number of times, over 5 min went 1 past 0, to 1 at 00:00.0");
}
