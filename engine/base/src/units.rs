//! Quantities and their units: parsing what people write, and telling it back.
//!
//! Inside the engine every quantity is in SI: pressure is absolute, temperature is in kelvin. Only
//! what people read and write carries display units. Pressure is `barg` or `bara`, never a bare
//! "bar"; a percentage says of what.

mod mistake;

pub use mistake::UnitError;

/// What kind of quantity a number is. Absolute values and differences are different dimensions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Dimension {
    /// Pa, absolute.
    Pressure,
    /// Pa.
    PressureDifference,
    /// K.
    Temperature,
    /// K.
    TemperatureDifference,
    /// kg/s.
    MassFlow,
    /// m3/s.
    VolumeFlow,
    /// kg.
    Mass,
    /// m3.
    Volume,
    /// m; levels and heads too.
    Length,
    /// m2.
    Area,
    /// s.
    Time,
    /// W.
    Power,
    /// J.
    Energy,
    /// revolutions a second.
    Rotation,
    /// A part of one, 0 to 1 (shown as a percentage of something).
    Fraction,
    /// W/K.
    HeatConductance,
    /// J/K.
    HeatCapacity,
    /// J/kg.
    SpecificEnergy,
    /// J/(kg K).
    SpecificHeat,
    /// kg/m3.
    Density,
    /// kg/s at one pascal of drop at unit density root: not a display quantity; flow coefficient Kv in m3/h.
    FlowCoefficient,
    /// 1/s.
    Rate,
    /// K/s.
    TemperatureRate,
    /// Pa/s.
    PressureRate,
    /// m/s, of a level or a length; a [`Dimension::Velocity`] is of something that flows.
    LengthRate,
    /// Parts of one a second.
    FractionRate,
    /// Revolutions a second, a second.
    RotationRate,
    /// kg/s a second.
    MassFlowRate,
    /// m3/s a second.
    VolumeFlowRate,
    /// W/s.
    PowerRate,
    /// W/(m2 K).
    HeatTransferCoefficient,
    /// m2/s.
    KinematicViscosity,
    /// S/m, at 25 degC: how salty water is.
    Conductivity,
    /// m/s.
    Velocity,
    /// V.
    Voltage,
    /// A.
    Current,
    /// VA; reactive power too.
    ApparentPower,
    /// rad.
    Angle,
    /// ohm.
    Resistance,
    /// kg m2.
    Inertia,
    /// A plain number.
    Number,
    /// A state told by a word; the number is 0 or 1 (or an index).
    State,
}

/// One unit of the table: what it is called and how to bring it to SI (`si = value * scale + offset`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// As written.
    pub symbol: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Factor to SI.
    pub scale: f64,
    /// Offset to SI.
    pub offset: f64,
    /// Decimals that people want to see.
    pub decimals: usize,
}

/// Standard atmosphere, Pa (ISO 2533), the zero of gauge pressure on every panel.
pub const ATMOSPHERE: f64 = 101_325.0;
/// Zero of the Celsius scale, K.
pub const CELSIUS_ZERO: f64 = 273.15;

use Dimension as D;
const fn u(symbol: &'static str, dimension: Dimension, scale: f64, decimals: usize) -> Unit {
    Unit { symbol, dimension, scale, offset: 0.0, decimals }
}

