exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "steam" { marks = 4, done = shown("PT-2001"):above("40 degC") } -- finds: script::unit
step "held" { marks = 4, done = shown("PT-2001"):within("0.5 barg", "7 barg") } -- finds: script::unit
step "compared" { marks = 4, done = shown("PT-2001"):above(shown("LT-2001")) } -- finds: script::unit
