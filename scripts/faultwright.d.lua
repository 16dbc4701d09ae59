---@meta
-- Editor definitions of the words of the exercises. Generated from the code; change the table of words instead.

---A quantity with its unit, such as "4 barg", "420 degC" or "35 % open".
---@alias Quantity string|number

---@class (exact) ExerciseFields
---@field title string Title for people.
---@field plant string The plant's short name.
---@field start string The prepared state that the run starts from, such as "cold".
---@field lasts string How long the run lasts at most: "80 min".
---@field changes? table<string, string> Controls set otherwise than in the prepared state: { ["P-3001"] = "start" }.
---@field brief? string What the trainee is told before the run.
---@field trends? string[] Instruments whose trends the debrief draws.
---@field pass? number Marks needed to pass.
---@field out_of? number Marks of all items together, as you counted them: check tells when they do not add up.

---@class (exact) FaultFields
---@field on string The component, instrument, lamp, gauge or alarm.
---@field kind string What goes wrong: a kind of the fault table.
---@field size? string How big, with a unit: "40 % open".
---@field at? string|string[] Begins at this time of the run; with two times, at random between them from the run's seed.
---@field when? Condition Begins when this first holds.
---@field after? [Condition, string] Begins so long after a condition first held: { condition, "30 s" }.
---@field grows_over? string Grows from nothing to its size over so long. Left out: all of it at once.
---@field there_for? string|string[] Comes and goes: there for so long each time, from its beginning on; with two times, at random between them from the run's seed.
---@field away_for? string|string[] Comes and goes: away for so long each time; with two times, at random between them from the run's seed.
---@field lasts? string Clears by itself so long after it began.
---@field clears_at? string Clears at this time of the run.
---@field clears_when? Condition Clears when this first holds.
---@field repaired_in? string Clears when the helper was asked to repair it and has worked at it for so long. Left out: the helper cannot repair it.

---@class (exact) StepFields
---@field marks number Marks that can be earned, with at most two decimals.
---@field done Condition What must come true.
---@field after? string|string[] Names of steps that come first.
---@field full_by? string Full marks up to this time of the run.
---@field none_by? string No marks from this time of the run on; a straight line between.
---@field out_of_order? number Part of the marks, from 0 to 1, when it was done before a step that comes first. Left out: 0.5.
---@field none_short? Quantity When it was not done: how far short of it loses everything, "10 % open"; a straight line. Left out: being near earns nothing.
---@field critical? boolean Losing it decides the run.
---@field optional? boolean Nobody is asked for it; whoever tries it is marked on it.
---@field bonus? boolean It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.
---@field instead_of? string Name of an item in whose place it may stand, with the same marks: the better one counts.
---@field group? string Name of the group it belongs to; its marks are then its weight there.
---@field expected? string What the trainee should have done, for people. Left out: the condition in words.
---@field practise? string What to practise when marks were lost.
---@field competence? string|string[] What the item shows of a trainee: references to the STCW Code as the book lists them.

---@class (exact) LimitFields
---@field marks number Marks that can be earned, with at most two decimals.
---@field keep Condition What must hold.
---@field during? Condition Only while this holds. Left out: the whole run.
---@field none_beyond? Quantity How far past the limit loses everything: "10 K".
---@field none_after? string How long past the limit, in total, loses everything: "2 min".
---@field critical? boolean Losing it decides the run.
---@field optional? boolean Nobody is asked for it; whoever tries it is marked on it.
---@field bonus? boolean It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.
---@field instead_of? string Name of an item in whose place it may stand, with the same marks: the better one counts.
---@field group? string Name of the group it belongs to; its marks are then its weight there.
---@field expected? string What the trainee should have kept, for people. Left out: the condition in words.
---@field practise? string What to practise when marks were lost.
---@field competence? string|string[] What the item shows of a trainee: references to the STCW Code as the book lists them.

---@class (exact) ResponseFields
---@field to string Name of the fault.
---@field marks number Marks that can be earned, with at most two decimals.
---@field by Condition What answers the fault.
---@field full string Full marks up to this long after the fault's onset.
---@field none string No marks from this long after the fault's onset; a straight line between.
---@field critical? boolean Losing it decides the run.
---@field optional? boolean Nobody is asked for it; whoever tries it is marked on it.
---@field bonus? boolean It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.
---@field instead_of? string Name of an item in whose place it may stand, with the same marks: the better one counts.
---@field group? string Name of the group it belongs to; its marks are then its weight there.
---@field expected? string What the trainee should have done, for people. Left out: the condition in words.
---@field practise? string What to practise when marks were lost.
---@field competence? string|string[] What the item shows of a trainee: references to the STCW Code as the book lists them.

