exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "valve" { on = "XV-2104", kind = "seized", at = "5 min", size = "140 % open" } -- finds: script::range
fault "lamp" { on = "XL-2104", kind = "dark", at = "5 min", size = "2 mm" } -- finds: script::size
step "flame" { marks = 4, done = lit("BL-2001") }
