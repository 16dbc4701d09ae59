//! The drum with its risers and downcomers: where the water stands and where the steam is in it.
//!
//! Mass and energy are conserved by the vessel that holds the whole contents of drum, risers and
//! downcomers; its equilibrium gives pressure, temperature and water volume, which is exactly what the
//! first two equations of Åström and Bell integrate. Quality at the riser outlet and bubble volume below
//! the level ride on top ([`super::circulation`]), advanced over the tick by Heun's method (second order)
//! with the slope of saturation pressure of the tick.
//!
//! Hand-overs, each continuous:
//!
//! | contents | what holds |
//! | --- | --- |
//! | sub-cooled water, air or steam above | no boiling, no circulation; steam in risers and bubbles decay; level from the water alone |
//! | onset | the part of the heat that boils, and of the flashing, grows from 0 to 1 as the water comes within `onset` kelvin of saturation at the total pressure |
//! | saturated | the equations as published |
//! | fire out, pressure rising | quality and bubbles fall to zero (shrink) and stay there: below zero the equations mean nothing |
//! | liquid-full | no gas, so no bubbles; level at the top |
//! | swollen to the top | bubbles fill what room there is; the rest leaves with the steam, which carries water |
//! | water below the drum | downcomers uncover and circulation fades over `uncover` m3; water stands equally high in risers and downcomers, with at most `FROTH` of steam in it; the risers above are bare |
//! | quality from `DRY_FROM` to `DRY_OUT` | the tops of the risers run dry; more steam than that they do not hold |
//! | dry, empty | nothing is wetted |
//!
//! Steam volume below the level without condensation, Vb0: fixed, as published; or, since a drum without
//! steam flow has no bubbles, by drift flux (own extension): `a = j/(C0 j + vr)`, `Vb0 = a/(1-a) Vwd`, j the
//! volume flow of steam from the risers over the free surface (Zuber and Findlay, J. Heat Transfer 87 (1965)
//! 453; C0 = 1.2 and about 0.25 m/s of rise from memory).

pub use super::carry_over::CarryOver;
use super::circulation::{CirculationParams, Drive, Line, Now, downcomer_flow, rates, void};
use super::level::{DrumShape, Stand};
use super::shell::{Shell, ShellMeets};
use super::tubes::Tubes;
use crate::vessel::{Equilibrium, Regime};
use crate::water::{self, Saturation, line_at_t};

/// Quality at the riser outlet from which the tops of the risers run dry, the most it can be, and the part
/// of the heating surface that is dry then: own choice.
const DRY_FROM: f64 = 0.6;
const DRY_OUT: f64 = 0.9;
const DRY_TOP: f64 = 0.1;
/// Most mean void of risers that boil without circulation: own choice.
const FROTH: f64 = 0.6;

/// How the bubble volume without condensation is found; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bubbles {
    /// A volume, m3.
    Fixed(f64),
    /// By drift flux.
    Drift {
        /// Distribution parameter C0.
        distribution: f64,
        /// Velocity of rise vr, m/s.
        rise: f64,
    },
}

/// Figures of a drum; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrumParams {
    /// Shape and size.
    pub shape: DrumShape,
    /// Normal water level above the bottom, m.
    pub normal_level: f64,
    /// Risers and downcomers.
    pub circulation: CirculationParams,
    /// Bubbles below the level.
    pub bubbles: Bubbles,
    /// Sub-cooling at which boiling sets in, K.
    pub onset: f64,
    /// Drum water over which the downcomers uncover, m3.
    pub uncover: f64,
    /// Exchange of risers that boil without circulation, kg/s.
    pub pool_exchange: f64,
    /// Water in the steam.
    pub carry_over: CarryOver,
    /// Height of the feed pipe from normal water level, m.
    pub feed_pipe: f64,
}

impl DrumParams {
    /// Volume of drum, risers and downcomers: the vessel's, m3.
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.shape.volume() + self.circulation.riser_volume + self.circulation.downcomer_volume
    }
}

/// What flowed in the tick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DrumFlows {
    /// Heat from the riser tubes to the contents, W.
    pub heat: f64,
    /// Feed, kg/s.
    pub feed: f64,
    /// Enthalpy of the feed, J/kg.
    pub feed_enthalpy: f64,
    /// Steam that left, kg/s.
    pub steam: f64,
}

