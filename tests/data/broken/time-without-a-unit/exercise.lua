exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = 80 } -- finds: script::no-unit
fault "lamp" { on = "XL-2104", kind = "dark", at = 300 } -- finds: script::no-unit
step "flame" { marks = 4, done = lit("BL-2001"):lasting(30) } -- finds: script::no-unit
