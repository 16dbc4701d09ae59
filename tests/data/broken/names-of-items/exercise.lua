exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "lamp" { on = "XL-2104", kind = "dark", at = "5 min" }
step "flame" { marks = 4, done = lit("BL-2001"), after = "purg" } -- finds: script::unknown-step
step "flame" { marks = 4, done = lit("BL-2002") } -- finds: script::repeated
response "seen" { to = "lmap", marks = 2, by = did("lamp test"), full = "1 min", none = "5 min" } -- finds: script::unknown-fault
step { marks = 1, done = lit("BL-2002") } -- finds: script::no-name
