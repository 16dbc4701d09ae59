exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "purge" { marks = 4, done = lit("BL-2003"), after = "flame" } -- finds: script::circular
step "flame" { marks = 4, done = lit("BL-2001"), after = "purge" }