/// What the drum is doing, for people and tests.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrumState {
    /// No water at all, or steam only.
    Dry,
    /// Water stands in risers and downcomers only.
    BelowDrum,
    /// Water that does not boil.
    SubCooled,
    /// Boiling and circulating, or ready to.
    Boiling,
    /// No gas space.
    LiquidFull,
}

base::kept!(enum DrumState { 0 Dry, 1 BelowDrum, 2 SubCooled, 3 Boiling, 4 LiquidFull });

/// The drum.
#[derive(Clone, Debug, PartialEq)]
pub struct Drum {
    params: DrumParams,
    /// Thick metal of the shell; without it all metal follows the contents.
    pub shell: Option<Shell>,
    /// Hot side of the risers; without it they are never bare.
    pub tubes: Option<Tubes>,
    line: Line,
    water: f64,
    temperature: f64,
    quality: f64,
    bubbles: f64,
    boiling: f64,
    state: DrumState,
    void: f64,
    flow: f64,
    wetted: f64,
    swollen: Stand,
    collapsed: Stand,
    moisture: f64,
    /// Times more drops than clean water gives: salt makes the water foam.
    foaming: f64,
    densities: (f64, f64),
    mixture: f64,
    steam_part: f64,
    feed: (f64, f64),
}

base::kept!(Drum { shell, tubes, line, water, temperature, quality, bubbles, boiling, state, void, flow, wetted,
    swollen, collapsed, moisture, foaming, densities, mixture, steam_part, feed }
    fixed { params });

impl Drum {
    /// A drum at rest with these contents.
    #[must_use]
    pub fn new(params: DrumParams, contents: &Equilibrium) -> Drum {
        let mut drum = Drum {
            params,
            shell: None,
            tubes: None,
            line: Line::new(&line_at(contents)),
            water: contents.liquid_volume,
            temperature: contents.t,
            quality: 0.0,
            bubbles: 0.0,
            boiling: 0.0,
            state: DrumState::SubCooled,
            void: 0.0,
            flow: 0.0,
            wetted: 1.0,
            swollen: Stand::default(),
            collapsed: Stand::default(),
            moisture: 0.0,
            foaming: 1.0,
            densities: (0.0, 0.0),
            mixture: 0.0,
            steam_part: 0.0,
            feed: (0.0, contents.t),
        };
        drum.boiling = drum.onset(contents, &line_at(contents));
        drum.settle(contents, 0.0);
        drum
    }

    /// The same with its steam distributed as it settles under a steady fire: heat from the risers and
    /// feed as given, nothing changing. For prepared states.
    #[must_use]
    pub fn settled(mut self, flows: &DrumFlows, contents: &Equilibrium) -> Drum {
        let c = self.params.circulation;
        let line = self.line;
        let r = line.hs - line.hw;
        let carried = |x: f64| x * r * downcomer_flow(&c, void(x, &line).mean, &line);
        let (mut low, mut high) = (0.0, DRY_OUT);
        for _ in 0..60 {
            let mid = 0.5 * (low + high);
            if carried(mid) < flows.heat * self.boiling { low = mid } else { high = mid }
        }
        self.quality = low;
        let y = void(low, &line).mean;
        let steam = low * downcomer_flow(&c, y, &line);
        let drum_water = self.drum_water(self.water, y).max(0.0);
        let condensed = (line.hw - flows.feed_enthalpy).max(0.0) / r * flows.feed;
        // The surface of the drift flux is the swollen one: three rounds bring it to rest.
        for _ in 0..3 {
            let wanted = self.bubbles_wanted(&line, steam, drum_water);
            self.bubbles = (wanted - c.residence * condensed / line.rs).max(0.0);
            self.settle(contents, flows.steam);
        }
        self
    }

