//! A small ship: shore, diesel set and turbine-driven set on the main bus, emergency set and battery on its own.

use crate::small_plant::{Hand, plant};

const RELAYS: &str = "reverse power above 8 % of rated; reverse power for 5 s; over-current above 110 % of rated; over-current multiplier 0.3 none; short circuit above 600 % of rated; under-voltage below 360 V; under-voltage for 1.5 s; under-frequency below 54 Hz; over-frequency above 66 Hz; frequency for 3 s";
const FIELD: &str = "synchronous reactance 1.8 none; transient reactance 0.22 none; subtransient reactance 0.14 none; field time 2 s; damper 20 none; regulator gain 15 none; regulator integral time 1 s; exciter time 0.1 s; ceiling 4 none; reactive droop 4 % of rated; field at full load 2.4 none; exciter current at full load 6 A; speed changer runs in a second 0.18 Hz; speed changer from 54 Hz; speed changer to 66 Hz; closes in 0.08 s; opens in 0.05 s";
const ENGINE: &str = "friction 10 % of rated; fuel lag 0.08 s; indicated efficiency 44 % efficient; heating value 42.7 MJ/kg; heat to the block 40 % of rated; cranking torque 25 % of rated; cranks up to 30 % of rated; fires from 12 % of rated; fires after 0.6 s; cranks for 8 s; rack while running up 45 % of rated; oil pressure 4.5 barg; trips at speed 115 % of rated; trips after 2 s; droop 4 % of rated; governor gain 12 none; governor integral time 1.2 s; load measured in 0.5 s; end of the rack 110 % of rated";

