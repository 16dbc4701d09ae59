//! Warming a steam line: drained and slow, or not.

use super::super::hand::{Hand, raising};
use base::record::Happening;

/// Blows of hammer in the main line so far.
fn blows(h: &Hand) -> usize {
    let hammer = |x: &&(f64, Happening)| matches!(&x.1, Happening::Plant { says, .. } if says.contains("hammer"));
    h.happened.iter().filter(hammer).count()
}

/// Common practice: the line is drained while it warms through a little opening, before steam is taken through it. With its
/// drain shut the condensate lies in it when a consumer draws: hammer, and damage.
#[test]
fn a_line_warmed_and_drained_is_not_hammered_and_one_with_its_drain_shut_is() {
    let warmed = |drained: bool| {
        let mut h = raising();
        h.until("6 barg", 3600.0, |h| h.barg("PT-2001") > 6.0);
        if drained {
            h.set("XV-2104", "open");
            h.run(15.0);
            h.dial("XV-2103", 0.06);
            h.until("the line is warm", 3600.0, |h| h.celsius("TT-2110") > 150.0);
            h.run(300.0);
        }
        h.set("XV-2103", "open");
        h.run(600.0);
        h.dial("XV-2202", 1.0);
        h.run(300.0);
        println!("drained {drained}: {} blows, damage {:.3}", blows(&h), h.damage("N-2110"));
        (blows(&h), h.damage("N-2110"))
    };
    let (drained, wet) = (warmed(true), warmed(false));
    assert!(drained.0 == 0 && drained.1 == 0.0, "{drained:?}");
    assert!(wet.0 >= 1 && wet.1 > 0.0, "{wet:?}");
}
