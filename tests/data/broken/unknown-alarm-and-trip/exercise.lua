exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "seen" { marks = 2, done = did("acknowledge", "XA-2010") } -- finds: script::unknown-alarm
limit "trip" { marks = 2, keep = not_(tripped("XS-2010")) } -- finds: script::unknown-trip
limit "tubes" { marks = 2, keep = damage("B-2010"):below(0.1) } -- finds: script::unknown-component