/// The text of the ship.
pub fn text() -> String {
    format!(
        "
        CW-1100 | circuit | | fluid=fresh water
        N-1100 | outside | in CW-1100 | head 0 m; temperature 60 degC
        N-1101 | junction | in CW-1100 | elevation 0 m; holds 0.1 m3
        N-1109 | outside | in CW-1100 | head 0 m; temperature 60 degC
        P-1101 | pump | from N-1100; to N-1101 | efficiency 60 % efficient; run up 2 s; curve m3/h m 0 20, 40 16, 60 10
        P-1102 | pump | from N-1100; to N-1101 | efficiency 60 % efficient; run up 2 s; curve m3/h m 0 20, 40 16, 60 10
        PL-1102 | pipe | from N-1101; to N-1109 | length 5 m; diameter 80 mm; roughness 0.05 mm; losses 30 none
        CF-1500 | circuit | | fluid=diesel oil
        T-1501 | tank | in CF-1500 | area 2 m2; height 2 m; elevation 3 m; level at start 1.5 m; temperature at start 30 degC
        V-1601 | air receiver | | volume 1 m3; loss to room 20 W/K; pressure at start 28 barg; temperature at start 25 degC
        SB-5000 | switchboard | | voltage 450 V; frequency 60 Hz; check relay angle 15 deg; check relay slip 0.25 Hz; check relay voltage 27 V; synchronises at 0.1 Hz; preferential trip above 100 % of rated; first group after 5 s; second group after 10 s; automatic synchronising=HS-5000; check relay key=HS-5090; sequential restart=HS-5095; shed contact=XS-5090; control supply contact=ES-5090
        BUS-5000 | bus | | insulation 1000 kohm
        BUS-5300 | bus | | insulation 1000 kohm
        CB-5300 | tie breaker | from BUS-5000; to BUS-5300 | closes in 0.08 s; opens in 0.05 s; at start=closed; releases after 0.5 s
        CB-5400 | shore supply | to BUS-5000 | closes in 0.1 s; opens in 0.05 s; at start=closed; rating 250 kVA; reactance 0.03 ohm; over-current above 110 % of rated; over-current multiplier 0.3 none
        G-5001 | generator | to BUS-5000 | rating 500 kVA; power 400 kW; speed 1800 rpm; inertia 37 kgm2; loss at no load 9 kW; loss with load 11 kW; {FIELD}; {RELAYS}
        D-5011 | diesel engine | drives G-5001; cooled by PL-1102; fuel T-1501; started by V-1601 | power 430 kW; starting air 30 barg; least starting air 10 barg; air used 0.3 kg/s; block 2.5 MJ/K; block to water 14 kW/K; block to room 80 W/K; trips at oil pressure 2 barg; trips at jacket 95 degC; emergency stop=HS-5011; {ENGINE}
        G-5101 | generator | to BUS-5000 | rating 750 kVA; power 600 kW; speed 1800 rpm; inertia 90 kgm2; loss at no load 12 kW; loss with load 15 kW; {FIELD}; {RELAYS}
        G-5201 | generator | to BUS-5300 | rating 100 kVA; power 80 kW; speed 1800 rpm; inertia 7 kgm2; loss at no load 2.5 kW; loss with load 3 kW; {FIELD}; {RELAYS}
        D-5211 | diesel engine | drives G-5201 | power 88 kW; starter 5 kW; block 0.4 MJ/K; block to its fan 1.2 kW/K; block to room 20 W/K; starts when its bus is dead for 1 s; at start=standby; {ENGINE}
        BAT-5301 | battery | charged from BUS-5300 | capacity 4 kWh; voltage 24 V; load 600 W; charger 1.5 kW; charging efficiency 85 % efficient; charge at start 90 % full
        L-5401 | ship load | on BUS-5000 | power 60 kW; power factor 0.85 none; swing 10 % of rated; period 300 s
        L-5402 | ship load | on BUS-5000 | power 50 kW; power factor 0.85 none; shed=first group; at start=out
        L-5403 | ship load | on BUS-5300 | power 15 kW; power factor 0.9 none
        FD-5501 | feeder | from BUS-5300; to P-1102 |
        FD-5502 | feeder | from BUS-5000; to P-1101 | restarts after 4 s
        ET-5000 | transmitter | of BUS-5000 | reads=voltage; range=0 V to 600 V; lag 0.1 s
        ET-5300 | transmitter | of BUS-5300 | reads=voltage; range=0 V to 600 V; lag 0.1 s
        ST-5000 | transmitter | of BUS-5000 | reads=frequency; range=0 Hz to 70 Hz; lag 0.1 s
        AT-5000 | transmitter | of BUS-5000 | reads=insulation; range=0 kohm to 2000 kohm; lag 1 s
        JT-5001 | transmitter | of G-5001 | reads=power; range=-100 kW to 600 kW; lag 0.2 s
        JT-5101 | transmitter | of G-5101 | reads=power; range=-100 kW to 800 kW; lag 0.2 s
        IT-5001 | transmitter | of G-5001 | reads=current; range=0 A to 1000 A; lag 0.2 s
        ET-5001 | transmitter | of G-5001 | reads=voltage; range=0 V to 600 V; lag 0.1 s
        ST-5001 | transmitter | of G-5001 | reads=frequency; range=0 Hz to 70 Hz; lag 0.1 s
        QT-5001 | transmitter | of G-5001 | reads=reactive power; range=-300 kvar to 500 kvar; lag 0.2 s
        ST-5011 | transmitter | of D-5011 | reads=speed; range=0 rpm to 2400 rpm; lag 0.1 s
        TT-5011 | transmitter | of D-5011 | reads=jacket temperature; range=0 degC to 130 degC; lag 2 s
        PT-5011 | transmitter | of D-5011 | reads=oil pressure; range=0 barg to 8 barg; lag 0.2 s
        ET-5301 | transmitter | of BAT-5301 | reads=voltage; range=0 V to 40 V; lag 0.1 s
        ZT-5000 | transmitter | of SB-5000 | reads=synchroscope angle; range=-180 deg to 180 deg; lag 0.05 s
        ST-5090 | transmitter | of SB-5000 | reads=slip; range=-3 Hz to 3 Hz; lag 0.1 s
        JT-5400 | transmitter | of CB-5400 | reads=power; range=-100 kW to 300 kW; lag 0.2 s"
    )
}

/// A hand at the ship, cold, on the shore supply.
pub fn ship() -> Hand {
    Hand(plant(&text()))
}

/// The diesel set on the bus instead of the shore.
pub fn on_diesel() -> Hand {
    let mut h = ship();
    h.run(1.0);
    h.set("P-1101", "start");
    h.set("D-5011", "start");
    h.until("the diesel is ready", 60.0, |h| h.actual("ET-5001") > 440.0);
    h.run(20.0);
    h.set("HS-5001", "in");
    h.set("HS-5000", "automatic");
    h.until("synchronised", 120.0, |h| h.actual("CB-5001") > 0.5);
    h.set("HS-5000", "manual");
    h.set("HS-5001", "out");
    // The load is taken from the shore before its breaker opens.
    for _ in 0..12 {
        h.set("SC-5001", "raise");
        h.run(5.0);
        if h.actual("JT-5400") < 15e3 {
            break;
        }
    }
    h.set("CB-5400", "open");
    h.run(5.0);
    h
}
