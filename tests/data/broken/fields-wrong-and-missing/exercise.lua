exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "flame" { mark = 4, done = lit("BL-2001") } -- finds: script::unknown-field, script::missing-field
fault "lamp" { on = "XL-2104", at = "5 min" } -- finds: script::missing-field
response "seen" { to = "lamp", marks = 2, by = did("lamp test"), full = "5 min", none = "1 min" } -- finds: script::time
