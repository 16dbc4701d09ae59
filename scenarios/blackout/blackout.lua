-- Out of a blackout.
--
-- A training aid and no procedure for a real plant: makers' manuals, class and flag rules, the
-- safety-management system and the engineer in charge come first. Limits are this plant's own.

exercise {
  title = "Out of a blackout",
  plant = "training-vessel",
  start = "on-the-board",
  lasts = "90 min",
  pass = 60,
  brief = [[Turbine and diesel share the load, the boiler is on automatic. The diesel is wanted for an inspection: take
its load over to the turbine, open its breaker at little load, let it cool for two minutes and stop it. From then on
the turbine carries the ship alone. Whatever happens, keep the ship alive: see the emergency set come, get a set onto
the dead bus, bring back what does not come back by itself, and light the boiler again in good order. A machine that
tripped for a reason is not used again before the reason is known. Report what you find.]],
  trends = { "JT-5000", "JT-5001", "JT-5101", "ST-5000", "ST-4001", "VT-4001", "PT-2001", "LT-2001", "PT-3201" },
}

-- What goes wrong -------------------------------------------------------------------------------

-- The story takes the turbine away once it carries the ship alone, and with it a feed pump's starter.
fault "blade lost" { on = "TU-4001", kind = "unbalanced", size = "150 um" }
fault "feed pump dead" { on = "P-3001", kind = "will not start" }

-- What is looked at more than once --------------------------------------------------------------

local fire = signal("BSH-2001"):is("flame")
local live = actual("BUS-5000"):is("live")
local alone = all(actual("CB-5001"):is("open"), actual("CB-5101"):is("closed"))
local lost = fault_acting("blade lost"):ever()
local dark = all(lost, actual("BUS-5000"):is("dead"))
local back = all(live, dark:ever())

-- The diesel off the board ----------------------------------------------------------------------

step "diesel off at little load" {
  marks = 6, done = actual("JT-5001"):below("40 kW"):before(alone), full_by = "15 min", none_by = "30 min",
  expected = "The diesel's load is taken over by the turbine before its breaker is opened.",
  practise = "Taking a set off the board: load first, then the breaker.",
}
step "diesel cooled down" {
  marks = 3, done = all(alone, actual("D-5011"):is("running")):lasting("2 min"), after = "diesel off at little load",
  expected = "The diesel runs for two minutes without load before it is stopped.",
}

-- Power -----------------------------------------------------------------------------------------

response "a set on the dead bus" {
  to = "blade lost", marks = 14, full = "4 min", none = "12 min", critical = true,
  by = all(live, actual("CB-5001"):is("closed")),
  expected = "The diesel is started and put on the dead bus within 4 minutes.",
  practise = "Out of the dark: air, diesel, breaker. A dead bus needs no synchronising.",
}
limit "turbine left alone" {
  marks = 8, during = all(dark:ever(), lost),
  keep = actual("XS-4002"):is("not set"), none_after = "60 s",
  expected = "The turbine's trip gear is not set again: it tripped on vibration, and nobody knows why.",
  practise = "A trip has a reason. Find it before the reset.",
}
limit "bearings kept" {
  marks = 4, during = lost, keep = all(damage("BE-4001"):below(0.05), damage("BE-4002"):below(0.05)), none_beyond = 0.2,
  expected = "The rotor runs down with oil at its bearings.",
  practise = "The priming pump hangs on the emergency bus: see that it runs.",
}

-- What does not come back by itself -------------------------------------------------------------

step "cooling water back" {
  marks = 6, full_by = "40 min", none_by = "60 min",
  done = all(back, actual("PT-1101"):above("1 barg"), actual("PT-1201"):above("2.2 barg")):lasting("30 s"),
  expected = "Sea water and fresh water flow again.",
}
step "condenser kept" {
  marks = 6, full_by = "40 min", none_by = "60 min",
  done = all(back, actual("P-3201"):is("running"), any(actual("P-3211"):is("running"), actual("P-3212"):is("running"))):lasting("10 s"),
  expected = "Circulating water and condensate are running again.",
  practise = "After a blackout: go through the motors that wait for a hand.",
}
response "feed back" {
  to = "feed pump dead", marks = 8, full = "3 min", none = "10 min", by = actual("P-3002"):is("running"),
  expected = "The second feed pump is started within 3 minutes after the first one does not answer.",
}
limit "level kept" {
  marks = 6, keep = actual("LT-2001"):between("-150 mm", "240 mm"), during = dark:ever(), none_beyond = "100 mm",
  none_after = "10 min",
  expected = "The drum's level stays between -150 and 240 mm.",
}
step "emergency bus on the main bus" {
  marks = 5, done = all(back, actual("CB-5300"):is("closed"), actual("CB-5201"):is("open")):lasting("5 s"),
  expected = "The emergency bus hangs on the main bus again, its own set off the board.",
}
step "emergency set stands by" {
  marks = 4, done = all(set_to("D-5211", "standby"), actual("D-5211"):is("stopped"), back), after = "emergency bus on the main bus",
  expected = "The emergency set is stopped and set to stand by for the next time.",
}

-- The boiler ------------------------------------------------------------------------------------

step "purge" {
  marks = 7, critical = true, done = all(actual("YS-2003"):is("purged"), dark:ever()):before(all(fire, back)),
  expected = "The furnace is purged again before the fire is lit.",
  practise = "A trip is reset by hand, after the purge.",
}
step "relit" {
  marks = 8, done = all(fire, back):lasting("60 s"), after = "purge", full_by = "45 min", none_by = "70 min",
  expected = "The boiler burns again.",
  practise = "Fan, purge, reset, light: the same order after every trip.",
}

-- The rotor, and the report ---------------------------------------------------------------------

step "rotor turned" {
  marks = 7, done = all(lost, actual("HS-4002"):is("in")):lasting("60 s"),
  expected = "Once the rotor stands, the turning gear is in: a hot rotor that stands bows.",
  practise = "After a stop: oil on, turning gear in.",
}
finding "what was wrong" {
  marks = 8,
  expected = "The turbine's unbalance and the feed pump that will not start are reported.",
}

story(function(run)
  run:wait_until(all(alone, actual("D-5011"):is("stopped")):lasting("90 s"))
  run:inject("blade lost")
  run:wait_until(actual("BUS-5000"):is("dead"))
  run:inject("feed pump dead")
  run:tell("The bridge calls: the lights are out. How long?")
  run:wait_until(live)
  run:note("The main bus was live again.")
  run:wait_until(done("rotor turned"))
  run:wait("3 min")
  run:finish("The ship is alive, the boiler burns, the rotor turns.")
end)
