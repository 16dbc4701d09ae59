exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
limit "level" { marks = 2, keep = shown("LT-2001"):abvoe("-100 mm") } -- finds: script::unknown-method
step "flame" { marks = 2, done = lit("BL-2001"):lastng("5 s") } -- finds: script::unknown-method
step "held" { marks = 2, done = shown("PT-2001"):lasting("5 s") } -- finds: script::unknown-method
