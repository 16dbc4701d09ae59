//! The same bits: run twice, from a clone at any tick, in any profile.

use super::hand::{Hand, steaming};
use super::script::{bits, golden, play};
use base::random::Stream;

fn of(h: &Hand) -> Vec<u8> {
    let mut all = vec![];
    bits(h, &mut all);
    all
}

/// The script's digest is the one on record, whatever profile made this test (the bench checks it in release).
///
/// When the plant or its file was changed on purpose, run this test with `REFRESH_GOLDEN=1` once, look at how the
/// readings moved, and tell those numbers in the commit.
#[test]
fn the_script_gives_the_bits_on_record() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/plant/script.txt");
    let (now, again) = (golden(), golden());
    assert_eq!(now, again, "run twice");
    if std::env::var_os("REFRESH_GOLDEN").is_some() {
        std::fs::create_dir_all(file.parent().unwrap()).unwrap();
        std::fs::write(&file, &now).unwrap();
    }
    let record = std::fs::read_to_string(&file).unwrap();
    assert_eq!(record, now, "see the head of this test");
}

/// A clone goes on bit for bit, and leaves the one that it was made from alone.
#[test]
fn a_clone_at_any_tick_goes_on_bit_for_bit() {
    let mut s = Stream::new(7, "clones");
    let mut at: Vec<u64> = (0..12).map(|_| s.below(6000)).collect();
    at.sort_unstable();
    let mut clones = vec![];
    let mut whole = Hand::cold();
    play(&mut whole, |h| {
        if at.contains(&h.ticks) {
            clones.push(h.clone());
        }
    });
    let end = of(&whole);
    assert!(clones.len() >= 10);
    for mut clone in clones {
        let from = clone.ticks;
        play(&mut clone, |_| {});
        assert!(of(&clone) == end, "the clone of tick {from} went elsewhere");
    }
}

/// The same while it steams, with the solvers warm.
#[test]
fn a_clone_of_a_steaming_plant_goes_on_bit_for_bit() {
    let (mut a, mut b) = (steaming(), steaming());
    for k in 0..1200u32 {
        if k == 100 {
            a.dial("XV-2202", 1.0);
            b.dial("XV-2202", 1.0);
        }
        a.tick();
        if k % 7 == 0 {
            b = b.clone();
        }
        b.tick();
        assert!(of(&a) == of(&b), "tick {k}");
    }
}
