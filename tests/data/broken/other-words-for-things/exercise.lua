exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "feed" { on = "P-3001", kind = "trips" }
step "water" { marks = 4, done = did("start", "P-3001") } -- finds: script::unknown-action
step "lamp" { marks = 1, done = did("BL-2001") } -- finds: script::unknown-action
step "fire" { marks = 1, done = did("K-2001", "start"), full_by = "10:00" } -- finds: script::unit
local fire = actual("BSH-2001"):is("flame")
step "flame" { marks = 1, done = fier, none_by = "−5 min" } -- finds: script::unknown-name, script::unit

story(function(run)
  run:wait_until(fire, "5 min")
  run:say("Water, please.") -- finds: script::unknown-method
  run:inject("P-3001") -- finds: script::unknown-fault
end)
