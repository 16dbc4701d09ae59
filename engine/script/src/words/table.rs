//! The table of words.

use super::{On, Takes, Word, combine as c, conditions as t, items as i, run as r, values as v, worked as w};

macro_rules! takes {
    ($($name:ident: $kind:literal),*) => { &[$(Takes { name: stringify!($name), kind: $kind }),*] };
}

macro_rules! words {
    ($($on:ident $name:ident ($($arg:ident: $kind:literal),* $(; $many:ident)?) -> $gives:literal, $act:expr, $says:literal, $example:literal;)*) => {
        &[$(Word {
            on: On::$on,
            name: stringify!($name),
            takes: takes!($($arg: $kind),*),
            many: false $(|| { let $many = true; $many })?,
            gives: $gives,
            says: $says,
            example: $example,
            act: $act,
        }),*]
    };
}

/// Every word, in the order in which the reference tells them.
pub static WORDS: &[Word] = words! {
    // What is written into the exercise.
    Script exercise(heading: "ExerciseFields") -> "", i::exercise,
        "Says what the exercise is. Once in a script.",
        "exercise { title = \"Dark lamp\", plant = \"training-vessel\", start = \"cold\", lasts = \"80 min\" }";
    Script fault(name: "string") -> "fun(fields: FaultFields)", i::fault,
        "Something that goes wrong. Without at, when or after it waits for a story to inject it.",
        "fault \"lamp\" { on = \"XL-2104\", kind = \"dark\", at = \"5 min\" }";
    Script step(name: "string") -> "fun(fields: StepFields)", i::step,
        "Something to be brought about. Marks are earned when its condition first comes true.",
        "step \"flame\" { marks = 4, done = lit(\"BL-2001\"), after = \"purge\" }";
    Script limit(name: "string") -> "fun(fields: LimitFields)", i::limit,
        "Something to keep. Marks fall with how far and how long it was broken.",
        "limit \"superheater\" { marks = 10, keep = actual(\"TT-2102\"):below(\"420 degC\") }";
    Script response(name: "string") -> "fun(fields: ResponseFields)", i::response,
        "An answer to a fault, marked by the time it took from the fault's onset.",
        "response \"level\" { to = \"feed\", marks = 8, by = did(\"LCV-3002\", \"open\"), full = \"45 s\", none = \"4 min\" }";
    Script order(name: "string") -> "fun(fields: OrderFields)", i::order,
        "Steps in the order that they ask for: each one left out or out of its place costs a part, and no more than that.",
        "order \"line-up\" { marks = 6, steps = { \"purge\", \"burning\" }, none_at = 2 }";
    Script steadiness(name: "string") -> "fun(fields: SteadinessFields)", i::steadiness,
        "How well a value was held, by its distance on average from where it should be.",
        "steadiness \"level\" { marks = 5, value = actual(\"LT-2001\"), around = \"0 mm\", full_within = \"20 mm\", none_beyond = \"80 mm\" }";
    Script finding(name: "string") -> "fun(fields: FindingFields)", i::finding,
        "What the trainee reported to be wrong, against the faults of the exercise.",
        "finding \"what was wrong\" { marks = 6, faults = { \"feed\" } }";
    Script group(name: "string") -> "fun(fields: GroupFields)", i::group,
        "Items that are worth so many marks together: the marks of each are then its weight among them.",
        "group \"boiler\" { marks = 20 } limit \"level\" { marks = 2, keep = shown(\"LT-2001\"):within(\"120 mm\", \"0 mm\"), group = \"boiler\" }";
    Script story(tells: "fun(run: Run)") -> "", i::story,
        "A function that follows the run as it goes: it waits, injects and clears faults, and speaks.",
        "story(function(run) run:wait(\"5 min\") run:inject(\"lamp\") end)";

    Script variant(name: "string", choices: "any"; many) -> "any", i::variant,
        "One of the choices, by the run's seed: of runs whose seeds follow each other, such as those of neighbours in a class, each gets another, and over as many runs as there are choices each is taken once. The mark sheet must be the same for all.",
        "local lamp = variant(\"lamp\", \"XL-2104\", \"XL-2101\")";

    // Values.
    Script actual(tag: "string") -> "Value", v::actual,
        "What is true at an instrument or a component.", "actual(\"PT-2001\"):above(\"4 barg\")";
    Script signal(tag: "string") -> "Value", v::signal,
        "What a transmitter or switch says; controllers and trips act on it.", "signal(\"LT-2001\"):below(\"-50 mm\")";
    Script shown(tag: "string") -> "Value", v::shown,
        "What the panel tells the trainee.", "shown(\"PT-2001\"):above(\"4 barg\"):lasting(\"30 s\")";
    Script setting(control: "string") -> "Value", v::setting,
        "Where the dial of a control stands.", "setting(\"LCV-3002\"):above(\"50 % open\")";
    Script damage(tag: "string") -> "Value", v::damage,
        "How much a component has been hurt: 0 none, 1 spoilt.", "damage(\"SH-2101\"):below(0.1)";

    // Conditions of their own.
    Script lit(lamp: "string") -> "Condition", t::lit,
        "The lamp is seen lit.", "lit(\"BL-2001\")";
    Script dark(lamp: "string") -> "Condition", t::dark,
        "The lamp is seen dark.", "dark(\"BL-2001\")";
    Script alarm(tag: "string") -> "Condition", t::alarm,
        "The alarm stands on the panel.", "alarm(\"XA-2001\")";
    Script unacknowledged(tag: "string") -> "Condition", t::unacknowledged,
        "The alarm stands and nobody has acknowledged it.", "unacknowledged(\"XA-2001\")";
    Script tripped(tag: "string") -> "Condition", t::tripped,
        "The trip is latched.", "tripped(\"XS-2001\")";
    Script set_to(control: "string", word: "string") -> "Condition", t::set_to,
        "The control stands at this word. For a dial compare setting(control).", "set_to(\"LIC-3001\", \"automatic\")";
    Script did(what: "string", on_or_setting: "string?", words: "string?") -> "Condition", t::did,
        "The moment in which the trainee did something: a control put to a word (or operated at all), \"acknowledge\", \"lamp test\", \"local check\", \"report\" or \"repair\", of anything or of one thing.",
        "did(\"P-3001\", \"start\")";
    Script fault_acting(name: "string") -> "Condition", t::fault_acting,
        "The fault of the exercise acts now.", "fault_acting(\"lamp\")";
    Script after_time(time: "string") -> "Condition", t::after_time,
        "The run has lasted so long.", "after_time(\"5 min\")";
    Script done(step: "string") -> "Condition", t::done,
        "The condition of a step written further up has come true.", "done(\"purge\")";

    // Joining conditions.
    Script all(conditions: "Condition|Condition[]"; many) -> "Condition", c::all,
        "All of them hold.", "all(lit(\"BL-2001\"), set_to(\"LIC-3001\", \"automatic\"))";
    Script any(conditions: "Condition|Condition[]"; many) -> "Condition", c::any,
        "At least one of them holds.", "any(did(\"P-3001\", \"start\"), did(\"P-3002\", \"start\"))";
    Script none(conditions: "Condition|Condition[]"; many) -> "Condition", c::none,
        "None of them holds.", "none(tripped(\"XS-2001\"), alarm(\"XA-2001\"))";
    Script not_(condition: "Condition") -> "Condition", c::not,
        "The opposite. Lua's own not does not work on conditions.", "not_(set_to(\"LIC-3001\", \"automatic\"))";
    Script not_yet(condition: "Condition") -> "Condition", c::not_yet,
        "It has not come true so far.", "not_yet(did(\"P-3001\", \"start\"))";

    // Methods of values.
    Value above(limit: "Quantity|Value") -> "Condition", v::above,
        "More than a quantity, or than another value.", "shown(\"PT-2001\"):above(\"4 barg\")";
    Value at_least(limit: "Quantity|Value") -> "Condition", v::at_least,
        "A quantity or more.", "shown(\"PT-2001\"):at_least(\"4 barg\")";
    Value below(limit: "Quantity|Value") -> "Condition", v::below,
        "Less than a quantity, or than another value.", "actual(\"TT-2102\"):below(\"420 degC\")";
    Value at_most(limit: "Quantity|Value") -> "Condition", v::at_most,
        "A quantity or less.", "actual(\"TT-2102\"):at_most(\"420 degC\")";
    Value between(low: "Quantity", high: "Quantity") -> "Condition", v::between,
        "From one quantity to another, both included.", "shown(\"PT-2001\"):between(\"4 barg\", \"7 barg\")";
    Value within(tolerance: "Quantity", of: "Quantity") -> "Condition", v::within,
        "No farther than a tolerance from a quantity. The tolerance of a gauge pressure is a \"bar difference\", that of a temperature is in K.", "shown(\"LT-2001\"):within(\"50 mm\", \"0 mm\")";
    Value is(word: "string") -> "Condition", v::is,
        "The state told by this word.", "actual(\"ZSH-2104\"):is(\"open\")";
    Value is_not(word: "string") -> "Condition", v::is_not,
        "Not the state told by this word.", "actual(\"ZSH-2104\"):is_not(\"open\")";

    Value rate(time: "string") -> "Value", w::rate,
        "How fast it changes: its change since so long ago, over that time. Compared with a quantity a minute, a second or an hour; a fall is below nothing.", "actual(\"TT-2102\"):rate(\"1 min\"):below(\"5 K/min\")";
    Value mean(time: "string?") -> "Value", w::mean,
        "Its mean over the last so long, or over the run so far.", "actual(\"PT-2001\"):mean(\"5 min\"):above(\"4 barg\")";
    Value greatest(time: "string?") -> "Value", w::greatest,
        "The greatest it was in the last so long, or in the run so far.", "actual(\"PT-2001\"):greatest(\"10 min\"):below(\"8 barg\")";
    Value least(time: "string?") -> "Value", w::least,
        "The least it was in the last so long, or in the run so far.", "actual(\"LT-2001\"):least(\"10 min\"):above(\"-80 mm\")";
    Value total(time: "string?") -> "Value", w::total,
        "What a flow or a power adds up to in the last so long, or in the run so far: kilograms, cubic metres, joules.", "actual(\"FT-3001\"):total():above(\"500 kg\")";
    Value travel(time: "string?") -> "Value", w::travel,
        "How far it went in the last so long, or in the run so far, there and back added up. Compared with a difference: a \"bar difference\", K.", "setting(\"LCV-3002\"):travel(\"10 min\"):below(\"60 % open\")";

    // Methods of conditions.
    Condition lasting(time: "string") -> "Condition", c::lasting,
        "Has held for so long without a break.", "lit(\"BL-2001\"):lasting(\"30 s\")";
    Condition once_within(time: "string") -> "Condition", c::once_within,
        "Held at some moment of the last so long.", "did(\"lamp test\"):once_within(\"2 min\")";
    Condition ever() -> "Condition", c::ever,
        "Held at some moment of the run so far.", "tripped(\"XS-2001\"):ever()";
    Condition followed_within(time: "string", next: "Condition") -> "Condition", c::followed_within,
        "The moment in which the next holds, when this held no longer ago than that.", "did(\"lamp test\"):followed_within(\"2 min\", did(\"local check\", \"XV-2104\"))";
    Condition since(start: "Condition") -> "Condition", c::since,
        "Has held ever since the start held.", "lit(\"BL-2001\"):since(did(\"HS-2002\", \"start\"))";
    Condition before(other: "Condition") -> "Condition", c::before,
        "Came true when the other had not; stays true from then on.", "did(\"K-2001\", \"start\"):before(lit(\"BL-2001\"))";
    Condition after(other: "Condition") -> "Condition", c::after,
        "Holds now, and the other held at some moment so far.", "did(\"HS-2002\", \"start\"):after(done(\"purge\"))";
    Condition times(count: "integer") -> "Condition", c::times,
        "Has come true at least so often.", "did(\"lamp test\"):times(2)";
    Condition times_in(time: "string") -> "Value", w::times_in,
        "How often it came true in the last so long: a plain number.", "did(\"P-3001\", \"start\"):times_in(\"30 min\"):at_most(2)";
    Condition in_all(time: "string?") -> "Value", w::in_all,
        "The time for which it held in the last so long, or in the run so far, all stretches added up.", "alarm(\"XA-2001\"):in_all():at_most(\"3 min\")";
    Condition longest(time: "string?") -> "Value", w::longest,
        "The longest time for which it held without a break in the last so long, or in the run so far.", "alarm(\"XA-2001\"):longest():at_most(\"1 min\")";
    Condition answered_within(time: "string", answer: "Condition") -> "Condition", c::answered_within,
        "Whenever this holds, the answer holds no more than so long after it. It looks ahead: for marks only.", "alarm(\"XA-2001\"):answered_within(\"1 min\", did(\"acknowledge\", \"XA-2001\"))";
    Condition until_(other: "Condition") -> "Condition", c::until,
        "Holds until the other does, and the other does come. It looks ahead: for marks only.", "set_to(\"LIC-3001\", \"manual\"):until_(lit(\"BL-2001\"))";

    // The run, in a story.
    Run wait(time: "string") -> "", r::wait,
        "Waits so long.", "run:wait(\"5 min\")";
    Run wait_until(condition: "Condition", at_most: "string?") -> "boolean", r::wait_until,
        "Waits until the condition holds, or so long at most. True when the condition came, false when the time was up.", "run:wait_until(lit(\"BL-2001\"), \"10 min\")";
    Run inject(fault: "string") -> "", r::inject,
        "Sets a fault of the exercise going.", "run:inject(\"lamp\")";
    Run clear(fault: "string") -> "", r::clear,
        "Clears a fault of the exercise.", "run:clear(\"lamp\")";
    Run grow(fault: "string", size: "Quantity", over: "string?") -> "", r::grow,
        "Brings a fault of the exercise that acts to another size, at once or over so long. One that does not act stays as it is.", "run:grow(\"leak\", \"20 % of rated\", \"5 min\")";
    Run weather(what: "string", to: "Quantity", over: "string?") -> "", r::weather,
        "Changes the weather, at once or over so long: \"sea temperature\" or \"air temperature\".", "run:weather(\"sea temperature\", \"32 degC\", \"20 min\")";
    Run load(consumer: "string", to: "Quantity", over: "string?") -> "", r::load,
        "Changes what a consumer of the ship takes, at once or over so long, or has the ship's people switch it \"in\" or \"out\".", "run:load(\"L-5415\", \"180 kW\", \"2 min\")";
    Run tell(text: "string") -> "", r::tell,
        "Speaks to the trainee.", "run:tell(\"The bridge asks when steam will be ready.\")";
    Run note(text: "string") -> "", r::note,
        "Leaves a note for the debrief.", "run:note(\"The second fault was not needed.\")";
    Run finish(reason: "string") -> "", r::finish,
        "Ends the run.", "run:finish(\"Steam is on the first consumer.\")";
    Run time() -> "number", r::time,
        "Seconds since the start of the run.", "local s = run:time()";
    Run value(value: "Value") -> "number|string", r::value,
        "A value at this moment, in the unit that people read it in; a state gives its word.", "local p = run:value(shown(\"PT-2001\"))";
    Run holds(condition: "Condition") -> "boolean", r::holds,
        "Whether a condition holds at this moment. It may not look back or ahead.", "if run:holds(lit(\"BL-2001\")) then run:inject(\"lamp\") end";
    Run has(action: "Condition") -> "boolean", r::has,
        "Whether the trainee has done this, or a step has been done, since the start of the run.", "if run:has(did(\"lamp test\")) then run:note(\"The lamps were tested.\") end";
    Run not_yet(action: "Condition") -> "boolean", r::not_yet,
        "Whether the trainee has not done this, or a step has not been done, since the start of the run.", "if run:not_yet(did(\"P-3002\", \"start\")) then run:inject(\"feed\") end";
};