---@class (exact) OrderFields
---@field marks number Marks that can be earned, with at most two decimals.
---@field steps string[] Names of the steps, at least two. Their order is that of their own after.
---@field wrong? Condition What should not be done: each time it comes true is a departure.
---@field none_at? integer No marks from so many departures on. Left out: as many as there are steps.
---@field critical? boolean Losing it decides the run.
---@field optional? boolean Nobody is asked for it; whoever tries it is marked on it.
---@field bonus? boolean It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.
---@field instead_of? string Name of an item in whose place it may stand, with the same marks: the better one counts.
---@field group? string Name of the group it belongs to; its marks are then its weight there.
---@field expected? string What the trainee should have done, for people. Left out: told from the fields.
---@field practise? string What to practise when marks were lost.
---@field competence? string|string[] What the item shows of a trainee: references to the STCW Code as the book lists them.

---@class (exact) SteadinessFields
---@field marks number Marks that can be earned, with at most two decimals.
---@field value Value What is held.
---@field around Quantity Where it should be.
---@field full_within Quantity Full marks up to this far off on average.
---@field none_beyond Quantity No marks from this far off on average; a straight line between.
---@field during? Condition Only while this holds. Left out: the whole run.
---@field critical? boolean Losing it decides the run.
---@field optional? boolean Nobody is asked for it; whoever tries it is marked on it.
---@field bonus? boolean It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.
---@field instead_of? string Name of an item in whose place it may stand, with the same marks: the better one counts.
---@field group? string Name of the group it belongs to; its marks are then its weight there.
---@field expected? string What the trainee should have done, for people. Left out: told from the fields.
---@field practise? string What to practise when marks were lost.
---@field competence? string|string[] What the item shows of a trainee: references to the STCW Code as the book lists them.

---@class (exact) FindingFields
---@field marks number Marks that can be earned, with at most two decimals.
---@field faults? string|string[] Names of the faults. Left out: all of the exercise.
---@field right_equipment? number Part of a fault's marks, from 0 to 1, for its equipment without its kind. Left out: 0.5.
---@field guess? number Part of all the marks, from 0 to 1, that a report of sound equipment costs. Left out: 0.25.
---@field critical? boolean Losing it decides the run.
---@field optional? boolean Nobody is asked for it; whoever tries it is marked on it.
---@field bonus? boolean It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.
---@field instead_of? string Name of an item in whose place it may stand, with the same marks: the better one counts.
---@field group? string Name of the group it belongs to; its marks are then its weight there.
---@field expected? string What the trainee should have done, for people. Left out: told from the fields.
---@field practise? string What to practise when marks were lost.
---@field competence? string|string[] What the item shows of a trainee: references to the STCW Code as the book lists them.

---@class (exact) GroupFields
---@field marks number Marks of all its items together.

---@class Value
local value = {}

---More than a quantity, or than another value.
---
---    shown("PT-2001"):above("4 barg")
---@param limit Quantity|Value
---@return Condition
function value:above(limit) end

---A quantity or more.
---
---    shown("PT-2001"):at_least("4 barg")
---@param limit Quantity|Value
---@return Condition
function value:at_least(limit) end

---Less than a quantity, or than another value.
---
---    actual("TT-2102"):below("420 degC")
---@param limit Quantity|Value
---@return Condition
function value:below(limit) end

---A quantity or less.
---
---    actual("TT-2102"):at_most("420 degC")
---@param limit Quantity|Value
---@return Condition
function value:at_most(limit) end

---From one quantity to another, both included.
---
---    shown("PT-2001"):between("4 barg", "7 barg")
---@param low Quantity
---@param high Quantity
---@return Condition
function value:between(low, high) end

---No farther than a tolerance from a quantity. The tolerance of a gauge pressure is a "bar difference", that of a temperature is in K.
---
---    shown("LT-2001"):within("50 mm", "0 mm")
---@param tolerance Quantity
---@param of Quantity
---@return Condition
function value:within(tolerance, of) end