    /// Before the contents are stepped: passes the heat of the gas side, W, through the tubes and lets
    /// the shell exchange. Returns the heat to the contents from the risers and from the shell, W.
    pub fn warm(&mut self, dt: f64, riser_heat: f64, ambient: f64) -> (f64, f64) {
        let risers = match &mut self.tubes {
            Some(t) => t.step(dt, riser_heat, self.wetted, self.temperature),
            None => riser_heat,
        };
        let below_pipe = self.swollen.height < self.params.normal_level + self.params.feed_pipe;
        let meets = ShellMeets {
            contents: self.temperature,
            wetted: self.swollen.wetted,
            boiling: self.boiling,
            steam_part: self.steam_part,
            falling_feed: if below_pipe { self.feed.0.max(0.0) } else { 0.0 },
            feed_temperature: self.feed.1,
            ambient,
        };
        let shell = self.shell.as_mut().map_or(0.0, |s| s.step(dt, &meets));
        (risers, shell)
    }

    /// After the contents were stepped over the tick: distributes the steam and finds the levels.
    pub fn distribute(&mut self, dt: f64, contents: &Equilibrium, flows: &DrumFlows) {
        let before = self.line;
        let water_before = self.water;
        let saturation = line_at(contents);
        self.line = Line::new(&saturation);
        self.water = contents.liquid_volume;
        self.temperature = contents.t;
        self.boiling = self.onset(contents, &saturation);
        self.feed = (flows.feed, feed_temperature(flows, contents.t));
        let circulates = self.circulates(void(self.quality, &self.line).mean);
        let drive = Drive {
            dp: self.boiling * (self.line.p - before.p) / dt,
            heat: self.boiling * flows.heat,
            feed: flows.feed.max(0.0),
            feed_enthalpy: flows.feed_enthalpy,
            missing: 1.0 - circulates,
            pool: self.params.pool_exchange,
        };
        let start = (self.quality, self.bubbles);
        let a = self.slope(&before, &drive, start, water_before);
        let guess = ((start.0 + dt * a.0).clamp(0.0, DRY_OUT), (start.1 + dt * a.1).clamp(0.0, f64::INFINITY));
        let line = self.line;
        let b = self.slope(&line, &drive, guess, self.water);
        self.quality = (start.0 + 0.5 * dt * (a.0 + b.0)).clamp(0.0, DRY_OUT);
        self.bubbles = (start.1 + 0.5 * dt * (a.1 + b.1)).clamp(0.0, f64::INFINITY);
        // Traces that decay for ever are nothing.
        if self.quality < 1e-12 {
            self.quality = 0.0;
        }
        if self.bubbles < 1e-12 {
            self.bubbles = 0.0;
        }
        self.settle(contents, flows.steam);
    }

    fn slope(&self, line: &Line, drive: &Drive, (x, bubbles): (f64, f64), water: f64) -> (f64, f64) {
        let c = &self.params.circulation;
        let y = void(x, line);
        let flow = (1.0 - drive.missing) * downcomer_flow(c, y.mean, line);
        let drum_water = self.drum_water(water, y.mean).max(0.0);
        let wanted = self.bubbles_wanted(line, x * flow, drum_water);
        let now = Now { x, bubbles, void: y, flow, bubbles_wanted: wanted, drum_water };
        rates(c, line, drive, &now)
    }

    /// Vb0, m3, with `steam` kg/s from the risers.
    fn bubbles_wanted(&self, line: &Line, steam: f64, drum_water: f64) -> f64 {
        match self.params.bubbles {
            Bubbles::Fixed(v) => v,
            Bubbles::Drift { distribution, rise } => {
                // Near top and bottom of a lying cylinder the surface goes to nothing; what matters is the
                // section that the steam rises through.
                let section = self.swollen.surface.max(drum_water / self.params.shape.height());
                if section > 0.0 {
                    let j = steam / (line.rs * section);
                    let a = j / (distribution * j + rise);
                    a / (1.0 - a) * drum_water
                } else {
                    0.0
                }
            }
        }
    }

    /// Water in the drum itself when the rest is full at this void; negative when it is not full.
    fn drum_water(&self, water: f64, void: f64) -> f64 {
        let c = &self.params.circulation;
        water - c.downcomer_volume - (1.0 - void) * c.riser_volume
    }

    /// Part of the natural circulation that is there: it fades as the water falls to what fills the
    /// downcomers and frothing risers. A drum that is told no such volume circulates always.
    fn circulates(&self, void: f64) -> f64 {
        let uncover = self.params.uncover;
        if uncover > 0.0 { (self.drum_water(self.water, void.min(FROTH)) / uncover).clamp(0.0, 1.0) } else { 1.0 }
    }

