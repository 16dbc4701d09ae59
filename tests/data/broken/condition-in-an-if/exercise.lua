exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
local flame = lit("BL-2001")
if flame then -- finds: script::always-true
  step "flame" { marks = 4, done = flame }
end
