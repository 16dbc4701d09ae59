exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "patience" { marks = 4, done = lit("BL-2001"):lasting("2 h") } -- finds: script::never
step "late" { marks = 4, done = all(after_time("90 min"), lit("BL-2001")) } -- finds: script::never