---The state told by this word.
---
---    actual("ZSH-2104"):is("open")
---@param word string
---@return Condition
function value:is(word) end

---Not the state told by this word.
---
---    actual("ZSH-2104"):is_not("open")
---@param word string
---@return Condition
function value:is_not(word) end

---How fast it changes: its change since so long ago, over that time. Compared with a quantity a minute, a second or an hour; a fall is below nothing.
---
---    actual("TT-2102"):rate("1 min"):below("5 K/min")
---@param time string
---@return Value
function value:rate(time) end

---Its mean over the last so long, or over the run so far.
---
---    actual("PT-2001"):mean("5 min"):above("4 barg")
---@param time? string
---@return Value
function value:mean(time) end

---The greatest it was in the last so long, or in the run so far.
---
---    actual("PT-2001"):greatest("10 min"):below("8 barg")
---@param time? string
---@return Value
function value:greatest(time) end

---The least it was in the last so long, or in the run so far.
---
---    actual("LT-2001"):least("10 min"):above("-80 mm")
---@param time? string
---@return Value
function value:least(time) end

---What a flow or a power adds up to in the last so long, or in the run so far: kilograms, cubic metres, joules.
---
---    actual("FT-3001"):total():above("500 kg")
---@param time? string
---@return Value
function value:total(time) end

---How far it went in the last so long, or in the run so far, there and back added up. Compared with a difference: a "bar difference", K.
---
---    setting("LCV-3002"):travel("10 min"):below("60 % open")
---@param time? string
---@return Value
function value:travel(time) end

---@class Condition
local condition = {}

---Has held for so long without a break.
---
---    lit("BL-2001"):lasting("30 s")
---@param time string
---@return Condition
function condition:lasting(time) end

---Held at some moment of the last so long.
---
---    did("lamp test"):once_within("2 min")
---@param time string
---@return Condition
function condition:once_within(time) end

---Held at some moment of the run so far.
---
---    tripped("XS-2001"):ever()
---@return Condition
function condition:ever() end

---The moment in which the next holds, when this held no longer ago than that.
---
---    did("lamp test"):followed_within("2 min", did("local check", "XV-2104"))
---@param time string
---@param next Condition
---@return Condition
function condition:followed_within(time, next) end

---Has held ever since the start held.
---
---    lit("BL-2001"):since(did("HS-2002", "start"))
---@param start Condition
---@return Condition
function condition:since(start) end

---Came true when the other had not; stays true from then on.
---
---    did("K-2001", "start"):before(lit("BL-2001"))
---@param other Condition
---@return Condition
function condition:before(other) end

---Holds now, and the other held at some moment so far.
---
---    did("HS-2002", "start"):after(done("purge"))
---@param other Condition
---@return Condition
function condition:after(other) end

---Has come true at least so often.
---
---    did("lamp test"):times(2)
---@param count integer
---@return Condition
function condition:times(count) end

---How often it came true in the last so long: a plain number.
---
---    did("P-3001", "start"):times_in("30 min"):at_most(2)
---@param time string
---@return Value
function condition:times_in(time) end

---The time for which it held in the last so long, or in the run so far, all stretches added up.
---
---    alarm("XA-2001"):in_all():at_most("3 min")
---@param time? string
---@return Value
function condition:in_all(time) end

---The longest time for which it held without a break in the last so long, or in the run so far.
---
---    alarm("XA-2001"):longest():at_most("1 min")
---@param time? string
---@return Value
function condition:longest(time) end

---Whenever this holds, the answer holds no more than so long after it. It looks ahead: for marks only.
---
---    alarm("XA-2001"):answered_within("1 min", did("acknowledge", "XA-2001"))
---@param time string
---@param answer Condition
---@return Condition
function condition:answered_within(time, answer) end

---Holds until the other does, and the other does come. It looks ahead: for marks only.
---
---    set_to("LIC-3001", "manual"):until_(lit("BL-2001"))
---@param other Condition
---@return Condition
function condition:until_(other) end

---@class Run
local run = {}

---Waits so long.
---
---    run:wait("5 min")
---@param time string
function run:wait(time) end

