exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
limit "pressure" { marks = 4, keep = shown("PT-2011"):below("9 barg") } -- finds: script::unknown-point
limit "level" { marks = 4, keep = actual("BL-2001"):below("9 barg") } -- finds: script::unknown-point
step "fan" { marks = 1, done = actual("HS-2001"):is("start") } -- finds: script::unknown-point
