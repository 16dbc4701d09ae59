exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "flame" { marks = 4, done = lit("BL-2001"), marks = 6 } -- finds: script::repeated-key
