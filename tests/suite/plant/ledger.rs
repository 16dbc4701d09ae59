//! Mass and energy of the whole plant close, by a ledger that shares nothing with the plant's solvers.

use super::hand::{Hand, in_state};
use super::inventory::Inventory;
use plant::Plant;
use plant::ledger::{Crossings, Store};
use replay::{Driver, Pack};
use std::path::{Path, PathBuf};

/// Of the larger of throughput and inventory. Ten times closer than the plant promises, since the sea water that
/// runs through makes the throughput large; what it keeps in fact is about 1e-10.
pub const CLOSES: f64 = 1e-7;

/// What a plant holds and what crossed, at the beginning.
#[derive(Clone)]
pub struct Account {
    held: Inventory,
    crossed: Crossings,
}

/// By how much an account does not close, as a part of the larger of throughput and inventory.
#[derive(Clone, Copy, Debug)]
pub struct Gap {
    pub water: f64,
    pub steam_air: f64,
    pub control_air: f64,
    pub other_liquids: f64,
    pub energy: f64,
}

impl Gap {
    pub fn greatest(&self) -> f64 {
        let all = [self.water, self.steam_air, self.control_air, self.other_liquids, self.energy];
        if all.iter().any(|x| x.is_nan()) { f64::NAN } else { all.iter().fold(0.0, |m, x| m.max(x.abs())) }
    }

    pub fn closes(&self) -> bool {
        self.greatest() <= CLOSES
    }
}

impl Account {
    pub fn open(plant: &Plant) -> Account {
        Account::of(&plant.stores(), plant.crossings())
    }

    pub fn of(stores: &[Store], crossed: Crossings) -> Account {
        Account { held: Inventory::of(stores), crossed }
    }

    pub fn close(&self, plant: &Plant) -> Gap {
        self.close_with(&plant.stores(), &plant.crossings())
    }

    pub fn close_with(&self, stores: &[Store], crossed: &Crossings) -> Gap {
        let (a, b) = (&self.held, Inventory::of(stores));
        let gap = |held: (f64, f64), came: (f64, f64), scale: f64| {
            let scale = scale.max(held.0.abs()).max(held.1.abs());
            ((held.1 - held.0) - (came.1 - came.0)) / scale
        };
        let was = &self.crossed;
        let volume: f64 = stores.iter().map(|s| if let Store::Vessel { volume, .. } = s { *volume } else { 0.0 }).sum();
        Gap {
            water: gap((a.water, b.water), (was.water, crossed.water), crossed.water_through - was.water_through),
            // Beside what the steam spaces hold when they are cold; once steam has driven it out, the solver may leave a
            // trace of either sign, which no pressure tells.
            steam_air: gap((a.steam_air, b.steam_air), (was.steam_air, crossed.steam_air), 1.2 * volume),
            control_air: gap((a.control_air, b.control_air), (was.control_air, crossed.control_air), 1.0),
            other_liquids: gap((a.other_liquids, b.other_liquids), (was.other_liquids, crossed.other_liquids), 0.0),
            energy: gap(
                (a.energy, b.energy),
                (was.energy, crossed.energy),
                (crossed.energy_through - was.energy_through).max(a.energy_scale).max(b.energy_scale),
            ),
        }
    }
}

#[test]
fn mass_and_energy_close_over_the_model_run() {
    let mut h = Hand::cold();
    let account = Account::open(&h.plant);
    let look = |h: &Hand, when: &str| {
        let gap = account.close(&h.plant);
        println!("{when}: {gap:?}");
        assert!(gap.closes(), "{when}: {gap:?}\n{}", h.tell());
    };
    h.prepare();
    look(&h, "prepared");
    h.light_up(0.2);
    look(&h, "lit");
    h.raise_steam();
    look(&h, "first consumer");
    h.load();
    look(&h, "second consumer");
    h.run(600.0);
    look(&h, "ten minutes later");
    assert_eq!(h.plant.steam_effort().unconverged, 0, "the steam net's solver converged on every tick");
}