---Waits until the condition holds, or so long at most. True when the condition came, false when the time was up.
---
---    run:wait_until(lit("BL-2001"), "10 min")
---@param condition Condition
---@param at_most? string
---@return boolean
function run:wait_until(condition, at_most) end

---Sets a fault of the exercise going.
---
---    run:inject("lamp")
---@param fault string
function run:inject(fault) end

---Clears a fault of the exercise.
---
---    run:clear("lamp")
---@param fault string
function run:clear(fault) end

---Brings a fault of the exercise that acts to another size, at once or over so long. One that does not act stays as it is.
---
---    run:grow("leak", "20 % of rated", "5 min")
---@param fault string
---@param size Quantity
---@param over? string
function run:grow(fault, size, over) end

---Changes the weather, at once or over so long: "sea temperature" or "air temperature".
---
---    run:weather("sea temperature", "32 degC", "20 min")
---@param what string
---@param to Quantity
---@param over? string
function run:weather(what, to, over) end

---Changes what a consumer of the ship takes, at once or over so long, or has the ship's people switch it "in" or "out".
---
---    run:load("L-5415", "180 kW", "2 min")
---@param consumer string
---@param to Quantity
---@param over? string
function run:load(consumer, to, over) end

---Speaks to the trainee.
---
---    run:tell("The bridge asks when steam will be ready.")
---@param text string
function run:tell(text) end

---Leaves a note for the debrief.
---
---    run:note("The second fault was not needed.")
---@param text string
function run:note(text) end

---Ends the run.
---
---    run:finish("Steam is on the first consumer.")
---@param reason string
function run:finish(reason) end

---Seconds since the start of the run.
---
---    local s = run:time()
---@return number
function run:time() end

---A value at this moment, in the unit that people read it in; a state gives its word.
---
---    local p = run:value(shown("PT-2001"))
---@param value Value
---@return number|string
function run:value(value) end

---Whether a condition holds at this moment. It may not look back or ahead.
---
---    if run:holds(lit("BL-2001")) then run:inject("lamp") end
---@param condition Condition
---@return boolean
function run:holds(condition) end

---Whether the trainee has done this, or a step has been done, since the start of the run.
---
---    if run:has(did("lamp test")) then run:note("The lamps were tested.") end
---@param action Condition
---@return boolean
function run:has(action) end

---Whether the trainee has not done this, or a step has not been done, since the start of the run.
---
---    if run:not_yet(did("P-3002", "start")) then run:inject("feed") end
---@param action Condition
---@return boolean
function run:not_yet(action) end

---Settings of the pack.
---@type table<string, string|number|boolean>
parameters = {}

---Says what the exercise is. Once in a script.
---
---    exercise { title = "Dark lamp", plant = "training-vessel", start = "cold", lasts = "80 min" }
---@param heading ExerciseFields
function exercise(heading) end

---Something that goes wrong. Without at, when or after it waits for a story to inject it.
---
---    fault "lamp" { on = "XL-2104", kind = "dark", at = "5 min" }
---@param name string
---@return fun(fields: FaultFields)
function fault(name) end

---Something to be brought about. Marks are earned when its condition first comes true.
---
---    step "flame" { marks = 4, done = lit("BL-2001"), after = "purge" }
---@param name string
---@return fun(fields: StepFields)
function step(name) end

---Something to keep. Marks fall with how far and how long it was broken.
---
---    limit "superheater" { marks = 10, keep = actual("TT-2102"):below("420 degC") }
---@param name string
---@return fun(fields: LimitFields)
function limit(name) end

---An answer to a fault, marked by the time it took from the fault's onset.
---
---    response "level" { to = "feed", marks = 8, by = did("LCV-3002", "open"), full = "45 s", none = "4 min" }
---@param name string
---@return fun(fields: ResponseFields)
function response(name) end

---Steps in the order that they ask for: each one left out or out of its place costs a part, and no more than that.
---
---    order "line-up" { marks = 6, steps = { "purge", "burning" }, none_at = 2 }
---@param name string
---@return fun(fields: OrderFields)
function order(name) end

---How well a value was held, by its distance on average from where it should be.
---
---    steadiness "level" { marks = 5, value = actual("LT-2001"), around = "0 mm", full_within = "20 mm", none_beyond = "80 mm" }
---@param name string
---@return fun(fields: SteadinessFields)
function steadiness(name) end