/// Every unit that people may write. The first one of a dimension is the one it is told in when
/// nothing else is asked for.
pub const UNITS: &[Unit] = &[
    Unit { symbol: "barg", dimension: D::Pressure, scale: 1e5, offset: ATMOSPHERE, decimals: 2 },
    u("bara", D::Pressure, 1e5, 2),
    u("kPa abs", D::Pressure, 1e3, 1),
    u("bar difference", D::PressureDifference, 1e5, 2),
    u("mbar", D::PressureDifference, 100.0, 1),
    u("kPa", D::PressureDifference, 1e3, 1),
    u("Pa", D::PressureDifference, 1.0, 0),
    Unit { symbol: "degC", dimension: D::Temperature, scale: 1.0, offset: CELSIUS_ZERO, decimals: 1 },
    u("K abs", D::Temperature, 1.0, 1),
    u("K", D::TemperatureDifference, 1.0, 1),
    u("kg/s", D::MassFlow, 1.0, 2),
    u("kg/h", D::MassFlow, 1.0 / 3600.0, 0),
    u("t/h", D::MassFlow, 1.0 / 3.6, 2),
    u("m3/h", D::VolumeFlow, 1.0 / 3600.0, 1),
    u("m3/s", D::VolumeFlow, 1.0, 4),
    u("l/min", D::VolumeFlow, 1e-3 / 60.0, 1),
    u("kg", D::Mass, 1.0, 1),
    u("t", D::Mass, 1e3, 2),
    u("m3", D::Volume, 1.0, 2),
    u("l", D::Volume, 1e-3, 1),
    u("m", D::Length, 1.0, 2),
    u("mm", D::Length, 1e-3, 0),
    u("um", D::Length, 1e-6, 0),
    u("m2", D::Area, 1.0, 2),
    u("mm2", D::Area, 1e-6, 0),
    u("s", D::Time, 1.0, 1),
    u("min", D::Time, 60.0, 1),
    u("h", D::Time, 3600.0, 2),
    u("kW", D::Power, 1e3, 1),
    u("W", D::Power, 1.0, 0),
    u("MW", D::Power, 1e6, 2),
    u("MJ", D::Energy, 1e6, 2),
    u("kJ", D::Energy, 1e3, 1),
    u("J", D::Energy, 1.0, 0),
    u("kWh", D::Energy, 3.6e6, 2),
    u("rpm", D::Rotation, 1.0 / 60.0, 0),
    u("Hz", D::Rotation, 1.0, 2),
    u("% open", D::Fraction, 0.01, 1),
    u("% full", D::Fraction, 0.01, 1),
    u("% firing", D::Fraction, 0.01, 1),
    u("% output", D::Fraction, 0.01, 1),
    u("% of range", D::Fraction, 0.01, 1),
    u("% of rated", D::Fraction, 0.01, 1),
    u("% oxygen", D::Fraction, 0.01, 1),
    u("% efficient", D::Fraction, 0.01, 1),
    u("kW/K", D::HeatConductance, 1e3, 2),
    u("W/K", D::HeatConductance, 1.0, 0),
    u("kJ/K", D::HeatCapacity, 1e3, 1),
    u("MJ/K", D::HeatCapacity, 1e6, 2),
    u("kJ/kg", D::SpecificEnergy, 1e3, 1),
    u("MJ/kg", D::SpecificEnergy, 1e6, 2),
    u("J/kgK", D::SpecificHeat, 1.0, 0),
    u("kg/m3", D::Density, 1.0, 2),
    u("Kv", D::FlowCoefficient, 1.0, 2),
    u("per s", D::Rate, 1.0, 3),
    u("per min", D::Rate, 1.0 / 60.0, 3),
    u("K/min", D::TemperatureRate, 1.0 / 60.0, 2),
    u("K/s", D::TemperatureRate, 1.0, 3),
    u("K/h", D::TemperatureRate, 1.0 / 3600.0, 1),
    u("bar/min", D::PressureRate, 1e5 / 60.0, 3),
    u("bar/s", D::PressureRate, 1e5, 3),
    u("bar/h", D::PressureRate, 1e5 / 3600.0, 2),
    u("mbar/min", D::PressureRate, 100.0 / 60.0, 1),
    u("mm/min", D::LengthRate, 1e-3 / 60.0, 1),
    u("mm/s", D::LengthRate, 1e-3, 2),
    u("m/h", D::LengthRate, 1.0 / 3600.0, 2),
    u("percentage points/min", D::FractionRate, 0.01 / 60.0, 1),
    u("percentage points/s", D::FractionRate, 0.01, 2),
    u("rpm/min", D::RotationRate, 1.0 / 3600.0, 0),
    u("rpm/s", D::RotationRate, 1.0 / 60.0, 1),
    u("Hz/s", D::RotationRate, 1.0, 3),
    u("t/h per min", D::MassFlowRate, 1.0 / 3.6 / 60.0, 2),
    u("kg/s per min", D::MassFlowRate, 1.0 / 60.0, 3),
    u("m3/h per min", D::VolumeFlowRate, 1.0 / 3600.0 / 60.0, 2),
    u("kW/min", D::PowerRate, 1e3 / 60.0, 1),
    u("kW/s", D::PowerRate, 1e3, 1),
    u("MW/min", D::PowerRate, 1e6 / 60.0, 3),
    u("W/m2K", D::HeatTransferCoefficient, 1.0, 0),
    u("m/s", D::Velocity, 1.0, 2),
    u("m2/s", D::KinematicViscosity, 1.0, 8),
    u("cSt", D::KinematicViscosity, 1e-6, 2),
    u("uS/cm", D::Conductivity, 1e-4, 1),
    u("V", D::Voltage, 1.0, 0),
    u("A", D::Current, 1.0, 0),
    u("kA", D::Current, 1e3, 2),
    u("kvar", D::ApparentPower, 1e3, 0),
    u("kVA", D::ApparentPower, 1e3, 0),
    u("deg", D::Angle, core::f64::consts::PI / 180.0, 1),
    u("kohm", D::Resistance, 1e3, 0),
    u("ohm", D::Resistance, 1.0, 3),
    u("kgm2", D::Inertia, 1.0, 2),
    u("none", D::Number, 1.0, 3),
    u("state", D::State, 1.0, 0),
];

