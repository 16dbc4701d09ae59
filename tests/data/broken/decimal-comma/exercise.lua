exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "steam" { marks = 4, done = shown("PT-2001"):above("1,5 barg") } -- finds: script::unit
limit "metal" { marks = 4, keep = actual("TT-2102"):below("420 °C") } -- finds: script::unit
