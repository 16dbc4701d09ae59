//! What counts as a sign of a fault: two panels, looked at once a second, that do not differ by timing alone.
//!
//! Two runs that differ in one fault soon differ in a hundred small things: a compressor that cuts in ten
//! seconds sooner, a pressure that passes a mark a little later. Nobody could tell those from the
//! ordinary. A difference is a sign unless
//!
//! - it is *timing*: whichever of the two panels left what both showed last is followed by the other within
//!   [`TIMING`], before the trainee does the next thing to the plant or the alarms; or
//! - it *comes and goes by itself*: within the last [`LOOK_BACK`] the run without the fault has come to what the
//!   other shows twice or more, where it is a lamp or an alarm; a gauge has gone up and down twice or more between
//!   the same two turning points, as under on-off control, and the other stands between them.
//!
//! In a lamp test every difference between lamps is a sign: it is what the test is for.
//! What is seen in a lamp test is never held to be ordinary afterwards.
//!
//! [`TIMING`], [`LOOK_BACK`] and [`TURN`] are our own choice.

/// Seconds within which the other panel has to follow for a difference to be one of timing.
pub(crate) const TIMING: usize = 60;
/// Seconds over which comings and goings are counted.
const LOOK_BACK: usize = 1800;
/// How far a gauge has to come back for that to be a turning point, in what counts as the same reading.
const TURN: f32 = 4.0;
/// Indications that cannot stand between two values: how far apart their codes may be and be the same.
pub(crate) const TWO_STATES: f32 = 0.5;

/// What a panel showed, once a second.
#[derive(Clone, Debug, Default)]
pub(crate) struct Shown {
    /// Of each second, of each indication: the code of an alarm's state, a lamp (1 is lit), the part of its
    /// scale at which a gauge stands.
    values: Vec<f32>,
    width: usize,
    marks: Vec<Mark>,
}

/// What else is to be known of a second.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Mark {
    /// The lamp test was on.
    pub tested: bool,
    /// The trainee did something to the plant or the alarms since the second before.
    pub acted: bool,
}

impl Shown {
    /// Puts down a second.
    pub fn push(&mut self, mark: Mark, row: impl Iterator<Item = f32>) {
        let before = self.values.len();
        self.values.extend(row);
        self.width = self.values.len() - before;
        self.marks.push(mark);
    }

    /// How many seconds were put down.
    pub fn seconds(&self) -> usize {
        self.marks.len()
    }

    /// What an indication showed.
    pub fn at(&self, second: usize, indication: usize) -> f32 {
        self.values[second * self.width + indication]
    }

    fn mark(&self, second: usize) -> Mark {
        self.marks[second]
    }
}

/// A run beside its twin: which indications have agreed until when.
#[derive(Clone, Debug)]
pub(crate) struct Signs {
    /// What the run and its twin showed when they were last taken for the same.
    agreed: Vec<(f32, f32)>,
    /// The second that is judged next, and how many of its indications are judged already.
    next: usize,
    judged: usize,
}

/// Whether a difference is one of timing.
enum Timing {
    /// It is; what the follower still shows, which both have now shown.
    Behind(f32),
    /// The other did not follow in time.
    NotThat,
    /// The seconds that would tell are still to come.
    Open,
}

impl Signs {
    /// Two runs that are one until this second; `agreed` is what the panel shows before it.
    pub fn from(second: usize, agreed: Vec<f32>) -> Signs {
        Signs { agreed: agreed.into_iter().map(|v| (v, v)).collect(), next: second, judged: 0 }
    }

    /// Judges as far as enough is known, or all of it at the end: the first second with a sign, and the
    /// indication. No judgement waits for seconds that could not change it, since the twin is played no longer than
    /// to the first sign. `within` tells of each indication how far apart two values may be and still count as the same.
    pub fn judge(&mut self, run: &Shown, twin: &Shown, within: &[f32], at_end: bool) -> Option<(usize, usize)> {
        let known = run.seconds().min(twin.seconds());
        while self.next < known {
            let second = self.next;
            for (i, &within) in within.iter().enumerate().skip(self.judged) {
                let (a, b) = (run.at(second, i), twin.at(second, i));
                if (a - b).abs() <= within {
                    self.agreed[i] = (a, b);
                    continue;
                }
                if run.mark(second).tested {
                    return Some((second, i));
                }
                match timing(run, twin, second, i, self.agreed[i], within) {
                    Timing::Behind(behind) => self.agreed[i] = (behind, behind),
                    Timing::Open if !at_end => {
                        self.judged = i;
                        return None;
                    }
                    _ if cycles(twin, second, i, a, within) => self.agreed[i] = (b, b),
                    _ => return Some((second, i)),
                }
            }
            (self.next, self.judged) = (second + 1, 0);
        }
        None
    }
}

