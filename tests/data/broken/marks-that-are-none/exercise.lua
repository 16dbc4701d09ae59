exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "flame" { marks = 0, done = lit("BL-2001") } -- finds: warning script::no-marks
limit "trip" { marks = 0, keep = not_(tripped("XS-2001")), critical = true }
step "steam" { marks = 6, done = shown("PT-2001"):above("4 barg") }
