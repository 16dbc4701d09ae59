//! What a part looks like on a sheet, and how much room its symbol takes.

/// What runs in a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Medium {
    SeaWater,
    FreshWater,
    FeedWater,
    Steam,
    DieselOil,
    HeavyOil,
    LubeOil,
    Air,
    Gas,
    Heat,
    Shaft,
    Electric,
}

impl Medium {
    /// Letters on the line, name for the key, weight, dashes.
    pub fn line(self) -> (&'static str, &'static str, f64, &'static str) {
        match self {
            Medium::SeaWater => ("SW", "sea water", 2.8, ""),
            Medium::FreshWater => ("FW", "fresh water", 1.9, ""),
            Medium::FeedWater => ("C", "feed water and condensate", 1.9, "12 3"),
            Medium::Steam => ("S", "steam", 2.8, "16 3 3 3"),
            Medium::DieselOil => ("DO", "diesel oil", 1.9, "10 3 2 3"),
            Medium::HeavyOil => ("HO", "heavy oil", 2.8, "10 3 2 3 2 3"),
            Medium::LubeOil => ("LO", "lubricating oil", 1.4, "8 2 2 2 2 2"),
            Medium::Air => ("A", "air", 1.3, "6 3"),
            Medium::Gas => ("G", "combustion air, flame and flue gas", 1.9, "4 2"),
            Medium::Heat => ("H", "heat", 1.3, "2 3"),
            Medium::Shaft => ("", "shaft", 4.0, ""),
            Medium::Electric => ("E", "electric power", 1.2, ""),
        }
    }
}

/// What moves a valve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drive {
    Hand,
    Electric,
    Pneumatic,
    /// It moves by what it feels or by a spring.
    Itself,
}

/// The symbol of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    Valve(Drive),
    ThreeWay(Drive),
    Safety,
    Pump,
    Compressor,
    Fan,
    Cooler,
    Heater,
    Strainer,
    Dryer,
    Orifice,
    Trap,
    /// What takes heat into a pipe: its user stands in the notes.
    User,
    Tank,
    Receiver,
    Drum,
    Header,
    Coil,
    Furnace,
    Burner,
    Condenser,
    Turbine,
    Generator,
    Engine,
    Bus,
    Load,
    Battery,
    Supply,
    Breaker,
    /// A joint of lines.
    Dot,
    /// Where the plant ends: the sea, the air, a main.
    End,
    /// Where a line goes on in another drawing.
    Flag,
}

impl Look {
    /// Width and height of the symbol.
    pub fn size(self) -> (f64, f64) {
        match self {
            Look::Valve(_) | Look::Safety => (30.0, 16.0),
            Look::ThreeWay(_) => (30.0, 30.0),
            Look::Pump | Look::Compressor | Look::Fan => (32.0, 32.0),
            Look::Cooler => (46.0, 46.0),
            Look::Heater => (46.0, 24.0),
            Look::Coil => (46.0, 30.0),
            Look::Strainer | Look::Dryer => (24.0, 24.0),
            Look::Orifice => (10.0, 18.0),
            Look::Trap => (18.0, 18.0),
            Look::User => (50.0, 24.0),
            Look::Tank => (64.0, 50.0),
            Look::Receiver => (44.0, 56.0),
            Look::Drum => (96.0, 56.0),
            Look::Header => (16.0, 40.0),
            Look::Furnace => (80.0, 80.0),
            Look::Burner => (28.0, 28.0),
            Look::Condenser => (64.0, 64.0),
            Look::Turbine => (64.0, 56.0),
            Look::Generator => (36.0, 36.0),
            Look::Engine => (48.0, 36.0),
            Look::Bus => (8.0, 60.0),
            Look::Load => (20.0, 16.0),
            Look::Battery => (28.0, 20.0),
            Look::Supply => (36.0, 20.0),
            Look::Breaker => (16.0, 16.0),
            Look::Dot => (6.0, 6.0),
            Look::End => (16.0, 16.0),
            Look::Flag => (64.0, 20.0),
        }
    }

    /// What stands above the symbol: an actuator, a spring.
    pub fn above(self) -> f64 {
        match self {
            Look::Valve(Drive::Itself) | Look::ThreeWay(Drive::Itself) => 14.0,
            Look::Valve(_) | Look::ThreeWay(_) | Look::Safety => 18.0,
            _ => 0.0,
        }
    }

    /// Lines come to it at places of their own, one below the other.
    pub fn is_tall(self) -> bool {
        matches!(
            self,
            Look::Cooler
                | Look::Coil
                | Look::Tank
                | Look::Receiver
                | Look::Drum
                | Look::Header
                | Look::Furnace
                | Look::Condenser
                | Look::Turbine
                | Look::Engine
                | Look::Bus
                | Look::ThreeWay(_)
                | Look::Burner
                | Look::Flag
        )
    }

    /// What flows in at its left leaves at its right.
    pub fn is_passed(self) -> bool {
        self != Look::Dot && (!self.is_tall() || matches!(self, Look::ThreeWay(_) | Look::Coil | Look::Flag))
    }

    /// Whether it grows with the lines that come to it.
    pub fn grows(self) -> bool {
        self.is_tall() && !matches!(self, Look::ThreeWay(_) | Look::Burner | Look::Coil | Look::Flag)
    }
}
