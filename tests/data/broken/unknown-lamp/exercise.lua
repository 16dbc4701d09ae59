exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "flame" { marks = 4, done = lit("BL-2010") } -- finds: script::unknown-lamp
step "pilot" { marks = 2, done = all(lit("BL-2002"), dark("BL-20033")) } -- finds: script::unknown-lamp