    /// Part of the heat that boils: 1 at saturation, 0 when further from it than `onset`.
    fn onset(&self, e: &Equilibrium, s: &Saturation) -> f64 {
        if e.regime == Regime::Dry || e.regime == Regime::Empty {
            return 0.0;
        }
        // Sub-cooling below saturation at the total pressure, along the tangent of the line.
        let sub_cooled = (e.p - s.p) / s.dp_dt;
        (1.0 - sub_cooled / self.params.onset).clamp(0.0, 1.0)
    }

    /// Levels, wetted parts and what leaves with the steam, from contents and distribution.
    fn settle(&mut self, e: &Equilibrium, steam: f64) {
        let c = self.params.circulation;
        let shape = self.params.shape;
        let gas = e.gas_volume;
        // Risers cannot hold more steam than there is.
        let most = if c.riser_volume > 0.0 { (gas / c.riser_volume).min(1.0) } else { 0.0 };
        let free = void(self.quality, &self.line).mean;
        let circulates = self.circulates(free);
        self.void = (circulates * free + (1.0 - circulates) * free.min(FROTH)).min(most);
        let drum_water = self.drum_water(self.water, self.void);
        let held = c.downcomer_volume + (1.0 - self.void) * c.riser_volume;
        self.wetted = if self.water >= held { 1.0 } else { self.water / held };
        self.wetted *= 1.0 - DRY_TOP * ((self.quality - DRY_FROM) / (DRY_OUT - DRY_FROM)).clamp(0.0, 1.0);
        let room = (gas - self.void * c.riser_volume).max(0.0);
        self.bubbles = self.bubbles.clamp(0.0, room);
        let water = drum_water.max(0.0);
        if water == 0.0 {
            self.bubbles = 0.0;
        }
        self.collapsed = shape.stand(water);
        self.swollen = shape.stand(water + self.bubbles);
        self.flow = circulates * downcomer_flow(&c, self.void, &self.line);
        self.state = match e.regime {
            Regime::Dry | Regime::Empty => DrumState::Dry,
            Regime::LiquidFull => DrumState::LiquidFull,
            Regime::Wet if drum_water < 0.0 => DrumState::BelowDrum,
            Regime::Wet if self.boiling > 0.0 => DrumState::Boiling,
            Regime::Wet => DrumState::SubCooled,
        };
        self.steam_part = if e.regime == Regime::Wet && e.p > 0.0 { (e.p_steam / e.p).min(1.0) } else { 0.0 };
        let liquid = if e.v_l > 0.0 { 1.0 / e.v_l } else { 0.0 };
        self.densities = (liquid, e.gas_density);
        self.mixture = if water + self.bubbles > 0.0 {
            (water * liquid + self.bubbles * e.gas_density) / (water + self.bubbles)
        } else {
            0.0
        };
        self.moisture = self.carried(steam);
    }

    fn carried(&self, steam: f64) -> f64 {
        if self.state == DrumState::LiquidFull {
            return 1.0;
        }
        if self.swollen.height <= 0.0 || steam <= 0.0 {
            return 0.0;
        }
        let volume = self.drum_water(self.water, self.void).max(0.0) + self.bubbles;
        // A lying cylinder has no surface at its very top; a thousandth of its volume stands for it.
        let section = self.swollen.surface.max(1e-3 * self.params.shape.volume());
        let velocity = steam / (self.densities.1 * section);
        let height = self.params.shape.height() - self.swollen.height;
        let water = 1.0 - self.bubbles * self.densities.1 / (self.mixture * volume);
        let clean = self.params.carry_over.moisture(velocity, height, water);
        if self.foaming > 1.0 { (clean * self.foaming).min(water.max(clean)) } else { clean }
    }

    /// Tells how salty its water is (kg/kg): beyond the limit for such boilers it foams, and steam takes more water
    /// along. Twice the drops at 3.5 g/kg, five times at 7 g/kg; the limit is that of the ABMA for dissolved solids
    /// up to 20 bar (from memory), the square is own choice.
    pub fn set_salt(&mut self, salt: f64) {
        let over = salt / 3.5e-3;
        self.foaming = 1.0 + over * over;
    }

    /// Level as it stands, swollen with bubbles, m from normal water level.
    #[must_use]
    pub fn level(&self) -> f64 {
        self.swollen.height - self.params.normal_level
    }