impl Dimension {
    /// What people call it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            D::Pressure => "pressure",
            D::PressureDifference => "pressure difference",
            D::Temperature => "temperature",
            D::TemperatureDifference => "temperature difference",
            D::MassFlow => "mass flow",
            D::VolumeFlow => "volume flow",
            D::Mass => "mass",
            D::Volume => "volume",
            D::Length => "length or level",
            D::Area => "area",
            D::Time => "time",
            D::Power => "power",
            D::Energy => "energy",
            D::Rotation => "speed or frequency",
            D::Fraction => "percentage of something",
            D::HeatConductance => "heat conductance",
            D::HeatCapacity => "heat capacity",
            D::SpecificEnergy => "energy per mass",
            D::SpecificHeat => "specific heat",
            D::Density => "density",
            D::FlowCoefficient => "flow coefficient",
            D::Rate => "rate",
            D::TemperatureRate => "rate of temperature",
            D::PressureRate => "rate of pressure",
            D::LengthRate => "rate of length or level",
            D::FractionRate => "rate of a percentage",
            D::RotationRate => "rate of speed or frequency",
            D::MassFlowRate => "rate of mass flow",
            D::VolumeFlowRate => "rate of volume flow",
            D::PowerRate => "rate of power",
            D::HeatTransferCoefficient => "heat transfer coefficient",
            D::KinematicViscosity => "kinematic viscosity",
            D::Conductivity => "conductivity",
            D::Velocity => "velocity",
            D::Voltage => "voltage",
            D::Current => "current",
            D::ApparentPower => "reactive or apparent power",
            D::Angle => "angle",
            D::Resistance => "resistance",
            D::Inertia => "moment of inertia",
            D::Number => "plain number",
            D::State => "state",
        }
    }

    /// The dimension of the difference of two such values.
    #[must_use]
    pub fn difference(self) -> Dimension {
        match self {
            D::Pressure => D::PressureDifference,
            D::Temperature => D::TemperatureDifference,
            other => other,
        }
    }

    /// The dimension of how fast such a value changes; `None` where nobody has a unit for it.
    #[must_use]
    pub fn rate(self) -> Option<Dimension> {
        Some(match self {
            D::Pressure | D::PressureDifference => D::PressureRate,
            D::Temperature | D::TemperatureDifference => D::TemperatureRate,
            D::Length => D::LengthRate,
            D::Fraction => D::FractionRate,
            D::Rotation => D::RotationRate,
            D::MassFlow => D::MassFlowRate,
            D::VolumeFlow => D::VolumeFlowRate,
            D::Power => D::PowerRate,
            D::Mass => D::MassFlow,
            D::Volume => D::VolumeFlow,
            D::Energy => D::Power,
            D::Number => D::Rate,
            _ => return None,
        })
    }

    /// The dimension of what such a value adds up to over time: of a flow an amount, of a power an energy.
    #[must_use]
    pub fn total(self) -> Option<Dimension> {
        match self {
            D::MassFlow => Some(D::Mass),
            D::VolumeFlow => Some(D::Volume),
            D::Power => Some(D::Energy),
            _ => None,
        }
    }
}

