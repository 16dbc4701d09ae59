exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "open" { marks = 4, done = actual("ZSH-2104") == "open" } -- finds: script::operator
step "held" { marks = 4, done = shown("PT-2001") > 4 } -- finds: script::operator
