//! Limits by hand: how far, how long, when they count, and what is missing.

use super::*;
use crate::Outcome::{Full, NotAssessed, Nothing, Part};
use monitor::{Comparison, Interval, Signal};

#[test]
fn limits_by_hand() {
    // Metal below 420 degC = 693.15 K; quiet is 400 degC.
    let cool = || Formula::below(METAL, 693.15);
    let hot = |k: f64, ticks: std::ops::RangeInclusive<usize>| with(quiet(100), &[(METAL, ticks, 693.15 + k)]);
    check(
        "kept",
        limit(cool(), None, None, None),
        &hot(-8.0, 40..=44),
        None,
        Full,
        1000,
        &["kept through the whole run", "superheater metal came within 8.0 K of 420.0 degC, at 00:04.0"],
    );
    check(
        "any breach",
        limit(cool(), None, None, None),
        &hot(12.0, 40..=44),
        None,
        Nothing,
        0,
        &[
            "broken once, from 00:04.0 to 00:04.4 (0.5 s in all)",
            "went 12.0 K past 420.0 degC, to 432.0 degC at 00:04.0",
        ],
    );
    // At equality "below" is broken, by nothing: the part for distance is whole.
    check(
        "at the limit",
        limit(Formula::below(METAL, 693.15), None, None, None),
        &hot(0.0, 40..=40),
        None,
        Nothing,
        0,
        &["one tick", "stood at 420.0 degC exactly"],
    );
    let most = Formula::Compare { signal: Signal(METAL), how: Comparison::AtMost, with: 693.15 };
    check(
        "at most",
        limit(most, None, None, None),
        &hot(0.0, 40..=40),
        None,
        Full,
        1000,
        &["stood at 420.0 degC exactly"],
    );
    // How far: 5 of 20 K loses a quarter; 20 all. (5 K above 693.15 is not exact in binary: to the nearest millionth.)
    check("5 of 20 K", limit(cool(), None, Some(20.0), None), &hot(5.0, 40..=44), None, Part, 750, &[]);
    check("21 of 20 K", limit(cool(), None, Some(20.0), None), &hot(21.0, 40..=44), None, Nothing, 0, &[]);
    // How long: 5 of 50 ticks loses a tenth. Both: the worse, 0.75 and 0.9.
    check(
        "5 of 50 ticks",
        limit(cool(), None, None, Some(50)),
        &hot(5.0, 40..=44),
        None,
        Part,
        900,
        &["4.5 s short of losing all"],
    );
    check("both", limit(cool(), None, Some(20.0), Some(50)), &hot(5.0, 40..=44), None, Part, 750, &[]);
    check("both, long", limit(cool(), None, Some(20.0), Some(50)), &hot(5.0, 0..=39), None, Part, 200, &[]);
    check("50 ticks", limit(cool(), None, Some(20.0), Some(50)), &hot(5.0, 0..=49), None, Nothing, 0, &[]);
    let twice = with(hot(5.0, 10..=14), &[(METAL, 20..=24, 700.0)]);
    check(
        "twice",
        limit(cool(), None, None, Some(50)),
        &twice,
        None,
        Part,
        800,
        &["broken twice, first at 00:01.0 (1.0 s in all)"],
    );
    // Only while the flame is lit.
    let lit = with(hot(12.0, 10..=12), &[(FLAME, 50..=59, 1.0)]);
    check(
        "not looked at",
        limit(cool(), Some(Formula::holds(FLAME)), None, None),
        &lit,
        None,
        Full,
        1000,
        &["all of the 1.0 s in which it counted", "superheater metal was 20.0 K from 420.0 degC all the time"],
    );
    check(
        "never looked at",
        limit(cool(), Some(Formula::holds(FLAME)), None, None),
        &hot(12.0, 10..=12),
        None,
        NotAssessed,
        0,
        &["never came"],
    );
    // Cut by the end: seen kept.
    let settles = Formula::Eventually(Interval::within(20), Box::new(cool()));
    check(
        "cut",
        limit(settles, None, None, None),
        &hot(12.0, 90..=99),
        None,
        Full,
        1000,
        &["as far as was seen", "last 1.0 s short"],
    );
    // Unknown alone; unknown beside a breach; a breach of unknown size.
    let hole = with(quiet(100), &[(METAL, 10..=19, f64::NAN)]);
    check("a hole", limit(cool(), None, None, None), &hole, None, NotAssessed, 0, &["missing for 1.0 s"]);
    let worse = with(hole.clone(), &[(METAL, 40..=44, 698.15)]);
    check(
        "a hole and a breach",
        limit(cool(), None, None, Some(50)),
        &worse,
        None,
        Part,
        900,
        &["missing for 1.0 s, which was not counted"],
    );
    // A truth value has no distance: broken, nothing is left for it; by time it loses a tenth.
    let lit = with(quiet(100), &[(FLAME, 5..=99, 1.0)]);
    let burns = || Formula::holds(FLAME);
    check("no distance", limit(burns(), None, Some(20.0), None), &lit, None, Nothing, 0, &["0.5 s in all) | -"]);
    check("by time alone", limit(burns(), None, None, Some(50)), &lit, None, Part, 900, &["4.5 s short"]);
    // Two kinds of quantity: pascal and kelvin are not compared, each breach is told.
    let two = || Formula::All(vec![Formula::below(DRUM, 801_325.0), cool()]);
    check("two kinds kept", limit(two(), None, None, None), &quiet(100), None, Full, 1000, &["whole run | - |"]);
    let each = with(hot(3.0, 40..=44), &[(DRUM, 60..=64, 831_325.0)]);
    check(
        "two kinds broken",
        limit(two(), None, None, None),
        &each,
        None,
        Nothing,
        0,
        &["drum pressure went 0.30 bar past 7.00 barg, to 7.30 barg at 00:06.0; superheater metal went 3.0 K past"],
    );
}
