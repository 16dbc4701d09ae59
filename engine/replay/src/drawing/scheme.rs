//! What stands on a system's sheet and what joins what, from the plant file.

use super::looks::{Drive, Look, Medium};
use super::text::wrapped;
use base::description::{Component, Description};
use std::collections::{BTreeMap, BTreeSet};

/// A part on a sheet.
#[derive(Clone, Debug)]
pub struct Part {
    pub tag: String,
    pub look: Look,
    /// It belongs to the system that is drawn.
    pub local: bool,
    /// What is written under its tag.
    pub words: Vec<String>,
    /// Instruments and controllers at it.
    pub bubbles: Vec<Bubble>,
}

/// An instrument or controller: letters and number in a circle.
#[derive(Clone, Debug)]
pub struct Bubble {
    pub tag: String,
    /// It controls or protects: a bar through the circle.
    pub controls: bool,
    /// What it reads elsewhere.
    pub reads: Option<String>,
}

/// A line from part to part, in the direction of flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    pub from: usize,
    pub to: usize,
    pub medium: Medium,
}

/// A sheet.
#[derive(Clone, Debug, Default)]
pub struct Scheme {
    pub parts: Vec<Part>,
    pub lines: Vec<Line>,
}

/// The sheet of a system.
pub fn of(d: &Description, system: &str) -> Scheme {
    let d = &Reader { d, by_tag: d.components.iter().map(|c| (c.tag.as_str(), c)).collect() };
    let mut sheet = Sheet { d, system, scheme: Scheme::default(), at: BTreeMap::new() };
    for c in &d.d.components {
        if c.system == system && look(d, c).is_some() && !is_end(c) {
            sheet.part(c);
        }
    }
    for c in &d.d.components {
        let nozzle = d.d.components.iter().any(|b| b.links.get("nozzle").is_some_and(|n| n.as_str() == c.tag));
        for (from, to) in runs(c) {
            // What a nozzle gives goes to its burner, which has the line.
            if nozzle && d.find(&to).is_some_and(is_end) {
                continue;
            }
            sheet.line(&from, &to);
        }
    }
    let turbine = d.d.components.iter().find(|c| c.kind == "turbine");
    for oil in d.d.components.iter().filter(|c| c.kind == "turbine oil") {
        // The oil belongs to the plant's turbine without a link.
        if let Some(t) = turbine {
            sheet.line(&oil.tag, &t.tag);
        }
    }
    for c in &d.d.components {
        sheet.bubble(c);
        sheet.note(c);
    }
    sheet.join_plain();
    sheet.drop_idle();
    sheet.scheme
}

/// The plant file, with its components by tag.
struct Reader<'a> {
    d: &'a Description,
    by_tag: BTreeMap<&'a str, &'a Component>,
}

impl<'a> Reader<'a> {
    fn find(&self, tag: &str) -> Option<&'a Component> {
        self.by_tag.get(tag).copied()
    }

    fn linked(&self, c: &Component, role: &str) -> Option<&'a Component> {
        self.find(c.links.get(role)?.as_str())
    }
}

/// The symbol of a kind; `None` for what is no part of a flow diagram.
fn look(d: &Reader<'_>, c: &Component) -> Option<Look> {
    let drive = match c.fields.get("drive").map(|f| f.value.as_str()) {
        Some("pneumatic") => Drive::Pneumatic,
        Some("hand") => Drive::Hand,
        _ => Drive::Electric,
    };
    Some(match c.kind.as_str() {
        "valve" | "steam valve" | "air valve" | "air drain" => Look::Valve(drive),
        "air reducer" => Look::Valve(Drive::Itself),
        "three-way valve" => Look::ThreeWay(drive),
        "thermostatic valve" => Look::ThreeWay(Drive::Itself),
        "safety valve" => Look::Safety,
        "pump" => Look::Pump,
        "compressor" | "vacuum pump" => Look::Compressor,
        "draught fan" => Look::Fan,
        "cooler" => Look::Cooler,
        "electric heater" => Look::Heater,
        "strainer" | "air filter" => Look::Strainer,
        "air dryer" => Look::Dryer,
        "orifice" | "steam orifice" | "air user" => Look::Orifice,
        "steam trap" => Look::Trap,
        "pipe" | "air line" if d.d.components.iter().any(|u| user_of(u) == Some(c.tag.as_str())) => Look::User,
        "pipe" | "air line" | "junction" | "into drum" => Look::Dot,
        "tank" | "heated tank" | "turbine oil" => Look::Tank,
        "air receiver" => Look::Receiver,
        "drum" => Look::Drum,
        "steam space" | "turbine exhaust" => Look::Header,
        "heating coil" | "superheater" => Look::Coil,
        "furnace" => Look::Furnace,
        "burner" | "heavy-oil lance" => Look::Burner,
        "condenser" => Look::Condenser,
        "turbine" => Look::Turbine,
        "generator" => Look::Generator,
        "diesel engine" => Look::Engine,
        "bus" => Look::Bus,
        "ship load" | "feeder" => Look::Load,
        "battery" => Look::Battery,
        "shore supply" => Look::Supply,
        "tie breaker" => Look::Breaker,
        "outside" | "open air" => Look::End,
        _ => return None,
    })
}

