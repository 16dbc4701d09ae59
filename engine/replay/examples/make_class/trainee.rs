//! A trainee: habits, a plan, and the few things that are done whenever they are needed.

use crate::plan::{Task, plan};
use base::random::Stream;
use replay::record::{Deed, Scene};

/// What becomes of the dark lamp.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lamp {
    /// Lamp test, then a look on the spot.
    Proves,
    /// Lamp test and no more.
    TestsOnly,
    /// Not noticed.
    Ignores,
}

/// How the burner is lit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Light {
    /// By the sequence of burner management.
    Sequence,
    /// By hand, at once, without a purge.
    NoPurge,
    /// By hand, after a "purge" through a shut damper.
    ShutDamper,
}

/// What becomes of the drum vent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Vent {
    /// Shut when steam blows.
    Proper,
    /// Never shut.
    Forgets,
}

/// What becomes of the superheater drain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drain {
    /// Open before the fire, shut after the first consumer.
    Proper,
    /// Shut as soon as there is a little pressure.
    ShutEarly,
    /// Left open.
    NeverShuts,
    /// Never opened.
    NeverOpens,
}

/// How the main line gets its steam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Drain open, valve cracked, then open.
    Warms,
    /// Valve thrown open.
    Slams,
}

/// Whether the coil gets steam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Consumer {
    /// From about 2 barg.
    Proper,
    /// Never.
    Never,
}

/// What is done when the boiler trips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AfterTrip {
    /// Purge, reset, light up, after so many seconds of thought.
    Relights(f64),
    /// Nothing.
    Nothing,
}

/// How the level is watched once steam is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Watch {
    /// By its trend.
    Trend,
    /// By its alarm.
    Alarm,
    /// Not at all.
    Nothing,
}

/// What a trainee is like.
#[derive(Clone, Copy, Debug)]
pub struct Habits {
    /// How slow: 1 a quick hand.
    pub pace: f64,
    pub cools_compressor: bool,
    pub temperature_on_automatic: bool,
    /// Where filling is stopped, m from normal water level.
    pub fill_to: f64,
    pub reads_glass: bool,
    pub lamp: Lamp,
    pub reports: bool,
    pub light: Light,
    /// Firing rate while steam is raised, %.
    pub firing: u32,
    pub vent: Vent,
    pub drain: Drain,
    pub line: Line,
    pub consumer: Consumer,
    pub after_trip: AfterTrip,
    pub watch: Watch,
    pub acknowledges: bool,
    /// Does nothing from this minute on; 0: before the fire.
    pub gives_up: Option<u32>,
}

impl Habits {
    /// Everything as the book has it.
    pub const GOOD: Habits = Habits {
        pace: 1.0,
        cools_compressor: true,
        temperature_on_automatic: true,
        fill_to: -0.075,
        reads_glass: true,
        lamp: Lamp::Proves,
        reports: true,
        light: Light::Sequence,
        firing: 22,
        vent: Vent::Proper,
        drain: Drain::Proper,
        line: Line::Warms,
        consumer: Consumer::Proper,
        after_trip: AfterTrip::Relights(15.0),
        watch: Watch::Trend,
        acknowledges: true,
        gives_up: None,
    };
}

/// Where a trainee is in bringing the boiler back.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Back {
    No,
    Thinking(f64),
    Purging,
    Lighting(f64),
}

/// A trainee at the panel.
pub struct Trainee {
    habits: Habits,
    chance: Stream,
    tasks: Vec<Task>,
    next: usize,
    /// When the present task was first looked at, and when it will be done once it can be (s).
    since: f64,
    due: Option<f64>,
    acknowledge_at: Option<f64>,
    back: Back,
    /// Highest level seen since steam was used, m; when it was found to fall; feed by the by-pass.
    highest: f64,
    falls: Option<f64>,
    by_pass: u32,
    told: u32,
    next_trim: f64,
    /// What is done about a hot compressor, and when next.
    hot: Option<(u32, f64)>,
}

impl Trainee {
    /// A trainee with habits; chance comes from the seed.
    pub fn new(habits: Habits, seed: u64) -> Trainee {
        Trainee {
            habits,
            chance: Stream::new(seed, "trainee"),
            tasks: plan(&habits),
            next: 0,
            since: 0.0,
            due: None,
            acknowledge_at: None,
            back: Back::No,
            highest: f64::NEG_INFINITY,
            falls: None,
            by_pass: 0,
            told: 0,
            next_trim: 0.0,
            hot: None,
        }
    }

    /// A human delay about `mean` seconds of a quick hand.
    fn delay(&mut self, mean: f64) -> f64 {
        mean * self.habits.pace * base::maths::exp(0.35 * self.chance.normal())
    }

    /// Looks at the panel, and does what is due.
    pub fn look(&mut self, scene: &Scene<'_>) -> Vec<Deed> {
        let now = scene.now().seconds();
        if self.habits.gives_up.is_some_and(|m| m > 0 && now > 60.0 * f64::from(m)) {
            return vec![];
        }
        let mut deeds = vec![];
        self.alarms(scene, now, &mut deeds);
        self.trip(scene, now, &mut deeds);
        self.level(scene, now, &mut deeds);
        self.compressor(scene, now, &mut deeds);
        if self.back == Back::No {
            self.work(scene, now, &mut deeds);
        }
        deeds
    }

