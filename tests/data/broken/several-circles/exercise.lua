exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "a" { marks = 1, done = lit("BL-2001"), after = "b" } -- finds: script::circular
step "b" { marks = 1, done = lit("BL-2002"), after = "c" }
step "c" { marks = 1, done = lit("BL-2003"), after = { "a", "d" } }
step "d" { marks = 1, done = lit("BL-2004") }
step "e" { marks = 1, done = lit("XL-2104"), after = "e" } -- finds: script::circular