/// Whether the one that left what both showed is followed by the other. Where both have left it, either may be the one that is behind.
fn timing(run: &Shown, twin: &Shown, second: usize, i: usize, agreed: (f32, f32), within: f32) -> Timing {
    let (a, b) = (run.at(second, i), twin.at(second, i));
    let (run_left, twin_left) = ((a - agreed.0).abs(), (b - agreed.1).abs());
    let both = run_left.min(twin_left) > within;
    let known = run.seconds().min(twin.seconds());
    for later in second + 1..=(second + TIMING).min(known - 1) {
        if run.mark(later).acted {
            return Timing::NotThat;
        }
        if run.mark(later).tested || run.mark(later - 1).tested {
            continue;
        }
        if (both || run_left >= twin_left) && passes(twin, later, i, a, within) {
            return Timing::Behind(b);
        }
        if (both || run_left < twin_left) && passes(run, later, i, b, within) {
            return Timing::Behind(a);
        }
    }
    if second + TIMING < known { Timing::NotThat } else { Timing::Open }
}

/// Whether an indication is at a value, or went past it since the second before.
fn passes(of: &Shown, second: usize, i: usize, value: f32, within: f32) -> bool {
    let (before, now) = (of.at(second - 1, i), of.at(second, i));
    before.min(now) <= value + within && value - within <= before.max(now)
}

/// Whether an indication comes to this value by itself.
fn cycles(of: &Shown, second: usize, i: usize, value: f32, within: f32) -> bool {
    let from = second.saturating_sub(LOOK_BACK);
    let untested = (from..second).filter(|s| !of.mark(*s).tested).map(|s| of.at(s, i));
    if within >= TWO_STATES { comes_twice(untested, value) } else { turns_twice(untested, value, within) }
}

fn comes_twice(values: impl Iterator<Item = f32>, value: f32) -> bool {
    let (mut comings, mut there) = (0, true);
    for now in values {
        let is = (now - value).abs() < TWO_STATES;
        comings += usize::from(is && !there);
        there = is;
    }
    comings >= 2
}