/// The model run of every pack that ships, with its faults and its story, from the state in which it begins.
#[test]
fn mass_and_energy_close_over_the_model_run_of_every_pack() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let packs = std::fs::read_dir(root).unwrap().map(|e| e.unwrap().path());
    let mut packs: Vec<PathBuf> = packs.filter(|p| p.join("model.jsonl").exists()).collect();
    packs.sort();
    assert!(packs.len() >= 3, "{packs:?}");
    for folder in packs {
        let pack = Pack::open(&folder).unwrap();
        let ready = pack.exercise(None).unwrap();
        let read = replay::read_logs(&pack, ready, &[folder.join("model.jsonl")]).remove(0).imported;
        let log = read.log.unwrap_or_else(|| panic!("{:?}", read.told));
        let mut run = Driver::new(&pack, ready, log.header.clone()).unwrap();
        let account = Account::open(run.plant());
        let mut due = log.actions.iter().peekable();
        while !run.ended() && run.now() <= log.end {
            while let Some(a) = due.next_if(|a| a.tick <= run.now()) {
                run.act(a.verb, a.on.as_ref().map(base::Tag::as_str), a.to.as_deref()).unwrap();
            }
            run.step();
            if run.now().0.is_multiple_of(10)
                && let Some(told) = super::random::nonsense(run.plant())
            {
                panic!("{} at {}: {told}", folder.display(), run.now());
            }
        }
        assert!(due.next().is_none() && run.failure().is_none(), "{}", folder.display());
        let gap = account.close(run.plant());
        println!("{} after {}: {gap:?}", folder.display(), run.now());
        assert!(gap.closes(), "{}: {gap:?}", folder.display());
    }
}

/// Water that leaks from one circuit into the other by a holed tube is in the account of both, while the hole is there and
/// when it is mended, with the flow one way and the other.
#[test]
fn a_leaking_tube_of_a_cooler_closes() {
    for (state, tag) in [("steam-up", "E-1201"), ("steam-up", "E-1202"), ("on-the-board", "E-1301")] {
        let mut h = in_state(state);
        let account = Account::open(&h.plant);
        h.fail(tag, "tube leak", true, Some(5e-4));
        h.run(300.0);
        let holed = account.close(&h.plant);
        println!("{tag} leaks: {holed:?}");
        assert!(holed.closes(), "{tag}: {holed:?}");
        let moved = h.actual("LT-1201");
        h.fail(tag, "tube leak", false, None);
        h.run(60.0);
        let mended = account.close(&h.plant);
        println!("{tag} mended: {mended:?}");
        assert!(mended.closes(), "{tag}: {mended:?}");
        // Something did go through: the header tank tells.
        let mut sound = in_state(state);
        sound.run(300.0);
        assert!((sound.actual("LT-1201") - moved).abs() > 5e-3, "{tag}: {moved}");
    }
}

/// Each error by itself is of a size that a slip in the plant would make, and the same check finds it.
#[test]
fn a_planted_error_is_found() {
    let mut h = Hand::cold();
    let account = Account::open(&h.plant);
    h.prepare();
    h.light_up(0.2);
    h.raise_steam();
    let (stores, crossed) = (h.plant.stores(), h.plant.crossings());
    assert!(account.close_with(&stores, &crossed).closes());
    let found = |what: &str, stores: &[Store], crossed: &Crossings| {
        let gap = account.close_with(stores, crossed);
        println!("{what}: {gap:?}");
        assert!(!gap.closes(), "{what} is not found: {gap:?}");
    };
    let mut c = crossed;
    c.energy *= 1.0 + 3e-6;
    found("three millionths of the energy that crossed", &stores, &c);
    c = crossed;
    c.water += 1e-6 * crossed.water_through.max(1e4);
    found("ten grams of water", &stores, &c);
    c = crossed;
    c.energy -= 2700.0 * 10.0;
    found("the enthalpy of ten grams of steam in joules", &stores, &c);
    c = crossed;
    c.control_air *= 1.0 + 3e-6;
    found("three millionths of the control air", &stores, &c);
    for k in 0..stores.len() {
        let mut doctored = stores.clone();
        let (t, error) = match &mut doctored[k] {
            Store::Vessel { t, .. } | Store::Liquid { t, .. } | Store::Heat { t, .. } | Store::Air { t, .. } => {
                (t, 2.0)
            }
            // A rotor that stands and is told to turn at speed, and a tenth of a kilowatt-hour.
            Store::Rotor { omega, .. } => (omega, 188.0),
            Store::Battery { charge } => (charge, 3.6e5),
        };
        *t += error;
        found(&format!("an error in {:?}", stores[k]), &doctored, &crossed);
    }
}
