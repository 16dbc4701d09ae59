exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
local hard = parameters.hard or false
if hard then
  lmit "level" { marks = 2, keep = shown("LT-2001"):above("-100 mm") } -- finds: script::unknown-name
end
step "flame" { marks = 4, done = lit("BL-2001") }
