-- The deck takes power in two steps. The second is more than the supply carries, and consumers are shed: the story
-- asks the bus what it felt of both, and says so.
--! happens: 00:00.1 L-5415 from out to in
--! happens: 00:00.1 L-5415 from 120.0 kW to 60.0 kW
--! happens: 00:10.1 L-5415 from 60.0 kW to 200.0 kW
--! happens: 01:10.1 noted The first step was carried.
--! happens: 01:10.1 noted The second was too much, and consumers were shed.
--! happens: 01:10.1 L-5415 from in to out
exercise { title = "The ship's load", plant = "training-vessel", start = "cooling-up", lasts = "5 min" }
step "more" { marks = 1, done = shown("JT-5000"):above("300 kW") }

story(function(run)
  local function load() return run:value(actual("JT-5000")) end
  local before = load()
  run:load("L-5415", "in")
  run:load("L-5415", "60 kW")
  run:wait("10 s")
  local between = load()
  run:load("L-5415", "200 kW", "30 s")
  run:wait("1 min")
  if between > before + 40 then run:note("The first step was carried.") end
  if load() < between then run:note("The second was too much, and consumers were shed.") end
  run:load("L-5415", "out")
end)
