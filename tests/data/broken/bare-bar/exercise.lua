exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "steam" { marks = 4, done = shown("PT-2001"):above("4 bar") } -- finds: script::unit
step "valve" { marks = 4, done = setting("XV-2103"):above("40 %") } -- finds: script::unit