---What the trainee reported to be wrong, against the faults of the exercise.
---
---    finding "what was wrong" { marks = 6, faults = { "feed" } }
---@param name string
---@return fun(fields: FindingFields)
function finding(name) end

---Items that are worth so many marks together: the marks of each are then its weight among them.
---
---    group "boiler" { marks = 20 } limit "level" { marks = 2, keep = shown("LT-2001"):within("120 mm", "0 mm"), group = "boiler" }
---@param name string
---@return fun(fields: GroupFields)
function group(name) end

---A function that follows the run as it goes: it waits, injects and clears faults, and speaks.
---
---    story(function(run) run:wait("5 min") run:inject("lamp") end)
---@param tells fun(run: Run)
function story(tells) end

---One of the choices, by the run's seed: of runs whose seeds follow each other, such as those of neighbours in a class, each gets another, and over as many runs as there are choices each is taken once. The mark sheet must be the same for all.
---
---    local lamp = variant("lamp", "XL-2104", "XL-2101")
---@param name string
---@param ... any
---@return any
function variant(name, ...) end

---What is true at an instrument or a component.
---
---    actual("PT-2001"):above("4 barg")
---@param tag string
---@return Value
function actual(tag) end

---What a transmitter or switch says; controllers and trips act on it.
---
---    signal("LT-2001"):below("-50 mm")
---@param tag string
---@return Value
function signal(tag) end

---What the panel tells the trainee.
---
---    shown("PT-2001"):above("4 barg"):lasting("30 s")
---@param tag string
---@return Value
function shown(tag) end

---Where the dial of a control stands.
---
---    setting("LCV-3002"):above("50 % open")
---@param control string
---@return Value
function setting(control) end

---How much a component has been hurt: 0 none, 1 spoilt.
---
---    damage("SH-2101"):below(0.1)
---@param tag string
---@return Value
function damage(tag) end

---The lamp is seen lit.
---
---    lit("BL-2001")
---@param lamp string
---@return Condition
function lit(lamp) end

---The lamp is seen dark.
---
---    dark("BL-2001")
---@param lamp string
---@return Condition
function dark(lamp) end

---The alarm stands on the panel.
---
---    alarm("XA-2001")
---@param tag string
---@return Condition
function alarm(tag) end

---The alarm stands and nobody has acknowledged it.
---
---    unacknowledged("XA-2001")
---@param tag string
---@return Condition
function unacknowledged(tag) end

---The trip is latched.
---
---    tripped("XS-2001")
---@param tag string
---@return Condition
function tripped(tag) end

---The control stands at this word. For a dial compare setting(control).
---
---    set_to("LIC-3001", "automatic")
---@param control string
---@param word string
---@return Condition
function set_to(control, word) end

---The moment in which the trainee did something: a control put to a word (or operated at all), "acknowledge", "lamp test", "local check", "report" or "repair", of anything or of one thing.
---
---    did("P-3001", "start")
---@param what string
---@param on_or_setting? string
---@param words? string
---@return Condition
function did(what, on_or_setting, words) end

---The fault of the exercise acts now.
---
---    fault_acting("lamp")
---@param name string
---@return Condition
function fault_acting(name) end

---The run has lasted so long.
---
---    after_time("5 min")
---@param time string
---@return Condition
function after_time(time) end

---The condition of a step written further up has come true.
---
---    done("purge")
---@param step string
---@return Condition
function done(step) end

---All of them hold.
---
---    all(lit("BL-2001"), set_to("LIC-3001", "automatic"))
---@param ... Condition|Condition[]
---@return Condition
function all(...) end

---At least one of them holds.
---
---    any(did("P-3001", "start"), did("P-3002", "start"))
---@param ... Condition|Condition[]
---@return Condition
function any(...) end

---None of them holds.
---
---    none(tripped("XS-2001"), alarm("XA-2001"))
---@param ... Condition|Condition[]
---@return Condition
function none(...) end

---The opposite. Lua's own not does not work on conditions.
---
---    not_(set_to("LIC-3001", "automatic"))
---@param condition Condition
---@return Condition
function not_(condition) end

---It has not come true so far.
---
---    not_yet(did("P-3001", "start"))
---@param condition Condition
---@return Condition
function not_yet(condition) end
