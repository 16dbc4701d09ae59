//! The invented class: nobody here exists.

use crate::trainee::{AfterTrip, Consumer, Drain, Habits, Lamp, Light, Line, Vent, Watch};

/// One of the class.
pub struct Person {
    pub id: &'static str,
    pub name: &'static str,
    pub habits: Habits,
}

/// The model run first, then the class from excellent to hopeless.
pub fn roster() -> Vec<Person> {
    const GOOD: Habits = Habits::GOOD;
    let person = |id, name, habits| Person { id, name, habits };
    vec![
        person("model", "Model run", GOOD),
        person("t-01", "Ines Falk", Habits { pace: 0.8, ..GOOD }),
        person("t-02", "Marek Dolny", GOOD),
        person("t-03", "Sefa Aydin", Habits { reports: false, ..GOOD }),
        person("t-04", "Jonas Rieke", Habits { pace: 1.5, ..GOOD }),
        person("t-05", "Paula Nunes", Habits { lamp: Lamp::TestsOnly, ..GOOD }),
        person("t-06", "Tomo Hara", Habits { lamp: Lamp::Ignores, reports: false, ..GOOD }),
        person("t-07", "Grete Lund", Habits { reads_glass: false, ..GOOD }),
        person("t-08", "Abel Okoro", Habits { fill_to: 0.04, ..GOOD }),
        person("t-09", "Rosa Iversen", Habits { vent: Vent::Forgets, ..GOOD }),
        person("t-10", "Finn Kallas", Habits { drain: Drain::ShutEarly, ..GOOD }),
        person("t-11", "Dina Petrov", Habits { drain: Drain::NeverOpens, lamp: Lamp::Ignores, reports: false, ..GOOD }),
        person("t-12", "Luc Bertin", Habits { firing: 85, ..GOOD }),
        person("t-13", "Nora Weiss", Habits { firing: 45, pace: 1.2, ..GOOD }),
        person("t-14", "Omar Salib", Habits { light: Light::NoPurge, ..GOOD }),
        person("t-15", "Elin Strand", Habits { light: Light::ShutDamper, ..GOOD }),
        person("t-16", "Pavel Ruzic", Habits { cools_compressor: false, ..GOOD }),
        person("t-17", "Mia Corbet", Habits { line: Line::Slams, ..GOOD }),
        person("t-18", "Ivo Brandt", Habits { after_trip: AfterTrip::Relights(780.0), ..GOOD }),
        person("t-19", "Lena Ozols", Habits { after_trip: AfterTrip::Nothing, ..GOOD }),
        person("t-20", "Karim Haddad", Habits { watch: Watch::Alarm, ..GOOD }),
        person("t-21", "Signe Dahl", Habits { watch: Watch::Nothing, ..GOOD }),
        person(
            "t-22",
            "Theo Marsh",
            Habits { acknowledges: false, after_trip: AfterTrip::Relights(90.0), drain: Drain::NeverShuts, ..GOOD },
        ),
        person(
            "t-23",
            "Anke Visser",
            Habits { pace: 2.6, gives_up: Some(44), temperature_on_automatic: false, ..GOOD },
        ),
        person(
            "t-24",
            "Bo Lindt",
            Habits {
                pace: 1.6,
                cools_compressor: false,
                temperature_on_automatic: false,
                fill_to: -0.1,
                reads_glass: false,
                lamp: Lamp::Ignores,
                reports: false,
                light: Light::NoPurge,
                firing: 85,
                vent: Vent::Forgets,
                drain: Drain::NeverOpens,
                line: Line::Slams,
                consumer: Consumer::Never,
                after_trip: AfterTrip::Nothing,
                watch: Watch::Nothing,
                acknowledges: false,
                gives_up: Some(50),
            },
        ),
    ]
}
