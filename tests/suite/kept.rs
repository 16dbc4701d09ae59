//! A state that was kept and taken up again goes on bit for bit, whatever the plant was doing.

use base::random::Stream;
use base::{Place, Tick};
use panel::Panel;
use plant::registry::{ControlId, FailingId, Order};
use plant::{Plant, PointId};
use proptest::prelude::*;
use replay::Ship;
use std::sync::OnceLock;

fn fresh() -> Ship {
    Ship::named("training-vessel", &Place::default()).unwrap()
}

/// One ship whose prepared states are made once.
fn ship() -> &'static Ship {
    static SHIP: OnceLock<Ship> = OnceLock::new();
    SHIP.get_or_init(fresh)
}

/// A plant with its panel under way.
struct Run {
    plant: Plant,
    panel: Panel,
    tick: Tick,
}

impl Run {
    fn begin(start: &str) -> Run {
        let plant = ship().state(start, &Place::default()).unwrap();
        let mut panel = ship().panel.clone();
        panel.prime(&plant);
        Run { plant, panel, tick: Tick::ZERO }
    }

    fn keep(&self) -> Vec<u8> {
        ship().keep(&self.plant, &self.panel, self.tick)
    }

    /// The same run, taken up by a ship that was assembled anew.
    fn taken_up(&self) -> Run {
        let (plant, panel, tick) = fresh().take_up("state", &self.keep()).unwrap();
        Run { plant, panel, tick }
    }

    /// Something that a trainee or a story might do; the plant may refuse it.
    fn act(&mut self, s: &mut Stream) {
        let pick = |s: &mut Stream, n: usize| s.below(n as u64) as usize;
        match s.below(10) {
            0 => {
                let i = pick(s, self.plant.failings().len());
                let (acting, size) = (s.chance(0.7), self.plant.failings()[i].size.map(|z| s.between(z.min, z.max)));
                let size = if acting { size } else { None };
                self.plant.set_failing(FailingId(i as u16), acting, size).unwrap();
            }
            1 => {
                let i = pick(s, self.panel.failings().len());
                self.panel.set_failing(panel::PanelFailingId(i as u16), s.chance(0.7), None);
            }
            2 => self.panel.lamp_test(self.tick),
            3 => {
                let i = pick(s, self.panel.alarms().len());
                self.panel.acknowledge(i, &mut vec![]);
            }
            _ => {
                let i = pick(s, self.plant.controls().len());
                let c = &self.plant.controls()[i];
                let order = match c.dial {
                    Some(d) if c.words.is_empty() || s.chance(0.5) => Order::Dial(s.between(d.min, d.max)),
                    _ if c.words.is_empty() => return,
                    _ => Order::Word(pick(s, c.words.len())),
                };
                self.plant.order(ControlId(i as u16), order).ok();
            }
        }
    }

    /// One tick, and all that can be seen of it.
    fn tick(&mut self) -> (Vec<u64>, String) {
        self.plant.control_pass();
        self.plant.step().unwrap();
        self.tick = self.tick.after(1);
        let mut happened = vec![];
        self.plant.take_happenings(&mut happened);
        self.panel.update(&self.plant, self.tick, &mut happened);
        let mut bits = vec![];
        for i in 0..self.plant.points().len() {
            let id = PointId(i as u16);
            bits.extend([self.plant.actual(id).0.to_bits(), self.plant.signal(id).0.to_bits()]);
        }
        bits.extend(self.panel.gauges().iter().map(|g| g.shown().0.to_bits()));
        bits.extend((0..self.panel.lamps().len()).map(|i| u64::from(self.panel.lit(i))));
        (bits, format!("{happened:?}"))
    }
}

/// Everything in a plant as text, timers that nothing shows among it. What a circuit's solver works in is left out:
/// it is written anew before it is read, and stands from the last time that something moved.
fn whole(plant: &Plant) -> String {
    let text = format!("{plant:?}");
    let mut pieces = text.split("work: Work {");
    let first = pieces.next().unwrap_or_default().to_owned();
    pieces.fold(first, |sum, piece| sum + piece.split_once('}').map_or("", |p| p.1))
}