/// The units of a dimension, the usual one first.
pub fn units_of(dimension: Dimension) -> impl Iterator<Item = &'static Unit> {
    UNITS.iter().filter(move |u| u.dimension == dimension)
}

/// The unit with this symbol.
#[must_use]
pub fn unit(symbol: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|u| u.symbol == symbol)
}

impl Unit {
    /// One step of the last digit that people see, SI.
    #[must_use]
    pub fn last_digit(&self) -> f64 {
        (0..self.decimals).fold(self.scale.abs(), |step, _| step / 10.0)
    }

    /// A value in this unit, brought to SI.
    #[must_use]
    pub fn to_si(&self, value: f64) -> f64 {
        value * self.scale + self.offset
    }

    /// An SI value, in this unit.
    #[must_use]
    pub fn from_si(&self, si: f64) -> f64 {
        (si - self.offset) / self.scale
    }

    /// An SI value as people read it in this unit: `4.10 barg`.
    #[must_use]
    pub fn tell(&self, si: f64) -> String {
        let v = self.from_si(si);
        let text = format!("{v:.*}", self.decimals);
        // A rounded minus zero is a zero.
        let text = if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
            text.trim_start_matches('-').to_owned()
        } else {
            text
        };
        if self.dimension == D::Number { text } else { format!("{text} {}", self.symbol) }
    }

    /// An SI difference of two such values as people read it (no offset): a margin.
    #[must_use]
    pub fn tell_difference(&self, si: f64) -> String {
        let v = si / self.scale;
        let symbol = match self.symbol {
            "barg" | "bara" => "bar",
            "degC" | "K abs" => "K",
            "kPa abs" => "kPa",
            other => other,
        };
        format!("{v:.*} {symbol}", self.decimals)
    }
}

/// Reads "4 barg" into an SI value and its unit.
///
/// # Errors
/// When there is no number, no unit, or the unit is not in the table.
pub fn parse(text: &str) -> Result<(f64, &'static Unit), UnitError> {
    let t = text.trim();
    let end = t
        .char_indices()
        .find(|&(i, c)| {
            !(c.is_ascii_digit()
                || c == '.'
                || ((c == '-' || c == '+') && (i == 0 || t[..i].ends_with(['e', 'E'])))
                || ((c == 'e' || c == 'E')
                    && i > 0
                    && t[i + 1..].starts_with(|d: char| d.is_ascii_digit() || d == '-' || d == '+')))
        })
        .map_or(t.len(), |(i, _)| i);
    let value: f64 = t[..end].parse().map_err(|_| UnitError::NoNumber(text.to_owned()))?;
    if let Some(rest) = t[end..].strip_prefix(',').filter(|r| r.starts_with(|c: char| c.is_ascii_digit())) {
        return Err(UnitError::Comma(t.to_owned(), format!("{}.{rest}", &t[..end])));
    }
    let symbol = t[end..].split_whitespace().collect::<Vec<_>>().join(" ");
    if symbol.is_empty() {
        return Err(UnitError::NoUnit(text.to_owned()));
    }
    match unit(&symbol) {
        Some(u) if value.is_finite() => Ok((u.to_si(value), u)),
        Some(_) => Err(UnitError::NoNumber(text.to_owned())),
        None => {
            let near = crate::nearest::nearest(&symbol, UNITS.iter().map(|u| u.symbol));
            Err(UnitError::UnknownUnit(symbol, near))
        }
    }
}

