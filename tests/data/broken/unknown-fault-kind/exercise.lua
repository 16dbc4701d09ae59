exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "lamp" { on = "XL-2104", kind = "drak", at = "5 min" } -- finds: script::unknown-kind
fault "valve" { on = "XV-21044", kind = "seized", at = "5 min" } -- finds: script::unknown-target
step "flame" { marks = 4, done = lit("BL-2001") }