    /// Level of the water alone, m from normal water level.
    #[must_use]
    pub fn collapsed_level(&self) -> f64 {
        self.collapsed.height - self.params.normal_level
    }

    /// Mass of the column in the drum between two tappings (m from normal water level), kg/m2: what a
    /// differential-pressure transmitter and a gauge glass weigh.
    #[must_use]
    pub fn column(&self, low: f64, high: f64) -> f64 {
        let wet = (self.level().min(high) - low).max(0.0);
        wet * self.mixture + (high - low - wet) * self.densities.1
    }

    /// Where the water stands in a gauge glass between two tappings, m from normal water level: the column
    /// of its own, cooler, bubble-free water that balances the drum. Its temperature lies half way
    /// between the drum's and the ambient (own choice). Water above the upper tapping runs into the glass
    /// and fills it. A plugged glass is the instrument's affair.
    #[must_use]
    pub fn gauge_glass(&self, low: f64, high: f64, ambient: f64) -> f64 {
        if self.level() >= high {
            return high;
        }
        let glass = line_at_t((0.5 * (self.temperature + ambient)).min(water::T_MAX_LIQUID)).rho_l();
        let gas = self.densities.1;
        let height = (self.column(low, high) - gas * (high - low)) / (glass - gas);
        // The glass ends at its tappings.
        low + height.clamp(0.0, high - low)
    }

    /// Riser wall that the furnace sees, K.
    #[must_use]
    pub fn riser_wall(&self) -> f64 {
        let hot = self.tubes.as_ref().map_or(self.temperature, Tubes::temperature);
        self.wetted * self.temperature + (1.0 - self.wetted) * hot
    }

    /// Water in a kilogram of what leaves by the steam outlet, 0 dry to 1 water.
    #[must_use]
    pub fn moisture(&self) -> f64 {
        self.moisture
    }

    /// Steam quality at the riser outlet, kg/kg.
    #[must_use]
    pub fn quality(&self) -> f64 {
        self.quality
    }

    /// Steam below the level in the drum, m3.
    #[must_use]
    pub fn bubbles(&self) -> f64 {
        self.bubbles
    }

    /// Mean void of the risers.
    #[must_use]
    pub fn void(&self) -> f64 {
        self.void
    }

    /// Flow down the downcomers, kg/s.
    #[must_use]
    pub fn downcomer_flow(&self) -> f64 {
        self.flow
    }

    /// Part of the heating surface that water wets.
    #[must_use]
    pub fn wetted(&self) -> f64 {
        self.wetted
    }

    /// How far the contents boil, 0 to 1.
    #[must_use]
    pub fn boiling(&self) -> f64 {
        self.boiling
    }

    /// What it is doing.
    #[must_use]
    pub fn state(&self) -> DrumState {
        self.state
    }

    /// Temperature of the contents at the end of the last tick, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.temperature
    }

    /// The numbers of its state by name, for whoever looks for one that is not finite.
    #[must_use]
    pub fn numbers(&self) -> [(&'static str, f64); 6] {
        [
            ("steam quality of the risers", self.quality),
            ("steam volume below the drum level", self.bubbles),
            ("drum level", self.swollen.height),
            ("water in the drum's steam", self.moisture),
            ("temperature of the riser tubes", self.riser_wall()),
            ("temperature of the drum shell", self.shell.as_ref().map_or(0.0, |s| s.inner() + s.outer())),
        ]
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &DrumParams {
        &self.params
    }
}

/// The saturation line at the contents' temperature. Above the range of the liquid there is no liquid, and
/// nothing that is read from the line matters.
fn line_at(contents: &Equilibrium) -> Saturation {
    line_at_t(contents.t.min(water::T_MAX_LIQUID))
}

/// Temperature of the feed from its enthalpy; that of the contents when nothing is fed.
fn feed_temperature(flows: &DrumFlows, contents: f64) -> f64 {
    if flows.feed > 0.0 {
        // Liquid at moderate pressure: 4200 J/(kg K) from the triple point is within 1 K to 150 degC.
        (crate::vessel::T_ZERO + flows.feed_enthalpy / 4200.0).min(contents)
    } else {
        contents
    }
}