    fn work(&mut self, scene: &Scene<'_>, now: f64, deeds: &mut Vec<Deed>) {
        let Some(task) = self.tasks.get(self.next) else { return };
        match self.due {
            None => {
                if task.when.come(scene, now - self.since) {
                    let think = task.think;
                    self.due = Some(now + self.delay(think));
                }
            }
            Some(at) if now >= at => {
                deeds.extend(task.deeds.iter().cloned());
                self.next += 1;
                self.since = now;
                self.due = None;
            }
            Some(_) => {}
        }
    }

    fn alarms(&mut self, scene: &Scene<'_>, now: f64, deeds: &mut Vec<Deed>) {
        if !self.habits.acknowledges || !scene.waits() {
            self.acknowledge_at = None;
            return;
        }
        match self.acknowledge_at {
            None => {
                let wait = self.delay(9.0).min(90.0);
                self.acknowledge_at = Some(now + wait);
            }
            Some(at) if now >= at => {
                deeds.push(Deed::acknowledge());
                self.acknowledge_at = None;
            }
            Some(_) => {}
        }
    }

    /// Whoever answers alarms finds out what a hot compressor lacks, a while too late.
    fn compressor(&mut self, scene: &Scene<'_>, now: f64, deeds: &mut Vec<Deed>) {
        match self.hot {
            None if self.habits.acknowledges && scene.alarm("XA-1402") == Some(true) => {
                self.hot = Some((0, now + self.delay(90.0)));
            }
            Some((0, at)) if now >= at => {
                deeds.push(Deed::operate("XV-1211", "open"));
                self.hot = Some((1, now + 360.0));
            }
            Some((1, at)) if now >= at => {
                deeds.push(Deed::operate("K-1401", "reset"));
                deeds.push(Deed::operate("K-1401", "automatic"));
                self.hot = Some((2, now));
            }
            _ => {}
        }
    }

    fn trip(&mut self, scene: &Scene<'_>, now: f64, deeds: &mut Vec<Deed>) {
        // By the alarm: every lamp is lit in a lamp test.
        let tripped = scene.alarm("XA-2004") == Some(true);
        let AfterTrip::Relights(thought) = self.habits.after_trip else {
            self.back = if tripped { Back::Thinking(f64::INFINITY) } else { Back::No };
            return;
        };
        match self.back {
            Back::No if tripped => {
                // How long somebody thinks is the habit; only the rest of it is chance.
                let rest = self.delay(0.25 * thought);
                self.back = Back::Thinking(now + 0.75 * thought + rest);
            }
            Back::Thinking(at) if now >= at => {
                // In automatic the fan purges by itself; from manual the sequence is taken.
                if scene.word("HS-2001") == Some("manual") {
                    deeds.push(Deed::operate("HS-2001", "automatic"));
                }
                self.back = Back::Purging;
            }
            Back::Purging if scene.lit("BL-2003") == Some(true) => {
                deeds.push(Deed::operate("HS-2004", "reset"));
                let wait = self.delay(5.0);
                self.back = Back::Lighting(now + wait);
            }
            Back::Lighting(at) if now >= at => {
                if tripped {
                    self.back = Back::Purging;
                } else {
                    deeds.push(Deed::operate("HS-2002", "start"));
                    self.back = Back::No;
                    self.since = now;
                }
            }
            _ => {}
        }
    }

    /// Once steam is used: feed by hand through the by-pass when the level falls and feed does not come.
    fn level(&mut self, scene: &Scene<'_>, now: f64, deeds: &mut Vec<Deed>) {
        let used = scene.lit("XL-2103") == Some(true) || self.by_pass > 0;
        let (Some(level), Some(feed)) = (scene.shown("LT-2001"), scene.shown("FT-3001")) else { return };
        if !used || self.habits.watch == Watch::Nothing {
            return;
        }
        self.highest = self.highest.max(level);
        let noticed = match self.habits.watch {
            Watch::Trend => level < self.highest - 0.07 && feed < 0.1,
            Watch::Alarm => scene.alarm("XA-2001") == Some(true),
            Watch::Nothing => false,
        };
        match self.falls {
            None if noticed => self.falls = Some(now + self.delay(20.0)),
            Some(at) if now >= at => {
                if self.told == 0 {
                    deeds.push(Deed::local_check("LCV-3001"));
                    self.told = 1;
                    self.by_pass = 45;
                    deeds.push(Deed::operate("LCV-3002", "45 % open"));
                    self.next_trim = now + 25.0;
                } else if self.told == 1 && now >= self.next_trim {
                    if self.habits.reports {
                        deeds.push(Deed::report("LCV-3001", "the feed valve does not answer, feeding by the by-pass"));
                    }
                    self.told = 2;
                } else if now >= self.next_trim {
                    // By hand, in steps, about normal level.
                    let wanted = if level > 0.08 {
                        5
                    } else if level > 0.0 {
                        25
                    } else if level > -0.06 {
                        45
                    } else {
                        75
                    };
                    if wanted != self.by_pass {
                        self.by_pass = wanted;
                        deeds.push(Deed::operate("LCV-3002", &format!("{wanted} % open")));
                    }
                    self.next_trim = now + self.delay(25.0);
                }
            }
            _ => {}
        }
    }
}