fn is_end(c: &Component) -> bool {
    matches!(c.kind.as_str(), "outside" | "open air")
}

/// The pipe whose flow takes a component's heat.
fn user_of(c: &Component) -> Option<&str> {
    let role = if c.kind == "heat load" { "by" } else { "cooled by" };
    c.links.get(role).map(|t| t.as_str())
}

/// The lines that a component's links make, in the direction of flow; "~" is the open air.
fn runs(c: &Component) -> Vec<(String, String)> {
    let me = c.tag.as_str();
    let mut runs = vec![];
    let mut go = |from: Option<&str>, to: Option<&str>| {
        if let (Some(from), Some(to)) = (from, to) {
            runs.push((from.to_owned(), to.to_owned()));
        }
    };
    let link = |role: &str| c.links.get(role).map(|t| t.as_str());
    let air = Some("~");
    match c.kind.as_str() {
        "cooler" => {
            for side in ["hot", "cold"] {
                go(link(&format!("{side} from")), Some(me));
                go(Some(me), link(&format!("{side} to")));
            }
        }
        "three-way valve" | "thermostatic valve" => {
            go(link("from cooler"), Some(me));
            go(link("from by-pass"), Some(me));
            go(Some(me), link("to"));
        }
        "air user" => {
            go(link("from"), Some(me));
            go(Some(me), air);
        }
        "air drain" | "vacuum pump" => {
            go(link("of"), Some(me));
            go(Some(me), air);
        }
        "furnace" => {
            go(Some(me), link("heats"));
            go(Some(me), link("superheater"));
            go(Some(me), air);
        }
        "draught fan" => {
            go(air, Some(me));
            go(Some(me), link("blows"));
        }
        "burner" => {
            go(link("nozzle"), Some(me));
            go(Some(me), link("into"));
        }
        "heavy-oil lance" => {
            for role in ["nozzle", "steam", "air"] {
                go(link(role), Some(me));
            }
            go(Some(me), link("of"));
        }
        "into drum" => go(Some(me), link("of")),
        "condenser" => go(Some(me), link("hotwell")),
        "heating coil" => go(Some(me), link("in")),
        "battery" => go(link("charged from"), Some(me)),
        "ship load" => go(link("on"), Some(me)),
        "feeder" => go(link("from"), Some(me)),
        "diesel engine" => {
            go(link("fuel"), Some(me));
            go(link("started by"), Some(me));
            go(Some(me), link("drives"));
        }
        "turbine" => {
            go(link("from"), Some(me));
            go(Some(me), link("to"));
            go(Some(me), link("drives"));
        }
        _ => {
            go(link("from"), Some(me));
            go(Some(me), link("to"));
        }
    }
    runs
}

struct Sheet<'a> {
    d: &'a Reader<'a>,
    system: &'a str,
    scheme: Scheme,
    at: BTreeMap<String, usize>,
}