fn part(text: &str, at: usize) -> String {
    text.chars().skip(at).take(400).collect()
}

/// What was done from a seed: every so many ticks something.
fn on(run: &mut Run, s: &mut Stream, ticks: u64, mut seen: impl FnMut(&Run, (Vec<u64>, String))) {
    let mut next = s.below(40);
    for k in 0..ticks {
        if k >= next {
            run.act(s);
            next = k + 1 + s.below(40);
        }
        let now = run.tick();
        seen(run, now);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 30, max_shrink_iters: 20, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn a_state_kept_at_any_tick_goes_on_bit_for_bit(
        start in prop::sample::select(vec!["cold", "cooling-up", "steam-up", "turbine-warm", "on-the-board"]),
        seed in any::<u64>(),
        before in 0u64..1500,
    ) {
        let mut run = Run::begin(start);
        on(&mut run, &mut Stream::new(seed, "before"), before, |_, _| {});
        let mut again = run.taken_up();
        prop_assert!(again.keep() == run.keep(), "not what was kept");
        let (mut one, mut two) = (again.plant.clone(), run.plant.clone());
        let (mut first, mut second) = (vec![], vec![]);
        for (plant, told) in [(&mut one, &mut first), (&mut two, &mut second)] {
            plant.control_pass();
            plant.step().unwrap();
            plant.take_happenings(told);
        }
        let (one, two) = (whole(&one), whole(&two));
        let differs = one.bytes().zip(two.bytes()).position(|(a, b)| a != b);
        let at = differs.map_or(0, |at| at.saturating_sub(300));
        prop_assert!(one == two, "something is not kept:\n{}\n{}", part(&one, at), part(&two, at));
        let mut seen = vec![];
        on(&mut run, &mut Stream::new(seed, "after"), 400, |r, now| {
            seen.push((now, if r.tick.0.is_multiple_of(50) { r.keep() } else { vec![] }));
        });
        let mut k = 0;
        let mut wrong = None;
        on(&mut again, &mut Stream::new(seed, "after"), 400, |r, now| {
            let kept = if r.tick.0.is_multiple_of(50) { r.keep() } else { vec![] };
            if wrong.is_none() && seen[k] != (now, kept) {
                wrong = Some(k);
            }
            k += 1;
        });
        prop_assert_eq!(wrong, None, "went elsewhere so many ticks on, from {}", start);
    }
}

/// Half of what is tested above would hold if nothing were kept and nothing moved.
#[test]
fn a_state_holds_what_moved_and_little_else() {
    let mut run = Run::begin("steam-up");
    let first = run.keep();
    run.tick();
    let second = run.keep();
    assert_ne!(first, second);
    println!("a state takes {} bytes", first.len());
    assert!(first.len() < 200_000, "{} bytes", first.len());
}

#[test]
fn a_state_of_another_plant_or_file_is_refused_in_words() {
    let run = Run::begin("cold");
    let kept = run.keep();
    let text = include_str!("../../scenarios/plants/training-vessel.ron");
    let told = |ship: &Ship, bytes: &[u8]| ship.take_up("s.state", bytes).unwrap_err().to_string();
    let bench = Ship::named("valve-bench", &Place::default()).unwrap();
    assert!(told(&bench, &kept).contains("it is of training-vessel"), "{}", told(&bench, &kept));
    let other = Ship::read("p.ron", text.replacen("own choice", "our own choice", 1).as_bytes()).unwrap();
    assert!(told(&other, &kept).contains("the plant file has changed since"), "{}", told(&other, &kept));
    assert!(told(&fresh(), &kept[..kept.len() - 1]).contains("cut off or changed"));
    // A body of another plant behind an honest line: bytes that would fit nothing.
    let of = files::state_file::read("s", &kept).unwrap().0;
    let wrong = files::state_file::write(&of, &bench.plant.state(), &run.panel.state());
    assert!(told(&fresh(), &wrong).contains("its bytes do not fit the plant: they are of a plant with other parts"));
}