/// Reads a quantity that must be of one dimension, into SI. A plain number is allowed for
/// [`Dimension::Number`] only.
///
/// # Errors
/// As [`parse`], and when the unit belongs to another dimension.
pub fn parse_as(text: &str, dimension: Dimension) -> Result<f64, UnitError> {
    if dimension == D::Number
        && let Ok(v) = text.trim().parse::<f64>()
        && v.is_finite()
    {
        return Ok(v);
    }
    let (si, u) = parse(text)?;
    if u.dimension == dimension { Ok(si) } else { Err(UnitError::WrongDimension(u.symbol, u.dimension, dimension)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauge_and_absolute_are_told_apart() {
        assert_eq!(parse_as("4 barg", D::Pressure), Ok(501_325.0));
        assert_eq!(parse_as("4 bara", D::Pressure), Ok(400_000.0));
        assert!(matches!(parse("4 bar"), Err(UnitError::UnknownUnit(u, _)) if u == "bar"));
        assert!(matches!(parse("35 %"), Err(UnitError::UnknownUnit(u, _)) if u == "%"));
        assert!(matches!(parse("35"), Err(UnitError::NoUnit(_))));
    }

    /// Once "1,5 barg" was an unknown unit ",5 barg", and "°C" nothing that anybody knew.
    #[test]
    fn a_decimal_comma_and_what_people_write_for_a_unit_are_hinted() {
        let told = |t: &str| parse(t).unwrap_err().told();
        assert_eq!(
            told("1,5 barg"),
            ("\"1,5 barg\" has a comma in its number".into(), "write a point: \"1.5 barg\"".into())
        );
        assert_eq!(told("400 °C"), ("unknown unit \"°C\"".into(), "write degC".into()));
        assert_eq!(told("30 sec"), ("unknown unit \"sec\"".into(), "write s".into()));
        assert_eq!(told("4 bar g").1, "write barg");
        assert_eq!(told("10 %open").1, "did you mean \"% open\"?");
    }

    #[test]
    fn signs_exponents_and_spacing() {
        assert_eq!(parse_as("-50 mm", D::Length), Ok(-0.05));
        assert_eq!(parse_as("1.5e-4 m2", D::Area), Ok(1.5e-4));
        assert!((parse_as("35 %  open", D::Fraction).unwrap() - 0.35).abs() < 1e-15); // one rounding of the scale
        assert!(parse_as("4 barg", D::Temperature).is_err());
        assert!(parse("nonsense").is_err());
    }

    #[test]
    fn rates_and_totals_have_units_of_their_own() {
        let near = |text: &str, dimension: D, si: f64| {
            let read = parse_as(text, dimension).unwrap();
            assert!((read - si).abs() <= 1e-12 * si.abs(), "{text}: {read}, not {si}"); // roundings of the scale
        };
        near("5 K/min", D::Temperature.rate().unwrap(), 5.0 / 60.0);
        near("100 K/h", D::TemperatureDifference.rate().unwrap(), 100.0 / 3600.0);
        near("1.2 bar/min", D::Pressure.rate().unwrap(), 2000.0);
        near("-60 mm/min", D::Length.rate().unwrap(), -0.001);
        near("30 percentage points/min", D::Fraction.rate().unwrap(), 0.005);
        near("600 rpm/min", D::Rotation.rate().unwrap(), 1.0 / 6.0);
        near("3.6 t/h per min", D::MassFlow.rate().unwrap(), 1.0 / 60.0);
        near("60 kW/min", D::Power.rate().unwrap(), 1000.0);
        assert!(parse_as("5 K", D::TemperatureRate).is_err() && parse_as("5 K/min", D::Temperature).is_err());
        // The rate of a total is what it was the total of.
        for flow in [D::MassFlow, D::VolumeFlow, D::Power] {
            assert_eq!(flow.total().and_then(D::rate), Some(flow));
        }
        assert_eq!((D::Pressure.total(), D::Time.rate()), (None, None));
    }

    #[test]
    fn told_back_in_the_unit_people_use() {
        assert_eq!(unit("barg").unwrap().tell(501_325.0), "4.00 barg");
        assert_eq!(unit("degC").unwrap().tell(273.15), "0.0 degC");
        assert_eq!(unit("degC").unwrap().tell_difference(-4.0), "-4.0 K");
        assert_eq!(unit("mm").unwrap().tell(-0.0001), "0 mm");
    }
}