impl Sheet<'_> {
    fn part(&mut self, c: &Component) -> usize {
        if let Some(i) = self.at.get(&c.tag) {
            return *i;
        }
        let local = c.system == self.system;
        let look = if local { look(self.d, c).unwrap_or(Look::Flag) } else { Look::Flag };
        let words = match look {
            Look::Dot => vec![],
            _ => wrapped(&c.name, 18, 4),
        };
        let i = self.push(Part { tag: c.tag.clone(), look, local, words, bubbles: vec![] });
        self.at.insert(c.tag.clone(), i);
        i
    }

    fn push(&mut self, part: Part) -> usize {
        self.scheme.parts.push(part);
        self.scheme.parts.len() - 1
    }

    /// A line, where an end of it stands on this sheet.
    fn line(&mut self, from: &str, to: &str) {
        let is_local = |tag: &str| self.d.find(tag).is_some_and(|c| c.system == self.system && !is_end(c));
        if !is_local(from) && !is_local(to) {
            return;
        }
        let Some(medium) = medium(self.d, from, to) else { return };
        let Some(a) = self.end(from) else { return };
        let Some(b) = self.end(to) else { return };
        let line = Line { from: a, to: b, medium };
        if !self.scheme.lines.contains(&line) {
            self.scheme.lines.push(line);
        }
    }

    /// A part at the end of a line; where the plant ends each line has an end of its own.
    fn end(&mut self, tag: &str) -> Option<usize> {
        let name = match self.d.find(tag) {
            Some(c) if is_end(c) && c.kind == "outside" => c.name.as_str(),
            Some(c) if !is_end(c) => {
                look(self.d, c)?;
                return Some(self.part(c));
            }
            _ => "the air",
        };
        let words = wrapped(name, 18, 3);
        Some(self.push(Part { tag: String::new(), look: Look::End, local: true, words, bubbles: vec![] }))
    }

    /// Instruments stand at what they look at, controllers at what they move.
    fn bubble(&mut self, c: &Component) {
        let linked = |role: &str| self.d.linked(c, role);
        let reads = |role: &str| c.links.get(role).map(|t| format!("{} from {t}", c.tag));
        let (host, controls, reads) = match c.kind.as_str() {
            "transmitter" | "switch" | "gauge glass" => (linked("of"), false, None),
            "turbine governor" | "trip gear" | "turning gear" => (linked("of"), true, None),
            "standby start" => (linked("second"), true, reads("on")),
            "burner management" => (linked("burner"), true, None),
            "firing master" => {
                (linked("burner management").and_then(|m| self.d.linked(m, "burner")), true, reads("measures"))
            }
            "switchboard" => (self.d.d.components.iter().find(|b| b.kind == "bus"), true, None),
            _ => (linked("moves"), true, reads("measures")),
        };
        // The switchboard itself has its instruments at its first bus.
        let host = match host {
            Some(h) if h.kind == "switchboard" => self.d.d.components.iter().find(|b| b.kind == "bus"),
            // So has what is a part of the turbine.
            Some(h) if h.kind.starts_with("turbine ") && h.links.contains_key("of") => self.d.linked(h, "of"),
            h => h,
        };
        let Some(host) = host.and_then(|h| self.at.get(&h.tag)) else { return };
        if !self.scheme.parts[*host].local {
            return;
        }
        self.scheme.parts[*host].bubbles.push(Bubble { tag: c.tag.clone(), controls, reads });
    }

    /// What is written beside: whose heat a pipe takes, what a feeder feeds, in which system another part is.
    fn note(&mut self, c: &Component) {
        if let Some(i) = user_of(c).and_then(|pipe| self.at.get(pipe)) {
            let part = &mut self.scheme.parts[*i];
            if part.local {
                let says = if c.kind == "heat load" { "heat:" } else { "cools" };
                let name = if part.words.join(" ") == c.name { "" } else { c.name.as_str() };
                part.words.extend(wrapped(&format!("{says} {} {name}", c.tag), 18, 4));
            }
        }
        if c.kind == "turbine bearing"
            && let Some(i) = c.links.get("of").and_then(|t| self.at.get(t.as_str()))
            && self.scheme.parts[*i].local
        {
            self.scheme.parts[*i].words.extend(wrapped(&format!("{} {}", c.tag, c.name), 24, 2));
        }
        let Some(i) = self.at.get(&c.tag) else { return };
        let part = &mut self.scheme.parts[*i];
        if let Some(breaker) = c.fields.get("breaker").filter(|_| part.local) {
            part.words.push(format!("breaker {}", breaker.value));
        }
        if !part.local {
            let title = self.d.d.systems.iter().find(|s| s.0 == c.system).map_or(&c.system, |s| &s.1);
            part.words.extend(wrapped(&format!("({title})"), 18, 2));
        } else if let Some(pipe) = c.links.get("cooled by").filter(|_| part.look != Look::Dot) {
            part.words.push(format!("cooled by {pipe}"));
        }
    }

    /// Joints and plain pipes with one line in and one out, and nothing to read, become part of the line.
    fn join_plain(&mut self) {
        let plain = |p: &Part| p.look == Look::Dot && p.bubbles.is_empty() && p.local;
        for i in 0..self.scheme.parts.len() {
            let lines = &self.scheme.lines;
            let ins: Vec<usize> = (0..lines.len()).filter(|k| lines[*k].to == i).collect();
            let outs: Vec<usize> = (0..lines.len()).filter(|k| lines[*k].from == i).collect();
            if !plain(&self.scheme.parts[i]) || ins.len() != 1 || outs.len() != 1 || ins == outs {
                continue;
            }
            let joined = Line { to: lines[outs[0]].to, ..lines[ins[0]] };
            let doubled = lines.iter().any(|l| (l.from, l.to) == (joined.from, joined.to));
            if joined.from == joined.to || doubled {
                continue;
            }
            self.scheme.lines[ins[0]] = joined;
            self.scheme.lines.remove(outs[0]);
        }
    }

    /// Drops joints that nothing comes to any more, and numbers the rest anew.
    fn drop_idle(&mut self) {
        let used: BTreeSet<usize> = self.scheme.lines.iter().flat_map(|l| [l.from, l.to]).collect();
        let keeps = |i: usize, p: &Part| used.contains(&i) || !matches!(p.look, Look::Dot | Look::End | Look::Flag);
        let mut new = vec![usize::MAX; self.scheme.parts.len()];
        let mut parts = vec![];
        for (i, p) in std::mem::take(&mut self.scheme.parts).into_iter().enumerate() {
            if keeps(i, &p) {
                new[i] = parts.len();
                parts.push(p);
            }
        }
        self.scheme.parts = parts;
        for l in &mut self.scheme.lines {
            (l.from, l.to) = (new[l.from], new[l.to]);
        }
    }
}

