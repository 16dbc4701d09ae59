exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
local lamp = parameters.lampe
fault "lamp" { on = lamp, kind = "dark", at = "0 s" } -- finds: script::missing-field
fault "other" { on = variant("other", "XL-2104"), kind = "dark", at = "0 s" } -- finds: script::argument
step "seen" { marks = "4", done = did("report", "XL-2104") } -- finds: script::field
