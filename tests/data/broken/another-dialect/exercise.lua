exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
local marks = 4
marks += 2 -- finds: script::dialect
step "flame" { marks = marks, done = lit("BL-2001") }