/// Whether the last two upper turning points are one and the last two lower ones are, and this value is between.
fn turns_twice(values: impl Iterator<Item = f32>, value: f32, within: f32) -> bool {
    let same = |a: f32, b: f32| (a - b).abs() <= 2.0 * within;
    let mut turns: Vec<f32> = vec![];
    // The highest and the lowest since the last turning point, and whether it rises since.
    let (mut high, mut low, mut rises) = (f32::NEG_INFINITY, f32::INFINITY, None);
    for now in values {
        (high, low) = (high.max(now), low.min(now));
        if rises != Some(false) && high - now > TURN * within {
            turns.push(high);
            (low, high, rises) = (now, now, Some(false));
        } else if rises != Some(true) && now - low > TURN * within {
            turns.push(low);
            (low, high, rises) = (now, now, Some(true));
        }
    }
    let [.., a, b, c, d] = turns[..] else { return false };
    same(a, c) && same(b, d) && c.min(d) - within <= value && value <= c.max(d) + within
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A panel with one lamp, drawn as a string: `.` dark, `#` lit, `T` lit in a lamp test, `t` dark in one; a
    /// second before which the trainee acted has its letter doubled by a `!` before it.
    fn lamp(drawn: &str) -> Shown {
        let mut shown = Shown::default();
        let mut acted = false;
        for c in drawn.chars() {
            match c {
                '!' => acted = true,
                _ => {
                    let mark = Mark { tested: "Tt".contains(c), acted: std::mem::take(&mut acted) };
                    shown.push(mark, std::iter::once(if "#T".contains(c) { 1.0 } else { 0.0 }));
                }
            }
        }
        shown
    }

    fn lamps(run: &str, twin: &str) -> Option<usize> {
        let (run, twin) = (lamp(run), lamp(twin));
        let mut signs = Signs::from(1, vec![run.at(0, 0)]);
        let early = signs.clone().judge(&run, &twin, &[TWO_STATES], false);
        let late = signs.judge(&run, &twin, &[TWO_STATES], true).map(|(second, _)| second);
        if let Some((second, _)) = early {
            assert_eq!(Some(second), late, "what was judged early stands");
        }
        late
    }

    fn gauges(run: impl Fn(f64) -> f64, twin: impl Fn(f64) -> f64, seconds: usize) -> Option<usize> {
        let drawn = |f: &dyn Fn(f64) -> f64| {
            let mut shown = Shown::default();
            for s in 0..seconds {
                shown.push(Mark::default(), std::iter::once(f(s as f64) as f32));
            }
            shown
        };
        let (run, twin) = (drawn(&run), drawn(&twin));
        let mut signs = Signs::from(1, vec![run.at(0, 0)]);
        signs.judge(&run, &twin, &[0.01], true).map(|(second, _)| second)
    }

    #[test]
    fn a_lamp_that_is_lit_a_little_sooner_or_later_is_no_sign() {
        assert_eq!(lamps("...#########", "......######"), None);
        assert_eq!(lamps("......######", "...#########"), None);
    }

    #[test]
    fn a_lamp_that_the_other_never_lights_is_a_sign_from_its_first_second() {
        assert_eq!(lamps("...#########", "............"), Some(3));
        assert_eq!(lamps("............", "...#########"), Some(3));
        assert_eq!(lamps("...#........", "............"), Some(3), "also when it went out again");
    }

    /// The same panels, each as far as its first seconds.
    fn first(of: &Shown, seconds: usize) -> Shown {
        Shown { values: of.values[..seconds * of.width].to_vec(), width: of.width, marks: of.marks[..seconds].to_vec() }
    }

    /// On which second it becomes known that there is a sign, and what it is; `None` for a second that has to wait
    /// for the end of the run.
    fn second_by_second(run: &Shown, twin: &Shown, within: &[f32]) -> (Option<usize>, Option<(usize, usize)>) {
        let agreed = (0..within.len()).map(|i| run.at(0, i)).collect();
        let mut signs = Signs::from(1, agreed);
        for known in 1..=run.seconds() {
            if let Some(sign) = signs.judge(&first(run, known), &first(twin, known), within, false) {
                return (Some(known - 1), Some(sign));
            }
        }
        (None, signs.judge(run, twin, within, true))
    }

    #[test]
    fn a_judgement_waits_for_no_second_that_could_not_change_it() {
        let known = |run: &str, twin: &str| second_by_second(&lamp(run), &lamp(twin), &[TWO_STATES]);
        let (lit, dark) = ("#".repeat(100), ".".repeat(100));
        assert_eq!(known(&format!("...{lit}"), &format!("...{dark}")), (Some(3 + TIMING), Some((3, 0))));
        // Somebody acts five seconds later: from then on it would not have followed by itself.
        assert_eq!(known(&format!("...#####!{lit}"), &format!("...{dark}#####")), (Some(8), Some((3, 0))));
        assert_eq!(known(&format!("..TT{lit}"), &format!("..tT{dark}")), (Some(2), Some((2, 0))));
    }

    #[test]
    fn what_is_judged_second_by_second_is_what_is_judged_at_the_end() {
        // A lamp and two gauges that wander, lag and are worked on at random.
        let mut random = base::random::Stream::new(7, "signs");
        let within = [TWO_STATES, 0.01, 0.01];
        let (mut early, mut never) = (0, 0);
        for _ in 0..300 {
            let (mut run, mut twin) = (Shown::default(), Shown::default());
            let lag = (random.unit() * 90.0) as usize;
            let (busy, tests) = (random.unit() * 0.05, random.unit() * 0.01);
            let mut past: Vec<[f32; 3]> = vec![[0.0, 0.5, 0.5]];
            for _ in 0..400 {
                let mut row = past[past.len() - 1];
                row[0] = if random.unit() < 0.02 { 1.0 - row[0] } else { row[0] };
                row[1] += if random.unit() < 0.3 { (random.unit() as f32 - 0.5) * 0.02 } else { 0.0 };
                past.push(row);
                let mark = Mark { tested: random.unit() < tests, acted: random.unit() < busy };
                let mut behind = past[past.len().saturating_sub(1 + lag)];
                behind[2] += if random.unit() < 0.001 { 0.02 } else { 0.0 };
                run.push(mark, row.into_iter());
                twin.push(mark, behind.into_iter());
            }
            let agreed = (0..within.len()).map(|i| run.at(0, i)).collect();
            let at_end = Signs::from(1, agreed).judge(&run, &twin, &within, true);
            let (known, sign) = second_by_second(&run, &twin, &within);
            assert_eq!(sign, at_end);
            early += usize::from(known.zip(sign).is_some_and(|(known, (second, _))| known < second + TIMING));
            never += usize::from(sign.is_none());
        }
        assert!(early > 30 && never > 3, "runs of all sorts: {early} known early, {never} without a sign");
    }

    #[test]
    fn a_minute_is_too_long_to_be_timing() {
        let late = |by: usize| lamps(&format!("..{}#", "#".repeat(by)), &format!("..{}#", ".".repeat(by)));
        assert_eq!(late(TIMING), None);
        assert_eq!(late(TIMING + 1), Some(2));
    }

    #[test]
    fn what_follows_only_after_the_trainee_acted_did_not_follow_by_itself() {
        assert_eq!(lamps("...#########", "......!######"), None, "the mark of the run counts");
        assert_eq!(lamps("...###!######", "......######"), Some(3));
    }

    #[test]
    fn in_a_lamp_test_every_difference_is_a_sign_and_it_makes_nothing_ordinary() {
        assert_eq!(lamps("...ttt......", "...TTT......"), Some(3));
        assert_eq!(lamps("..###TT#####", ".....TT....."), Some(2), "the twin's lamp was lit by the test alone");
    }

    #[test]
    fn a_lamp_that_comes_and_goes_by_itself_is_no_sign() {
        let on_and_off = |n: usize| ".".repeat(100).to_owned() + &("#".repeat(100) + &".".repeat(100)).repeat(n);
        let tail = ("#".repeat(200), ".".repeat(200));
        assert_eq!(lamps(&(on_and_off(2) + &tail.0), &(on_and_off(2) + &tail.1)), None);
        assert_eq!(lamps(&(on_and_off(1) + &tail.0), &(on_and_off(1) + &tail.1)), Some(300));
    }

    #[test]
    fn a_gauge_that_leaves_or_stays_behind_is_a_sign_and_one_that_is_early_is_not() {
        let ramp = |s: f64| 0.001 * s;
        assert_eq!(gauges(|s| 0.5 - 0.001 * s, |_| 0.5, 200), Some(11), "it falls and the other stands");
        assert_eq!(gauges(|_| 0.0, ramp, 200), Some(11), "it is frozen and the other rises");
        // Twice as fast until it is so far ahead.
        let ahead = |by: f64| gauges(move |s| ramp(s + s.min(by)), |s| ramp(s.min(400.0)), 400);
        assert_eq!(ahead(30.0).filter(|s| *s < 350), None, "half a minute");
        assert_eq!(ahead(90.0), Some(71), "a minute and a half: a minute, and the ten seconds that nobody reads off");
    }

    #[test]
    fn a_level_that_was_there_before_is_a_sign_all_the_same() {
        // Up, down and up again under somebody's hand, and then one goes on falling.
        let hand = |s: f64| match s {
            s if s < 300.0 => 0.2 + 0.001 * s,
            s if s < 500.0 => 0.5 - 0.001 * (s - 300.0),
            s if s < 800.0 => 0.3 + 0.001 * (s - 500.0),
            _ => 0.6,
        };
        let falls = |s: f64| if s < 1000.0 { hand(s) } else { 0.6 - 0.001 * (s - 1000.0) };
        assert!(matches!(gauges(falls, hand, 1500), Some(1010 | 1011)), "once it is off by the part that nobody reads");
    }

    #[test]
    fn a_receiver_that_fills_at_other_times_is_no_sign_but_one_that_empties_is() {
        // A saw between a quarter and three quarters of the scale, in ten minutes.
        let saw = |s: f64| 0.25 + 0.5 * ((s / 600.0) - (s / 600.0).floor());
        assert_eq!(gauges(saw, saw, 4000), None);
        let drifting = |s: f64| saw(s * 1.03);
        assert_eq!(gauges(drifting, saw, 6000), None, "a minute off after 33 minutes");
        let soon = |s: f64| saw(s * 1.12);
        assert!(gauges(soon, saw, 6000).is_some(), "a minute off in the first cycle: nobody knew yet what is ordinary");
        let emptying = |s: f64| if s < 2000.0 { saw(s) } else { saw(2000.0) - 0.001 * (s - 2000.0) };
        assert!(gauges(emptying, saw, 4000).is_some_and(|s| (2000..2500).contains(&s)));
    }
}