/// What runs between two parts.
fn medium(d: &Reader<'_>, from: &str, to: &str) -> Option<Medium> {
    let ends = [d.find(from), d.find(to)];
    let kinds = ends.map(|c| c.map_or("", |c| c.kind.as_str()));
    let has = |kind: &str| kinds.contains(&kind);
    if has("turbine oil") {
        return Some(Medium::LubeOil);
    }
    if has("diesel engine") || has("turbine") {
        if has("generator") {
            return Some(Medium::Shaft);
        }
        if has("air receiver") {
            return Some(Medium::Air);
        }
    }
    // A liquid node at either end says what runs there; of two the first that a circuit holds.
    let fluid = |c: &Component| {
        let node = d.linked(c, "in").filter(|n| n.kind == "circuit");
        let of_link = || d.linked(c, "from").and_then(|n| d.linked(n, "in")).filter(|n| n.kind == "circuit");
        let circuit = node.or_else(of_link)?;
        Some(match circuit.fields.get("fluid").map_or("", |f| f.value.as_str()) {
            "sea water" => Medium::SeaWater,
            "fresh water" => Medium::FreshWater,
            "feed water" => Medium::FeedWater,
            "diesel oil" => Medium::DieselOil,
            "heavy oil" => Medium::HeavyOil,
            _ => return None,
        })
    };
    let steam = ["steam valve", "steam trap", "steam orifice", "safety valve", "turbine", "superheater"];
    if let Some(fluid) = ends.into_iter().flatten().find_map(fluid)
        && !kinds.iter().any(|k| steam.contains(k))
    {
        return Some(fluid);
    }
    let any = |all: &[&str]| kinds.iter().any(|k| all.contains(k));
    // A blowdown takes water from the drum.
    let takes_water = |c: &Component| c.fields.get("takes").is_some_and(|f| f.value == "liquid");
    if ends.into_iter().flatten().any(takes_water) {
        return Some(Medium::FeedWater);
    }
    Some(if any(&["generator", "bus", "ship load", "feeder", "battery", "shore supply", "tie breaker"]) {
        Medium::Electric
    } else if has("furnace") || has("draught fan") || kinds == ["heavy-oil lance", "burner"] {
        Medium::Gas
    } else if kinds[0] == "open air"
        || has("vacuum pump")
        || any(&["air receiver", "air valve", "compressor", "air drain", "air user"])
    {
        Medium::Air
    } else if kinds == ["heating coil", "heated tank"] {
        Medium::Heat
    } else if any(&steam) || any(&["steam space", "drum", "condenser", "turbine exhaust"]) {
        Medium::Steam
    } else if any(&["air line", "air filter", "air dryer", "air reducer"]) {
        Medium::Air
    } else {
        return None;
    })
}
