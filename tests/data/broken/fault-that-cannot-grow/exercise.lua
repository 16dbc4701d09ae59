exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "lamp" { on = "XL-2104", kind = "dark", at = "5 min", grows_over = "5 min" } -- finds: script::grows
fault "valve" { on = "LCV-3001", kind = "seized", at = "5 min", grows_over = "5 min" } -- finds: script::grows
fault "feed" { on = "LCV-3001", kind = "passing", at = "5 min", there_for = "10 s" } -- finds: script::field
fault "pump" { on = "P-3001", kind = "worn", at = "5 min", there_for = { "20 s", "10 s" }, away_for = "5 s" } -- finds: script::field
fault "fan" { on = "K-2001", kind = "worn", at = "5 min", there_for = "20 s", away_for = "0 s" } -- finds: script::time
fault "glass" { on = "LG-2001", kind = "water cock plugged", at = "5 min", repaired_in = "3" } -- finds: script::unit
step "flame" { marks = 4, done = lit("BL-2001"), after = "mended" }
step "mended" { marks = 4, done = did("repair", "XL-2140") } -- finds: script::unknown-target
